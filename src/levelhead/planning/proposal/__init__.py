"""Proposals: one more source, or a way for an output, put into a show and judged there.

Reading order: ``attempt`` (edits tried, with the gains and switches that they need), ``additions``
(what may be added) and ``free_inputs`` (where there is room), ``plugged_in`` (each into each),
``proposals`` (the values) and ``propose`` (what makes them). ``ways_out`` does the same for an
output; ``conditions_in_show`` meets what was said besides.
"""
