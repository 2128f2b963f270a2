"""The level diagram: every stage of a way with its floor, its level and its ceiling."""
