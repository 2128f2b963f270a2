"""What a gain plan reads off a solved rig: its controls, and each level by the controls it passes.

``switches`` (pads, tried) and ``knobs`` (all controls), ``monomials`` and ``terms`` (levels as sums
of products of them), ``measured`` (a later solution in the numbers of the first).
"""
