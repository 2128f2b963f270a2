"""Sheets as a spreadsheet: figures as numbers, their units in columns of their own, no formulas."""

from __future__ import annotations

import io
import math
import unicodedata
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any, Final

from openpyxl import Workbook
from openpyxl.styles import Alignment, Border, Font, Side
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.worksheet import Worksheet

from levelhead.errors import PaperError
from levelhead.exchange import Column, Row, Sheet, SheetHead

__all__ = ["sheets_to_xlsx"]

ABOUT: Final = "About"
DONE: Final = "Done"
_LONGEST_TITLE: Final = 31  # characters, a limit of the format
_NOT_IN_TITLES: Final = str.maketrans(dict.fromkeys("[]:*?/\\", "-"))
_PAPER: Final = {"letter": 1, "a4": 9}  # ISO/IEC 29500-1, 18.3.1.63, paperSize
_WIDTHS: Final = (7.0, 55.0)  # characters, least and most
_ABOUT_WIDTHS: Final = (26.0, 90.0)
_LINE_PT: Final = 16.0  # of the usual 11 point type, and of wider ones in its place
_UPRIGHT_COLUMNS: Final = 3  # more lie on the long side of the page
_MOST_LINES: Final = 25  # the format allows 409 points a row
_HEAD: Final = Font(bold=True)
_RULE: Final = Border(bottom=Side(style="medium"))
_WRAPPED: Final = Alignment(wrap_text=True, vertical="top")
_FORMULA_SIGNS: Final = ("=", "+", "-", "@")


@dataclass(frozen=True, slots=True)
class _Field:
    """A column of the spreadsheet: of the sheet, its unit, or the box to tick."""

    label: str
    column: Column | None = None
    is_unit: bool = False

    def value(self, row: Row) -> str | float | None:
        """What stands in its cell."""
        text = "" if self.column is None else row.get(self.column.key, "")
        figure = _figure(text)
        if self.column is None or not text:
            return None
        if self.is_unit:
            return None if figure is None else self.column.unit
        return text if self.column.align != "right" or figure is None else figure


def sheets_to_xlsx(sheets: Sequence[Sheet], *, page: str = "a4") -> bytes:
    """A workbook with a page for each sheet, and one that says which show it is.

    The heads stand still, can be filtered and come again on each printed page. Text that begins
    like a formula stays text.

    Raises
    ------
    PaperError
        No sheet, or an unknown paper size.
    """
    if not sheets or page not in _PAPER:
        raise PaperError(
            f"{len(sheets)} sheets for '{page}' paper",
            where="spreadsheet",
            expected=f"one sheet or more, for one of {', '.join(_PAPER)}",
            remedy="Name a sheet and a paper size.",
        )
    book = Workbook()
    _fill_about(book.active, sheets)
    for sheet in sheets:
        title = sheet.title.translate(_NOT_IN_TITLES)[:_LONGEST_TITLE]
        _fill(book.create_sheet(title), sheet, page)
    content = io.BytesIO()
    book.save(content)
    return content.getvalue()


def _fill_about(place: Worksheet, sheets: Sequence[Sheet]) -> None:
    place.title = ABOUT
    about = sheets[0].head
    rows: list[tuple[str, str | int]] = [
        ("Show", about.show),
        ("Date", about.date or ""),
        ("Version", about.version),
        ("Fingerprint", about.fingerprint),
        *((sheet.title, sheet.note_about(sheet.shown_columns)) for sheet in sheets),
    ]
    cautions = dict.fromkeys(words for sheet in sheets for words in sheet.cautions)
    rows += [("Caution", words) for words in cautions]
    for number, (name, words) in enumerate(rows, start=1):
        head = _write(place, number, 1, name)
        head.font, head.alignment = _HEAD, _WRAPPED
        _write(place, number, 2, words).alignment = _WRAPPED
    place.column_dimensions["A"].width, place.column_dimensions["B"].width = _ABOUT_WIDTHS
    for number, (_, text) in enumerate(rows, start=1):
        place.row_dimensions[number].height = _height(str(text), _ABOUT_WIDTHS[1])
    _set_page(place, about, ABOUT)


def _fields(sheet: Sheet) -> Iterator[_Field]:
    if sheet.has_ticks:
        yield _Field(DONE)
    grouping = [column for column in sheet.columns if column.key == sheet.group_by]
    for column in (*grouping, *(each for each in sheet.shown_columns if not each.is_drawn)):
        yield _Field(column.label, column)
        if column.unit is not None:
            yield _Field(f"{column.label}, unit", column, is_unit=True)


