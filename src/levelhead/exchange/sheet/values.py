"""A sheet as data: what a list on paper or in a spreadsheet says, before anything is drawn.

Every list that a crew gets (input list, patch, packing list, ...) is one of these; one template
prints them all and one writer makes spreadsheets of them, so that a new list is data and never a
new layout.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Final, Literal

from levelhead.errors import PaperError
from levelhead.exchange.sheet.label_grid import LabelGrid
from levelhead.exchange.sheet.pictured import Pictured

Align = Literal["left", "right", "centre"]
Row = Mapping[str, str]

NO_GROUP = "Other"  # heading over rows that leave the grouping field empty while others fill it


@dataclass(frozen=True, slots=True)
class Column:
    """One column of a sheet.

    Parameters
    ----------
    key : str
        The field of each row that stands in this column.
    label : str
        The heading, in the crew's words.
    width : float
        Share of the page beside the other columns, above zero.
    align : "left", "right" or "centre"
        Words to the left, figures to the right.
    unit : str or None
        The unit of every figure in the column, printed once in the heading.
    is_verdict : bool
        Its words are verdicts, shown with their shape.
    is_drawn : bool
        Its cells hold faces of controls (``gear.positions.Face``), which are drawn; a spreadsheet
        leaves the column out. What they show stands in words in other columns.
    is_optional : bool
        It is printed only where some row fills it; a spreadsheet always has it.
    about : str
        What its words mean: a sentence of the note above the rows, where the column is printed.
    """

    key: str
    label: str
    width: float = 1.0
    align: Align = "left"
    unit: str | None = None
    is_verdict: bool = False
    is_drawn: bool = False
    is_optional: bool = False
    about: str = ""

    def __post_init__(self) -> None:
        """Refuse a width that no page can show."""
        if not (math.isfinite(self.width) and self.width > 0):
            raise PaperError(
                f"a column {self.width} wide",
                where=f"column '{self.key}'",
                expected="a share of the page above zero",
                remedy="Give a width such as 1 or 2.5; only the proportions count.",
            )


LOOK_AT: Final = Column(
    "note",
    "Look at",
    1.0,
    is_verdict=True,
    is_optional=True,
    about="Look at: see the open findings.",
)
"""The verdict of a row that the open findings say more about."""


@dataclass(frozen=True, slots=True)
class SheetHead:
    """What every page says at its top, so that a stray page can be told old from new."""

    show: str
    date: str | None
    version: int
    fingerprint: str
    prepared: str | None = None


@dataclass(frozen=True, slots=True)
class Sheet:
    """One list: head, columns and rows, ready for paper or a spreadsheet.

    Every cell is the text that is shown; a row may leave fields out (an empty cell) but may not
    bring unknown ones. ``group_by`` names a field of the rows: rows that agree in it stand together
    under it as a heading, in the order in which the values first appear, and its own column is not
    printed. ``has_ticks`` puts a box before every row, to be ticked off. ``is_wide`` lays the sheet
    on the long side of the page; where nobody says, many columns do. ``nothing`` stands there where
    there are no rows. Rows of a sheet with a
    ``grid`` are labels: the first column in large type, the others under one another. ``pictures``
    stand before the rows; one that ``has_words_only_in_lists`` leaves the rows to spreadsheets.

    Raises
    ------
    PaperError
        No columns, two columns with one key, or a row with a field that no column shows.

    Examples
    --------
    >>> head = SheetHead("Village hall", "2026-12-05", 3, "7f3k9m2p")
    >>> columns = (Column("input", "Input", align="right"), Column("source", "Source", width=4))
    >>> rows = ({"input": "1", "source": "Anna"}, {"input": "2", "source": "Keys"})
    >>> sheet = Sheet("input-list", "Input list", head, columns, rows)
    >>> [label for label, rows in sheet.groups()]
    [None]
    """

    name: str
    title: str
    head: SheetHead
    columns: tuple[Column, ...]
    rows: tuple[Row, ...]
    note: str | None = None
    cautions: tuple[str, ...] = ()
    group_by: str | None = None
    has_ticks: bool = False
    is_wide: bool | None = None
    nothing: str = "Nothing to list."
    grid: LabelGrid | None = None
    pictures: tuple[Pictured, ...] = ()
    has_words_only_in_lists: bool = False

    def __post_init__(self) -> None:
        """Refuse columns and rows that do not belong together."""
        keys = [column.key for column in self.columns]
        if not self.shown_columns or len(set(keys)) < len(keys):
            raise PaperError(
                f"columns {', '.join(keys) or 'none'}",
                where=f"sheet '{self.name}'",
                expected="at least one column beside the grouping, each with a key of its own",
                remedy="Name each column once.",
            )
        known = {*keys, self.group_by}
        for number, row in enumerate(self.rows, start=1):
            unknown = sorted(set(row) - known)
            if unknown:
                raise PaperError(
                    f"fields that no column shows: {', '.join(unknown)}",
                    where=f"sheet '{self.name}', row {number}",
                    expected=f"fields among {', '.join(keys)}",
                    remedy="Add a column for the field or leave it out of the row.",
                )

    @property
    def shown_columns(self) -> tuple[Column, ...]:
        """The columns that are printed: all but the grouping one, which stands as headings."""
        return tuple(column for column in self.columns if column.key != self.group_by)

    @property
    def printed_columns(self) -> tuple[Column, ...]:
        """The shown columns without optional ones that no row fills."""
        return tuple(
            column
            for column in self.shown_columns
            if not column.is_optional or any(row.get(column.key) for row in self.rows)
        )

    def note_about(self, columns: Iterable[Column]) -> str:
        """The note, with what the words in these columns mean."""
        return " ".join(words for words in (self.note or "", *(c.about for c in columns)) if words)

    @property
    def grouping(self) -> Column | None:
        """The column whose words stand as headings."""
        return next((column for column in self.columns if column.key == self.group_by), None)

    def groups(self) -> Iterator[tuple[str | None, tuple[Row, ...]]]:
        """Heading and rows of each group; one group without heading when nothing groups them."""
        if self.group_by is None:
            yield None, self.rows
            return
        grouped: dict[str, list[Row]] = {}
        for row in self.rows:
            grouped.setdefault(row.get(self.group_by, ""), []).append(row)
        for label, rows in grouped.items():
            yield label or NO_GROUP, tuple(rows)
