"""What the template of paper reads: texts made printable, pictures drawn for their page.

It is plain data, so that it may be made where a show is solved and set somewhere else.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any, Final

from levelhead.errors import PaperError
from levelhead.exchange import Sheet, SheetHead
from levelhead.exchange.sheet.label_grid import SIZES_MM
from levelhead.paper.fonts import printable
from levelhead.paper.sheet_content import Page, sheet_content
from levelhead.paper.verdict_marks import printed_marks

__all__ = ["PAGES", "SIZES_MM", "Page", "Prepared", "prepared", "stamp_of", "template_data"]

PAGES: Final = ("a4", "letter")
NO_DATE: Final = datetime(
    2000, 1, 1, tzinfo=UTC
)  # stamp of sheets without a date, so that bytes repeat


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
    contents = [sheet_content(sheet, page) for sheet in sheets]
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
