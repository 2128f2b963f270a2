"""What the template of paper reads: texts made printable, pictures drawn for their page.

It is plain data, so that it may be made where a show is solved and set somewhere else.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict, dataclass
from datetime import UTC, datetime
from itertools import count
from typing import Any, Final, Literal

from levelhead.errors import PaperError
from levelhead.exchange import Row, Sheet, SheetHead
from levelhead.exchange.label_grid import SIZES_MM
from levelhead.paper.faces import face_content
from levelhead.paper.fonts import printable
from levelhead.paper.pictures import Room, picture_content
from levelhead.paper.verdict_marks import heading_words, printed_marks
from levelhead.quantity.typography import with_minus, with_minus_between_tags

__all__ = ["PAGES", "SIZES_MM", "Page", "Prepared", "prepared", "stamp_of", "template_data"]

Page = Literal["a4", "letter"]
PAGES: Final = ("a4", "letter")
UPRIGHT_COLUMNS: Final = 7  # more than this need the long side of the page in large type
LONG_CELL: Final = (
    500  # characters; such a row may run on to the next page, a shorter one never does
)
NO_DATE: Final = datetime(
    2000, 1, 1, tzinfo=UTC
)  # stamp of sheets without a date, so that bytes repeat

SIDE_MM: Final = 14.0  # as in the template
HEAD_AND_FOOT_MM: Final = 50.0  # with a title in one line; a picture needs no more than the rest


@dataclass(frozen=True, slots=True)
class Prepared:
    """Sheets as plain data, pictures drawn: to be set anywhere, also in another process."""

    names: tuple[str, ...]
    data: dict[str, Any]
    stamp: datetime


def prepared(sheets: Sequence[Sheet], *, page: Page = "a4") -> Prepared:
    """Sheets for a size of paper.

    Raises
    ------
    PaperError
        No sheet, or an unknown paper size.
    """
    data = template_data(sheets, page)
    return Prepared(tuple(sheet.name for sheet in sheets), data, stamp_of(sheets[0].head))


def template_data(sheets: Sequence[Sheet], page: Page) -> dict[str, Any]:
    """What the template reads; no mark tells what stands where.

    Raises
    ------
    PaperError
        No sheet, or an unknown paper size.
    """
    if not sheets or page not in PAGES:
        raise PaperError(
            f"{len(sheets)} sheets on '{page}' paper",
            where="printing",
            expected=f"one sheet or more, on one of {', '.join(PAGES)}",
            remedy="Name a sheet and a paper size.",
        )
    contents = [_sheet_content(sheet, page) for sheet in sheets]
    return {
        "title": printable(_title(sheets))[0],
        "page": page,
        "sheets": [each | {"index": index} for index, each in enumerate(contents)],
        "marks": printed_marks(),
        "places": False,
    }


def _title(sheets: Sequence[Sheet]) -> str:
    """Name of the document: its sheets and their show."""
    return f"{', '.join(sheet.title for sheet in sheets)} - {sheets[0].head.show}"


def stamp_of(head: SheetHead) -> datetime:
    """Creation time written into the file: the sheet's own date, never the clock."""
    try:
        return datetime.fromisoformat(head.date or "").replace(tzinfo=UTC)
    except ValueError:
        return NO_DATE


def _sheet_content(sheet: Sheet, page: Page) -> dict[str, Any]:
    """A sheet as the template reads it, with every text made printable."""
    missing: set[str] = set()

    def marked(svg: str) -> str:
        letters, lacking = printable(with_minus_between_tags(svg))
        missing.update(lacking)
        return letters

    def shown(text: str) -> str:
        letters, lacking = printable(with_minus(text))
        missing.update(lacking)
        return letters

    columns = sheet.printed_columns
    drawn = {column.key for column in columns if column.is_drawn}

    numbers = count()  # of rows in the order in which they are printed

    def row_content(row: Row) -> dict[str, Any]:
        cells: dict[str, Any] = {k: shown(text) for k, text in row.items() if k not in drawn}
        long = max((len(text) for text in cells.values()), default=0) > LONG_CELL
        faces = {key: face_content(row[key], row, shown) for key in drawn if row.get(key)}
        return cells | faces | {"": long, "#": next(numbers)}

    is_wide = len(columns) > UPRIGHT_COLUMNS if sheet.is_wide is None else sheet.is_wide
    room = _room(page, is_wide=is_wide)
    is_verdict = sheet.grouping is not None and sheet.grouping.is_verdict
    content: dict[str, Any] = {
        "title": shown(sheet.title),
        "head": {
            "show": shown(sheet.head.show),
            "date": shown(sheet.head.date or ""),
            "version": str(sheet.head.version),
            "fingerprint": shown(sheet.head.fingerprint),
            "prepared": shown(sheet.head.prepared or ""),
        },
        "landscape": is_wide,
        "ticks": sheet.has_ticks,
        "grid": None if sheet.grid is None else asdict(sheet.grid),
        "columns": [
            {
                "key": column.key,
                "label": shown(column.label),
                "width": column.width,
                "align": column.align,
                "unit": shown(column.unit or ""),
                "drawn": column.is_drawn,
                "verdict": column.is_verdict,
            }
            for column in columns
        ],
        "groups": [
            {
                "label": shown(heading_words(sheet, label)),
                "verdict": (label or "") if is_verdict else "",
                "rows": [row_content(row) for row in rows],
            }
            for label, rows in sheet.groups()
            if rows
        ],
        "cautions": [shown(words) for words in sheet.cautions],
        "note": shown(sheet.note_about(columns)),
        "nothing": shown(sheet.nothing),
        "pictures": [
            each
            for pictured in sheet.pictures
            for each in picture_content(pictured, room, shown, marked)
        ],
        "drawn-only": sheet.has_words_only_in_lists,
    }
    return content | {"lacking": _lacking(missing)}


def _room(page: Page, *, is_wide: bool) -> Room:
    """What a page leaves for a picture, beside margins, head and foot."""
    size = SIZES_MM[page]
    width, height = sorted(size, reverse=is_wide)
    return Room(width - 2 * SIDE_MM, height - HEAD_AND_FOOT_MM)


def _lacking(missing: set[str]) -> str:
    """Says which characters stand as code points, or nothing."""
    if not missing:
        return ""
    codes = ", ".join(f"U+{ord(letter):04X}" for letter in sorted(missing))
    return f"The typeface lacks {codes}: written as code points on this sheet."
