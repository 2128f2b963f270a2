"""Loading: what outputs lose on what hangs on them, and on each other."""
