"""Can I plug this into that, and what happens? Levels, wiring and paperwork for live events."""
