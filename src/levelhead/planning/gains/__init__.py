"""The gain plan: where every gain, pad, fader and amplifier control goes, and what decides it.

Reading order, and the order of imports from last to first: ``make`` (how a plan is made), ``told``
(what is said of it), ``goals`` (solved one after another), ``model`` (their numbers), ``wanted``
(how loud, how far from clipping), ``read`` (controls and levels of a solved rig), ``planned`` (the
plan as values) and ``programme`` (what is solved, knowing no rig). ``ringing``: the loop through
the air with a plan in place; ``thresholds``: differences that count.
"""
