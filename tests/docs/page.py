"""A page of the manual as data: its tables and examples, each known by the comment above it.

Comments look like ``<!-- keys: gear.PortEntry -->`` above a table and ``<!-- run: show a.yaml -->``
above a fenced block.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final, TypeAlias

from levelhead.show.edit_json import edit_from_json

__all__ = ["PAGE", "Example", "Page", "Rows", "code", "codes", "misfits", "read_page"]

Rows: TypeAlias = list[list[str]]
"""Cells of a table, row by row, without its heading."""
Objects: TypeAlias = Mapping[str, Mapping[str, str]]
"""Fields of each JSON object with their types, as the page writes them."""

_DOCS: Final = Path(__file__).parents[2] / "docs"
_TABLE: Final = re.compile(
    r"<!-- (?P<kind>[a-z]+)(?:: (?P<name>.+?))? -->\n(?P<lines>(?:\|[^\n]+\n)+)"
)
_RUN: Final = re.compile(
    r"<!-- run: (?P<what>.+?) -->\n```(?P<language>\w+)\n(?P<text>.*?)^```$",
    re.DOTALL | re.MULTILINE,
)
_COMMENT: Final = re.compile(r"<!--.*?-->", re.DOTALL)
_CODE: Final = re.compile(r"`([^`]+)`")


@dataclass(frozen=True, slots=True)
class Example:
    """A fenced block, and what its comment says to do with it."""

    what: str
    language: str
    text: str

    @property
    def name(self) -> str:
        """Last word of the comment: the file that it is, or that it belongs to."""
        return self.what.split()[-1]


@dataclass(frozen=True, slots=True)
class Page:
    """One page of the manual."""

    text: str

    @property
    def seen(self) -> str:
        """What a reader sees."""
        return _COMMENT.sub("", self.text)

    def examples(self, kind: str) -> list[Example]:
        """Blocks whose comment begins so, in the order of the page."""
        found = (
            Example(*each.group("what", "language", "text")) for each in _RUN.finditer(self.text)
        )
        return [each for each in found if f"{each.what} ".startswith(f"{kind} ")]

    def tables(self, kind: str) -> dict[str, Rows]:
        """Tables under ``<!-- kind: name -->``, by name."""
        return {
            each["name"] or kind: [_cells(line) for line in each["lines"].splitlines()[2:]]
            for each in _TABLE.finditer(self.text)
            if each["kind"] == kind
        }

    def table(self, kind: str) -> Rows:
        """The only table of its kind."""
        (rows,) = self.tables(kind).values()
        return rows

    def objects(self) -> dict[str, dict[str, str]]:
        """JSON objects, and edits by their kind, with the types of their fields."""
        found = {
            name: {code(row[0]): row[1] for row in rows}
            for name, rows in self.tables("object").items()
        }
        for name, cell, _ in self.table("edits"):
            typed = dict(re.findall(r"`(\w+)`: ([\w ]+)", cell))
            found[code(name)] = {"edit": f"one of {code(name)}"} | typed
        return found


def read_page(name: str) -> Page:
    """A page of ``docs/``."""
    return Page((_DOCS / name).read_text(encoding="utf-8"))


def _cells(line: str) -> list[str]:
    return [cell.strip() for cell in line.strip().strip("|").split("|")]


def codes(cell: str) -> list[str]:
    """Code words of a text."""
    return _CODE.findall(cell)


def code(cell: str) -> str:
    """The first code word of a cell."""
    return codes(cell)[0]


# ---------------------------------------------------------------- types as the tables write them


def misfits(value: Any, kind: str, objects: Objects, at: str = "") -> Iterator[str]:
    """Where a JSON value differs from a type such as ``list of Point`` or ``text or null``."""
    if kind.endswith(" or null"):
        if value is not None:
            yield from misfits(value, kind.removesuffix(" or null"), objects, at)
    elif kind.startswith("text or "):
        if not isinstance(value, str):
            yield from misfits(value, kind.removeprefix("text or "), objects, at)
    elif kind in objects and isinstance(value, dict) and set(value) == set(objects[kind]):
        for name, inner in objects[kind].items():
            yield from misfits(value[name], inner, objects, f"{at}.{name}")
    elif kind == "Edit" and edit_from_json(value) is not None:
        yield from misfits(value, value["edit"], objects, at)
    else:
        yield from _misfits_of_many(value, kind, objects, at)


def _misfits_of_many(value: Any, kind: str, objects: Objects, at: str) -> Iterator[str]:
    """Lists and maps of something, and plain values."""
    each_kind = kind.removeprefix("map of ")
    if kind.startswith("list of ") and isinstance(value, list):
        for number, each in enumerate(value):
            yield from misfits(each, kind.removeprefix("list of "), objects, f"{at}[{number}]")
    elif each_kind in objects and kind not in objects and isinstance(value, dict):
        for name, each in value.items():
            yield from misfits(each, each_kind, objects, f"{at}.{name}")
    elif kind in objects or kind.startswith("list of ") or not _is_plain(value, kind):
        yield f"{at}: {sorted(value) if isinstance(value, dict) else value!r} is no {kind}"


def _is_plain(value: Any, kind: str) -> bool:
    if kind.startswith("one of "):
        return value in kind.removeprefix("one of ").split(", ")
    if kind == "map of text":
        return isinstance(value, dict) and all(isinstance(each, str) for each in value.values())
    if kind == "map of number":
        numbers = value.values() if isinstance(value, dict) else [None]
        return all(isinstance(each, (int, float)) for each in numbers)
    is_number = isinstance(value, int | float) and not isinstance(value, bool)
    return {
        "text": isinstance(value, str),
        "true or false": isinstance(value, bool),
        "number": is_number,
        "whole number": is_number and isinstance(value, int),
    }[kind]


PAGE: Final = read_page("formats.md")