def _fill(place: Worksheet, sheet: Sheet, page: str) -> None:
    fields = list(_fields(sheet))
    for index, field in enumerate(fields, start=1):
        cell = _write(place, 1, index, field.label)
        cell.font, cell.border, cell.alignment = _HEAD, _RULE, _WRAPPED
    rows = [row for _, group in sheet.groups() for row in group]
    for number, row in enumerate(rows, start=2):
        for index, field in enumerate(fields, start=1):
            _write(place, number, index, field.value(row)).alignment = _WRAPPED
    widths = _set_widths(place, fields, rows)
    heads = (_height(field.label, width) for field, width in zip(fields, widths, strict=True))
    place.row_dimensions[1].height = max(heads)
    for number, row in enumerate(rows, start=2):
        tall = (
            _height(str(field.value(row) or ""), width)
            for field, width in zip(fields, widths, strict=True)
        )
        place.row_dimensions[number].height = max(tall)
    last = get_column_letter(len(fields))
    place.freeze_panes = "A2"
    place.auto_filter.ref = f"A1:{last}{len(rows) + 1}"
    _set_printing(place, sheet, page)
    for number, words in enumerate(sheet.cautions, start=len(rows) + 3):
        _write_across(place, number, f"Caution: {words}", widths)


def _write_across(place: Worksheet, row: int, words: str, widths: Sequence[float]) -> None:
    """A sentence under all columns: one that ran on beside them would make the page tiny."""
    _write(place, row, 1, words).alignment = _WRAPPED
    if len(widths) > 1:
        place.merge_cells(start_row=row, start_column=1, end_row=row, end_column=len(widths))
    place.row_dimensions[row].height = _height(words, sum(widths))


def _write(place: Worksheet, row: int, column: int, value: str | float | None) -> Any:
    """A cell; text is text, whatever it begins with."""
    cell = place.cell(row, column)
    if isinstance(value, str):
        cell.value = _allowed(value)
        cell.data_type = "s"
        cell.quotePrefix = value.startswith(_FORMULA_SIGNS)
    else:
        cell.value = value
    return cell


def _allowed(text: str) -> str:
    """Text without the control characters that the format cannot hold."""
    return "".join(
        letter
        for letter in text
        if letter in "\n\t" or unicodedata.category(letter) not in {"Cc", "Cs"}
    )


def _figure(text: str) -> float | None:
    """The number that a cell shows, if it shows one."""
    try:
        value = float(text.replace("−", "-"))
    except ValueError:
        return None
    return int(value) if value.is_integer() else value


def _height(text: str, width: float) -> float:
    """Height of a row for a wrapped text: a spreadsheet program may not find it by itself. [pt]"""
    lines = sum(max(1, math.ceil(len(line) / (width - 2))) for line in text.split("\n"))
    return min(lines, _MOST_LINES) * _LINE_PT


def _set_widths(
    place: Worksheet, fields: Sequence[_Field], rows: Sequence[Row]
) -> tuple[float, ...]:
    """Widths of the columns, in characters."""
    least, most = _WIDTHS
    widths = []
    for index, field in enumerate(fields, start=1):
        texts = [field.label, *(str(field.value(row) or "") for row in rows)]
        widest = max(len(text) for text in texts) + 2
        widths.append(min(max(widest, least), most))
        place.column_dimensions[get_column_letter(index)].width = widths[-1]
    return tuple(widths)


def _set_printing(place: Worksheet, sheet: Sheet, page: str) -> None:
    place.print_title_rows = "1:1"
    place.page_setup.paperSize = _PAPER[page]
    is_wide = len(sheet.shown_columns) > _UPRIGHT_COLUMNS
    place.page_setup.orientation = "landscape" if is_wide else "portrait"
    _set_page(place, sheet.head, sheet.title)


def _set_page(place: Worksheet, head: SheetHead, title: str) -> None:
    """As wide as the page, with the same head and foot on each."""
    place.page_setup.fitToWidth, place.page_setup.fitToHeight = 1, 0
    place.sheet_properties.pageSetUpPr.fitToPage = True
    place.oddHeader.left.text = _in_margin(f"{title} - {head.show}")
    place.oddHeader.right.text = "Page &P of &N"
    place.oddFooter.left.text = _in_margin(_facts(head))


def _facts(head: SheetHead) -> str:
    date = f"{head.date}, " if head.date else ""
    return f"{date}version {head.version}, fingerprint {head.fingerprint}"


def _in_margin(words: str) -> str:
    """Text of a margin, where an ampersand begins a code."""
    return _allowed(words).replace("&", "&&")
