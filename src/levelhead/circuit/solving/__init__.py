"""Networks solved: voltages, currents, noise, and what each figure does to them.

``stack`` and ``windings`` (as padded arrays), ``solve``, ``solved`` (the values); ``refine`` (where
bands change quickly), ``many`` (one island with many values of its figures).
"""
