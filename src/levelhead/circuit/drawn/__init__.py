"""A circuit being drawn: what stands behind ports, the cables between, cut into islands.

``sketch`` (nodes and parts), ``values``, ``pen`` (draws one port); ``templates`` with ``outputs``,
``inputs``, ``inserts`` and ``loudspeakers``; ``cables``; ``islands`` (what is one network).
"""
