"""Hum: whether it is heard, and what it comes from."""
