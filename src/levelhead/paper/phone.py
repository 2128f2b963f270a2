"""All sheets as one HTML page to take along: no server, no network, boxes to tick.

Ticks are kept in the browser by show, fingerprint, sheet and row; where it keeps nothing, they last
as long as the page is open.
"""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Any, Final

from jinja2 import Environment, StrictUndefined
from markupsafe import Markup

from levelhead.drawing.marks import MARKS, badge
from levelhead.errors import PaperError
from levelhead.exchange import Column, Row, Sheet
from levelhead.paper.faces import drawn_face
from levelhead.paper.verdict_marks import heading_words
from levelhead.quantity.typography import with_minus

__all__ = ["sheets_to_html"]

_FOLDER: Final = "levelhead.paper"
_KEY: Final = 12  # characters of a hash: rows of one sheet do not collide


@dataclass(frozen=True, slots=True)
class _Line:
    """One row: what it is called, what stands beside it, and the key of its tick."""

    key: str
    name: str
    beside: str
    figures: tuple[tuple[str, str, Markup], ...]
    drawing: Markup | None = None


@dataclass(frozen=True, slots=True)
class _Group:
    label: str
    mark: Markup
    lines: tuple[_Line, ...]


def sheets_to_html(sheets: Sequence[Sheet]) -> str:
    """One page that holds everything in itself.

    Raises
    ------
    PaperError
        No sheet.
    """
    if not sheets:
        raise PaperError(
            "no sheet",
            where="page for the phone",
            expected="one sheet or more",
            remedy="Name a sheet, or none for the usual ones.",
        )
    page = _environment().from_string(_text("phone.html"))
    return page.render(
        head=sheets[0].head,
        sheets=[(sheet, _groups(sheet)) for sheet in sheets],
        style=_text("phone.css"),
        script=_text("phone.js"),
        cautions=list(dict.fromkeys(words for sheet in sheets for words in sheet.cautions)),
    )


@cache
def _environment() -> Environment:
    return Environment(
        autoescape=True, undefined=StrictUndefined, trim_blocks=True, finalize=_printed
    )


def _printed(value: Any) -> Any:
    """What is read, with real minus signs; what is drawn stays as it is."""
    return with_minus(value) if type(value) is str else value


@cache
def _text(name: str) -> str:
    return (files(_FOLDER) / name).read_text(encoding="utf-8")


def _groups(sheet: Sheet) -> list[_Group]:
    seen: dict[str, int] = {}
    return [
        _Group(
            heading_words(sheet, label),
            _group_mark(sheet, label),
            tuple(_line(sheet, label or "", row, seen) for row in rows),
        )
        for label, rows in sheet.groups()
        if rows
    ]


def _line(sheet: Sheet, group: str, row: Row, seen: dict[str, int]) -> _Line:
    """A row under its first column; equal rows are told apart by their count."""
    first, *others = sheet.shown_columns
    beside = ""
    if first.align == "right" and others:  # "1 Plug everything", "2 Vocal microphone"
        second, *others = others
        beside = row.get(second.key, "")
    said = "\x00".join([sheet.name, group, *(row.get(c.key, "") for c in sheet.shown_columns)])
    seen[said] = seen.get(said, 0) + 1
    figures = tuple(
        (column.label, _with_unit(row[column.key], column.unit), _mark(column, row[column.key]))
        for column in others
        if row.get(column.key) and not column.is_drawn
    )
    faces = [row[each.key] for each in others if each.is_drawn and row.get(each.key)]
    key = hashlib.sha256(f"{said}\x00{seen[said]}".encode()).hexdigest()[:_KEY]
    face = drawn_face(faces[0], row) if faces else None
    return _Line(key, row.get(first.key, ""), beside, figures, face)


def _group_mark(sheet: Sheet, label: str | None) -> Markup:
    return Markup() if sheet.grouping is None else _mark(sheet.grouping, label or "")


def _mark(column: Column, words: str) -> Markup:
    """The shape of a verdict, before its word."""
    is_known = column.is_verdict and words in MARKS
    return (
        Markup('<span class="{}">{}</span>').format(words, badge(words)) if is_known else Markup()
    )


def _with_unit(text: str, unit: str | None) -> str:
    """A figure with its unit; words, such as ``off``, have none."""
    is_figure: Any = text[-1:].isdigit()
    return f"{text} {unit}" if unit and is_figure else text
