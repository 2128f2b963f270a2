"""Wiring: what leads, plugs and sockets do with a signal."""
