"""What one stage does beside its gain: responses of filters, limiters and compressors.

``shape`` (the value that a graph holds), ``responses``, ``limiting`` with ``short_term`` (levels of
programme).
"""
