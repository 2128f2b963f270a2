"""One sheet as the template of paper reads it: texts printable, pictures drawn for the page."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import asdict
from itertools import count
from typing import Any, Final, Literal

from levelhead.exchange import Column, Row, Sheet, SheetHead
from levelhead.exchange.sheet.label_grid import SIZES_MM
from levelhead.paper.faces import face_content
from levelhead.paper.fonts import printable
from levelhead.paper.pictures import Room, picture_content
from levelhead.paper.verdict_marks import heading_words
from levelhead.quantity.typography import with_minus, with_minus_between_tags

__all__ = ["Page", "sheet_content"]

Page = Literal["a4", "letter"]
UPRIGHT_COLUMNS: Final = 7  # more than this need the long side of the page in large type
LONG_CELL: Final = 500  # characters; a row with more may run on to the next page, no other does
SIDE_MM: Final = 14.0  # as in the template
HEAD_AND_FOOT_MM: Final = 50.0  # with a title in one line; a picture needs no more than the rest


class _Letters:
    """Texts as the typeface has them; it remembers what it lacks."""

    def __init__(self) -> None:
        self._lacking: set[str] = set()

    def shown(self, text: str) -> str:
        """A text of a sheet."""
        return self._noted(with_minus(text))

    def marked(self, svg: str) -> str:
        """A drawing: only what stands between its tags is text."""
        return self._noted(with_minus_between_tags(svg))

    def _noted(self, text: str) -> str:
        letters, lacking = printable(text)
        self._lacking.update(lacking)
        return letters

    @property
    def lacking(self) -> str:
        """Says which characters stand as code points, or nothing."""
        if not self._lacking:
            return ""
        codes = ", ".join(f"U+{ord(letter):04X}" for letter in sorted(self._lacking))
        return f"The typeface lacks {codes}: written as code points on this sheet."


def sheet_content(sheet: Sheet, page: Page) -> dict[str, Any]:
    """A sheet as the template reads it."""
    letters, columns = _Letters(), sheet.printed_columns
    shown = letters.shown
    is_wide = len(columns) > UPRIGHT_COLUMNS if sheet.is_wide is None else sheet.is_wide
    room = _room(page, is_wide=is_wide)
    content: dict[str, Any] = {
        "title": shown(sheet.title),
        "head": _head(sheet.head, letters),
        "landscape": is_wide,
        "ticks": sheet.has_ticks,
        "grid": None if sheet.grid is None else asdict(sheet.grid),
        "columns": [_column(each, letters) for each in columns],
        "groups": list(_groups(sheet, columns, letters)),
        "cautions": [shown(words) for words in sheet.cautions],
        "note": shown(sheet.note_about(columns)),
        "nothing": shown(sheet.nothing),
        "pictures": [
            each
            for pictured in sheet.pictures
            for each in picture_content(pictured, room, shown, letters.marked)
        ],
        "drawn-only": sheet.has_words_only_in_lists,
    }
    return content | {"lacking": letters.lacking}


def _head(head: SheetHead, letters: _Letters) -> dict[str, str]:
    return {
        "show": letters.shown(head.show),
        "date": letters.shown(head.date or ""),
        "version": str(head.version),
        "fingerprint": letters.shown(head.fingerprint),
        "prepared": letters.shown(head.prepared or ""),
    }


def _column(column: Column, letters: _Letters) -> dict[str, Any]:
    return {
        "key": column.key,
        "label": letters.shown(column.label),
        "width": column.width,
        "align": column.align,
        "unit": letters.shown(column.unit or ""),
        "drawn": column.is_drawn,
        "verdict": column.is_verdict,
    }


def _groups(sheet: Sheet, columns: Sequence[Column], letters: _Letters) -> Iterator[dict[str, Any]]:
    """Groups of rows under their headings; rows are numbered in the order of printing."""
    is_verdict = sheet.grouping is not None and sheet.grouping.is_verdict
    drawn = {column.key for column in columns if column.is_drawn}
    numbers = count()
    for label, rows in sheet.groups():
        if rows:
            yield {
                "label": letters.shown(heading_words(sheet, label)),
                "verdict": (label or "") if is_verdict else "",
                "rows": [_row(row, drawn, letters) | {"#": next(numbers)} for row in rows],
            }


def _row(row: Row, drawn: set[str], letters: _Letters) -> dict[str, Any]:
    """Cells by the key of their column; the empty key tells whether the row is a long one."""
    cells = {key: letters.shown(text) for key, text in row.items() if key not in drawn}
    is_long = max((len(text) for text in cells.values()), default=0) > LONG_CELL
    faces = {key: face_content(row[key], row, letters.shown) for key in drawn if row.get(key)}
    return cells | faces | {"": is_long}


def _room(page: Page, *, is_wide: bool) -> Room:
    """What a page leaves for a picture, beside margins, head and foot."""
    size = SIZES_MM[page]
    width, height = sorted(size, reverse=is_wide)
    return Room(width - 2 * SIDE_MM, height - HEAD_AND_FOOT_MM)
