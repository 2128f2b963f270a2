"""What arises on the way: noise of stages and copper, companders that breathe, hum.

``arising`` (at points), ``companding`` and ``breathing`` (while somebody plays), ``hum`` (up to the
loudspeakers).
"""
