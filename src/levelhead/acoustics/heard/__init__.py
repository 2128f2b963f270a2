"""What listeners and crew of a show get, area by area, and as last points of the chain."""
