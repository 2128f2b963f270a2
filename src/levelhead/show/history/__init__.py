"""What happened to a show: one SQLite file beside it, to which is only ever added.

``journal`` (the file) with ``steps`` (each with the way back), ``kept_texts``, ``printed`` (paper)
and ``day_log`` (ticks, notes and readings of a crew).
"""
