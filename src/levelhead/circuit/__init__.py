"""Passive networks between active stages: drawn, solved, read; phantom power, ground and hum.

In the order in which they import each other:

- ``network``: a network as plain arrays; ``lazily``: rows of columns as objects.
- ``drawn``: a circuit being drawn, and cut into islands. ``solving``: islands of any number solved.
- ``loads`` and ``limits``: what hangs on an output, and where its volts or its current end.
- ``direct``: phantom power and all that direct current does. ``placed``: the whole rig, drawn piece
  by piece and each shape once.
- ``ground``: the network of earths and screens. ``hum``: what it brings to inputs.
"""
