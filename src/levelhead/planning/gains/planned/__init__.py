"""A gain plan as values, and what is said of its controls and goals.

``plan`` (positions, goals, the whole), ``ends`` (what meters read and what leaves the rig),
``lineup`` (console and amplifier), ``tenths`` (how figures are printed), ``words``.
"""
