"""Lists that come in and go out: what a sheet says, apart from how it is drawn.

In the order in which they import each other:

- ``paperwork``: a checked show as all lists read it: leads by number, rows of inputs, names.
- ``sheet``: what a sheet is, and how one is planned.
- ``sound_check`` and ``walk``: what a person does, step by step and place by place.
- ``sheets``: every sheet that there is.
- ``lists``: input lists that come in. ``rows`` and ``things``: what is typed into tables on screen.
- ``differences`` (from one show to another as edits) and ``printed`` (what changed since).
- ``air_words``, ``seen_words``: answers in sentences; ``tick_keys``: what ticks are kept by.
"""

from levelhead.exchange.sheet.label_grid import LabelGrid
from levelhead.exchange.sheet.values import Align, Column, Row, Sheet, SheetHead

__all__ = ["Align", "Column", "LabelGrid", "Row", "Sheet", "SheetHead"]
