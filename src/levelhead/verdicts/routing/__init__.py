"""Routing: who is heard where, loops, delays and clocks."""
