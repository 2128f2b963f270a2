"""What is typed into the input list, a row for each strip of a mixer (``paperwork.input_rows``).

Reading order: ``filling`` (a cell typed, as edits) with ``settings`` (the strip itself), ``chains``
(gear before it), ``spoken`` (a free row that says it all) and ``needs_gear``; ``moved`` (rows in
another order). ``verdicts``, ``places`` and ``left_over`` tell of rows what was found, where it
stands, and which are free.
"""
