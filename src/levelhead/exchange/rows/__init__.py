"""The input list as it is worked on: a row for each strip of a mixer, and what is typed into it.

Reading order: ``input_rows`` (what the rows are), ``filling`` (a cell typed, as edits) with
``settings`` (the strip itself), ``chains`` (gear before it), ``spoken`` (a free row that says it
all) and ``needs_gear``; ``moved`` (rows in another order). ``verdicts``, ``places`` and
``left_over`` tell of rows what was found, where it stands, and which are free.
"""
