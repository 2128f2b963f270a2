"""Direct current in the same copper: phantom power, what it does at a port, battery switches."""
