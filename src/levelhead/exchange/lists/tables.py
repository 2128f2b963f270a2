"""A list as rows of text, whatever it came as: a workbook, values with separators, plain lines."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Final

from levelhead.errors import ListError

__all__ = [
    "LARGEST_FILE",
    "LONGEST_CELL",
    "MOST_COLUMNS",
    "MOST_ROWS",
    "Table",
    "checked_rows",
    "own_heading",
    "own_table",
]

LARGEST_FILE: Final = 10_000_000  # bytes; a list of 64 inputs has 20 thousand
MOST_ROWS: Final = 4_000  # of one table; a festival of ten bands has some hundreds
MOST_COLUMNS: Final = 100
LONGEST_CELL: Final = 10_000  # characters
_OF_OUR_LIST: Final = frozenset({"Input", "Source", "Microphone, DI or player", "48 V"})
_FIRST: Final = 12  # rows among which headings stand
_REMEDY: Final = "Keep the rows of the input list and save them as a file of their own."


@dataclass(frozen=True, slots=True)
class Table:
    """Rows of text. ``name`` is that of the sheet, empty where there is but one.

    ``covers`` are cells that a merged cell stands over, each with the cell that holds its text
    (row and column, from 0).
    """

    name: str
    rows: tuple[tuple[str, ...], ...]
    is_lines: bool = False
    covers: Mapping[tuple[int, int], tuple[int, int]] = field(default_factory=dict)

    def where(self, row: int) -> str:
        """A row as people find it, from 0 on."""
        if self.is_lines:
            return f"line {row + 1}"
        return f"{self.name} row {row + 1}" if self.name else f"row {row + 1}"


def own_heading(table: Table) -> int | None:
    """The row of headings of our own input list, from 0; ``None`` in any other list."""
    rows = enumerate(table.rows[:_FIRST])
    return next((at for at, row in rows if set(row) >= _OF_OUR_LIST), None)


def own_table(tables: Iterable[Table]) -> Table | None:
    """The table that is our own input list, if there is one."""
    return next((table for table in tables if own_heading(table) is not None), None)


def checked_rows(rows: Iterable[Iterable[str]], *, where: str) -> tuple[tuple[str, ...], ...]:
    """Rows as far as the last that says something.

    Raises
    ------
    ListError
        More rows or columns than any input list has, or a cell that holds a book.
    """
    kept: list[tuple[str, ...]] = []
    last = 0
    for number, row in enumerate(rows, start=1):
        cells = _checked_cells(row, where=f"{where} row {number}")
        if any(cells):
            last = number
        if last > MOST_ROWS or number > 20 * MOST_ROWS:
            raise ListError(
                f"more than {MOST_ROWS} rows",
                where=where,
                expected="an input list; those of large shows have a few hundred rows",
                remedy=_REMEDY,
            )
        if number <= MOST_ROWS:
            kept.append(cells)
    return tuple(kept[:last])


def _checked_cells(row: Iterable[str], *, where: str) -> tuple[str, ...]:
    cells: list[str] = []
    for cell in row:
        if len(cell) > LONGEST_CELL:
            raise ListError(
                f"column {len(cells) + 1} holds {len(cell)} characters",
                where=where,
                expected=f"at most {LONGEST_CELL} in one cell",
                remedy=_REMEDY,
            )
        if len(cells) < MOST_COLUMNS:
            cells.append(" ".join(_printable(cell).split()))
    while cells and not cells[-1]:
        cells.pop()
    return tuple(cells)


def _printable(text: str) -> str:
    """Without control and invisible characters, which only come in by accident or on purpose."""
    if text.isprintable():
        return text
    return "".join(each if each.isprintable() else " " for each in text)
