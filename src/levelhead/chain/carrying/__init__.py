"""Signals and noise carried along a graph, in signal order.

``propagate`` with ``sums`` and ``turned_down`` (limiters on the way), ``loops``; what came of it as
values: ``carried``, ``crests`` with ``crest_of_sums``, ``playing`` (what kind of signal).
"""
