"""Lists that come in and go out: what a sheet says, apart from how it is drawn."""

from levelhead.exchange.label_grid import LabelGrid
from levelhead.exchange.sheet import Align, Column, Row, Sheet, SheetHead

__all__ = ["Align", "Column", "LabelGrid", "Row", "Sheet", "SheetHead"]
