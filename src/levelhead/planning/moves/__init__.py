"""Moves that might mend a finding: edits and their trouble, none of them tried yet.

Reading order: ``candidate`` (what a move is and costs), ``in_order`` (the usual ones, as a
practitioner would try them), then one module for each thing that is moved: ``controls``, ``plugs``,
``cabinets``, ``adaptors``, ``ways_opened``; ``boxes``, ``made_for``, ``pairs`` and ``parted`` put
something between; ``hum`` and ``routes`` are cures of one family; ``along`` is what is set for a
source that goes to another strip. Whether a move helps is for
``planning.remedy`` to find out.
"""
