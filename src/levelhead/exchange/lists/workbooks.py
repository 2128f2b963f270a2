"""Workbooks (XLSX) as tables: values only, bounded in memory, nothing in them is ever run."""

from __future__ import annotations

import io
import re
import zipfile
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any, Final, NoReturn

from levelhead.errors import ListError
from levelhead.exchange.lists.tables import MOST_COLUMNS, Table, checked_rows

__all__ = ["ZIP_MAGIC", "Workbook", "read_workbook"]

ZIP_MAGIC: Final = b"PK\x03\x04"
_MOST_UNPACKED: Final = 60_000_000  # bytes of one workbook; 4 000 rows of 20 columns have 5 million
_MOST_SHARED: Final = 15_000_000  # of its texts, which are held in memory
_MOST_PARTS: Final = 2_000
_MOST_SHEETS: Final = 40
_MOST_MERGED: Final = 5_000
_CHUNK: Final = 1 << 18
_OVERLAP: Final = 200  # of two chunks, so that nothing is missed between them
_MAIN: Final = "xl/workbook.xml"
_SHARED: Final = "xl/sharedStrings.xml"
_SHEET: Final = re.compile(r"xl/worksheets/[^/]+\.xml")
_MERGED: Final = re.compile(
    rb'<(?:\w+:)?mergeCell\s[^>]*?ref="([A-Z]{1,3}\d{1,7}:[A-Z]{1,3}\d{1,7})"'
)
_FORMULA: Final = re.compile(rb"<(?:\w+:)?f[ />]")
_NEVER_COMPUTED: Final = re.compile(
    rb"(?:</(?:\w+:)?f>|<(?:\w+:)?f[^<>]*/>)\s*(?:<(?:\w+:)?v\s*/>\s*)?</(?:\w+:)?c>"
)
_DOCTYPE: Final = re.compile(rb"<!DOCTYPE|<!ENTITY", re.IGNORECASE)
_OTHERS: Final = {
    "content.xml": "an open-document file",
    "word/document.xml": "a text document",
    "ppt/presentation.xml": "a presentation",
    "xl/workbook.bin": "a binary workbook",
}


@dataclass(frozen=True, slots=True)
class Workbook:
    """Tables of the sheets that can be seen, and what there is to say about the file."""

    tables: tuple[Table, ...]
    notes: tuple[str, ...]


def read_workbook(content: bytes, name: str) -> Workbook:
    """Sheets of a workbook.

    Raises
    ------
    ListError
        It is no workbook, damaged, encrypted, or far larger than any list.
    """
    archive = _opened(content, name)
    notes = list(_checked_parts(archive, name))
    merged, formulas, missing = _scanned(archive, name)
    if formulas:
        notes.append(
            f"{formulas} cells hold formulas: the values that they had when saved are read"
        )
    if missing:
        notes.append(
            f"{missing} of them were never computed and count as empty: open the file in a "
            "spreadsheet program and save it"
        )
    tables, hidden = _tables(content, name, merged)
    if hidden:
        notes.append(f"hidden sheets are not read: {', '.join(hidden)}")
    return Workbook(tables, tuple(notes))


def _refused(what: str, name: str, remedy: str = "") -> NoReturn:
    raise ListError(
        what,
        where=name,
        expected="an XLSX workbook, CSV or plain text",
        remedy=remedy or "Open it in a spreadsheet program and save it as XLSX or CSV.",
    )


def _opened(content: bytes, name: str) -> zipfile.ZipFile:
    try:
        return zipfile.ZipFile(io.BytesIO(content))
    except (zipfile.BadZipFile, ValueError, NotImplementedError, OSError):
        _refused("is damaged or no workbook", name)


def _checked_parts(archive: zipfile.ZipFile, name: str) -> Iterator[str]:
    parts = archive.infolist()
    names = {each.filename for each in parts}
    if _MAIN not in names:
        kinds = (kind for part, kind in _OTHERS.items() if part in names)
        _refused(f"is {next(kinds, 'a packed file, not a workbook')}", name)
    if len(parts) > _MOST_PARTS or sum(each.file_size for each in parts) > _MOST_UNPACKED:
        _refused(
            f"unpacks to more than {_MOST_UNPACKED // 1_000_000} MB or {_MOST_PARTS} parts",
            name,
            "Copy the input list into a new workbook.",
        )
    if any(each.filename == _SHARED and each.file_size > _MOST_SHARED for each in parts):
        _refused("holds more text than any list", name, "Copy the input list into a new workbook.")
    if any(each.flag_bits & 1 for each in parts):
        _refused("is encrypted", name, "Take the password off and save it again.")
    if any(each.filename.endswith("vbaProject.bin") for each in parts):
        yield "the workbook holds macros: they are neither run nor read"


