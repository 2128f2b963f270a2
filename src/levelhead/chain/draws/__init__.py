"""Levels drawn at random: every doubtful figure of a rig moved within its spread.

``levels`` (all of them, many times at once) over ``edges`` and ``islands`` (what gains move by),
``sensitivity`` and ``bends`` (first order, and where that is not enough), ``numbers`` (the same for
the same names); ``redraws`` solve the rig again for each draw.
"""
