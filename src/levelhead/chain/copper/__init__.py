"""The copper of a rig: its islands, solved, and what they do to the signals that cross them."""
