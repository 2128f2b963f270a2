"""The chain: stages over solved islands; nominal, peak, ceiling and floor at every point.

In the order in which they import each other:

- ``stages``: what one stage does beside its gain. ``graph``: points, gains between, their order.
- ``carrying``: signals and noise carried along a graph. ``copper``: islands solved, and what they
  do to the signals that cross them.
- ``wired``: from a rig to the points and ways of its chain, before any knob is looked at;
  ``as_set``: their gains as the controls stand. ``limits``: ceilings.
- ``solution`` (a solved rig as values: with ``levels`` and ``ways``) and ``solve`` (what makes it).
- ``noise``: what arises on the way, hum too. What is read off a solution: ``most`` (that can come),
  ``best_ways``, ``meters``; ``upstream`` (the part of a rig that a few sockets hang on).
- ``draws``: levels with every doubtful figure moved within its spread.
"""
