"""Sheets as a PDF: one template, large type, black on white, the same bytes on every machine."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import asdict
from datetime import UTC, datetime
from functools import cache
from importlib.resources import files
from itertools import count
from threading import Lock
from typing import Any, Final, Literal, cast

import typst

from levelhead.errors import PaperError
from levelhead.exchange import Row, Sheet, SheetHead
from levelhead.paper.faces import face_content
from levelhead.paper.fonts import font_folder, printable
from levelhead.paper.pictures import Room, picture_content
from levelhead.paper.verdict_marks import heading_words, printed_marks

Page = Literal["a4", "letter"]
PAGES: Final = ("a4", "letter")
STANDARD: Final = "ua-1"  # ISO 14289-1, tagged: a screen reader finds title, heads and cells
UPRIGHT_COLUMNS: Final = 7  # more than this need the long side of the page in large type
LONG_CELL: Final = (
    500  # characters; such a row may run on to the next page, a shorter one never does
)
NO_DATE: Final = datetime(
    2000, 1, 1, tzinfo=UTC
)  # stamp of sheets without a date, so that bytes repeat

SIZES_MM: Final = {"a4": (210.0, 297.0), "letter": (215.9, 279.4)}
SIDE_MM: Final = 14.0  # as in the template
HEAD_AND_FOOT_MM: Final = 50.0  # with a title in one line; a picture needs no more than the rest

ONE_AT_A_TIME: Final = Lock()  # a compiler refuses a second thread


def sheets_to_pdf(sheets: Sequence[Sheet], *, page: Page = "a4") -> bytes:
    """Print sheets one after the other, each with pages counted from 1.

    Parameters
    ----------
    sheets : sequence of Sheet
        At least one.
    page : "a4" or "letter"
        Size of the paper; wide sheets lie on its long side.

    Returns
    -------
    bytes
        A tagged PDF (PDF/UA-1) with its fonts inside; equal sheets give equal bytes.

    Raises
    ------
    PaperError
        No sheet, an unknown paper size, or the typesetter refuses.
    """
    return typeset(template_data(sheets, page), stamp=stamp_of(sheets[0].head))


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


def sheets_to_pictures(
    sheets: Sequence[Sheet], *, page: Page = "a4", ppi: float = 144.0
) -> list[bytes]:
    """The same pages as PNG, one a page; arguments and errors as of :func:`sheets_to_pdf`.

    Parameters
    ----------
    ppi : float
        Pixels an inch.
    """
    content = json.dumps(template_data(sheets, page), ensure_ascii=False)
    with ONE_AT_A_TIME:
        pages = compiler().compile(
            input=template(), format="png", ppi=ppi, sys_inputs={"data": content}
        )
    return [pages] if isinstance(pages, bytes) else list(pages or ())


def typeset(data: Mapping[str, Any], *, stamp: datetime) -> bytes:
    """Run the template over its data.

    Raises
    ------
    PaperError
        The typesetter refuses.
    """
    try:
        with ONE_AT_A_TIME:
            pdf = compiler().compile(
                input=template(),
                format="pdf",
                sys_inputs={"data": json.dumps(data, ensure_ascii=False)},
                pdf_standards=STANDARD,
                timestamp=stamp,
            )
    except typst.TypstError as error:
        raise PaperError(
            f"the page cannot be set: {error.message}",
            where="printing",
            expected="sheets that the template can lay out",
            remedy="Print the sheets one by one to find the one in the way, and report it.",
        ) from error
    return cast("bytes", pdf)  # only pictures come as a list of pages


@cache
def template() -> bytes:
    """The one template, as it is shipped."""
    return (files("levelhead.paper") / "sheet.typ").read_bytes()


@cache
def compiler() -> typst.Compiler:
    """Fonts are read once, and none but ours, so that every machine prints the same."""
    return typst.Compiler(font_paths=fonts(), ignore_system_fonts=True)


@cache
def fonts() -> typst.Fonts:
    """The typeface of paper."""
    return typst.Fonts(
        include_system_fonts=False, include_embedded_fonts=False, font_paths=[str(font_folder())]
    )


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

    def shown(text: str) -> str:
        letters, lacking = printable(text)
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
            each for pictured in sheet.pictures for each in picture_content(pictured, room, shown)
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
