"""Hum: what the ground network and fields bring to inputs, and the range in which it lies.

``sums`` (mean squares by source and line), ``neighbours`` and ``pickup`` (fields), ``at_inputs``.
"""