def _chunks(archive: zipfile.ZipFile, part: str) -> Iterator[bytes]:
    """A part, piece by piece; each begins with the end of the one before."""
    tail = b""
    with archive.open(part) as stream:
        while piece := stream.read(_CHUNK):
            yield tail + piece
            tail = (tail + piece)[-_OVERLAP:]


def _scanned(archive: zipfile.ZipFile, name: str) -> tuple[dict[str, list[str]], int, int]:
    """Merged cells by part, and how many formulas there are and lack a value; no XML is parsed."""
    merged: dict[str, list[str]] = {}
    formulas = missing = 0
    try:
        for part in archive.namelist():
            if not part.endswith((".xml", ".rels")):
                continue
            for number, chunk in enumerate(_chunks(archive, part)):
                start = 0 if number == 0 else _OVERLAP
                if _DOCTYPE.search(chunk):
                    _refused("defines entities, which no spreadsheet program writes", name)
                if not _SHEET.fullmatch(part):
                    break
                found = merged.setdefault(part, [])
                if len(found) < _MOST_MERGED:
                    refs = [each.decode() for each in _MERGED.findall(chunk)]
                    found += [each for each in refs if each not in found[-20:]]
                formulas += sum(each.end() > start for each in _FORMULA.finditer(chunk))
                missing += sum(each.end() > start for each in _NEVER_COMPUTED.finditer(chunk))
    except (zipfile.BadZipFile, NotImplementedError, EOFError, OSError, ValueError, RuntimeError):
        _refused("is damaged", name)
    except Exception as error:  # zlib.error is no subclass of the ones above
        if type(error).__module__ != "zlib":
            raise
        _refused("is damaged", name)
    return merged, formulas, missing


def _tables(
    content: bytes, name: str, merged: Mapping[str, list[str]]
) -> tuple[tuple[Table, ...], list[str]]:
    from openpyxl import load_workbook

    hidden: list[str] = []
    tables: list[Table] = []
    try:
        book = load_workbook(io.BytesIO(content), read_only=True, data_only=True, keep_links=False)
        for sheet in book.worksheets[:_MOST_SHEETS]:
            if sheet.sheet_state != "visible":
                hidden.append(sheet.title)
                continue
            rows = sheet.iter_rows(max_col=MOST_COLUMNS, values_only=True)
            texts = ([cell_text(cell) for cell in row] for row in rows)
            kept = checked_rows(texts, where=f"{name}, {sheet.title}")
            part = str(getattr(sheet, "_worksheet_path", ""))
            tables.append(Table(sheet.title, kept, covers=_covers(merged.get(part, ()))))
        book.close()
    except ListError:
        raise
    except Exception as error:  # noqa: BLE001 - openpyxl raises whatever a damaged part makes it
        _refused(f"cannot be read: {type(error).__name__}", name)
    return tuple(tables), hidden


def cell_text(value: Any) -> str:
    """A value of a cell as a person reads it: whole numbers without a point, dates as dates.

    >>> cell_text(7.0), cell_text(2.5), cell_text(None), cell_text(True)
    ('7', '2.5', '', 'yes')
    """
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float) and value.is_integer() and abs(value) < 1e15:  # noqa: PLR2004 - beyond that digits are lost
        return str(int(value))
    if isinstance(value, datetime):
        return value.date().isoformat()
    return str(value)


def _covers(refs: list[str] | tuple[()]) -> dict[tuple[int, int], tuple[int, int]]:
    """Cells under merged ones, each with the cell that holds the text."""
    from openpyxl.utils.cell import range_boundaries

    found: dict[tuple[int, int], tuple[int, int]] = {}
    for ref in refs:
        left, top, right, bottom = range_boundaries(ref)
        if (right - left + 1) * (bottom - top + 1) > _MOST_MERGED:
            continue
        for row in range(top - 1, bottom):
            for column in range(left - 1, right):
                if (row, column) != (top - 1, left - 1):
                    found[row, column] = (top - 1, left - 1)
    return found
