"""Phantom power: whether it arrives, and by which way."""
