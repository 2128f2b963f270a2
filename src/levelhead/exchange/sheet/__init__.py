"""A sheet as data, before anything is drawn: columns, rows, pictures, grids of labels.

``values`` (what a sheet is), ``plan`` (how one is filled), ``pictured``, ``label_grid``.
"""
