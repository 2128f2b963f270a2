"""The copper of a whole rig: pieces that hang together, each shape drawn once and placed by name.

``pieces`` (what hangs together), ``likeness`` (what differs between two of one shape),
``placing`` (one drawing, many names), ``assembly`` (from a rig to its islands).
"""
