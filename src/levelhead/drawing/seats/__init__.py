"""The map of a room: how loud and how clear it is at the seats."""
