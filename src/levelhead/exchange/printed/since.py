"""What changed since paper was made, a line each, and which sheets are out of date.

A change is what stands between the printed state and now, so that what was done and taken back
stands nowhere. Its time and person are those of the last step that touched the same place.
"""

from __future__ import annotations

import hashlib
import textwrap
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass, field, replace
from datetime import datetime
from typing import Any, Final

from levelhead.errors import LevelheadError
from levelhead.exchange.paperwork.work import listed
from levelhead.exchange.printed.crew_changes import crew_changes
from levelhead.exchange.printed.pages import Exchange, exchange_of
from levelhead.exchange.sheet.pictured import Pictured
from levelhead.exchange.sheet.values import Row, Sheet
from levelhead.show.document import parse_show
from levelhead.show.edit_json import edit_to_json
from levelhead.show.edits import Edit, apply
from levelhead.show.fingerprint import fingerprint
from levelhead.show.history.printed import Printed
from levelhead.show.history.steps import Step
from levelhead.show.model import Show
from levelhead.show.opened.cells import Cell, touched

__all__ = [
    "Beside",
    "Dated",
    "Held",
    "Made",
    "Since",
    "changes_since",
    "held",
    "is_as_made",
    "made_of",
]

_WHOLE, _ROW = 16, 8
_NAMED: Final = 40  # letters that name a row in a list of several
FILE: Final = "the file"


@dataclass(frozen=True, slots=True)
class Dated:
    """One change: the line for the crew, and who did it when; empty where only the file knows."""

    line: str
    at: datetime | None
    person: str
    edits: tuple[Edit, ...] = ()

    def to_json(self) -> dict[str, Any]:
        """As docs/formats.md prints it."""
        return {
            "line": self.line,
            "at": None if self.at is None else self.at.isoformat(),
            "by": self.person,
            "edits": [edit_to_json(each) for each in self.edits],
        }


@dataclass(frozen=True, slots=True)
class Made:
    """A sheet as far as it is compared: its title, hashes of what it says, first words of rows."""

    title: str
    content: str
    rows: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Beside:
    """By name, printed sheets as they would be made now, and pages of those that changed."""

    made: Mapping[str, Made]
    pages: Mapping[str, tuple[str, ...]] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Held:
    """A printed sheet beside what would be printed now.

    ``rows`` names rows that are new or say something else, by their first words; ``gone`` counts
    printed rows that are there no more; ``pages`` are those to exchange, where they are known.
    """

    printed: Printed
    title: str
    is_current: bool
    rows: tuple[str, ...] = ()
    gone: int = 0
    pages: Exchange | None = None

    @property
    def words(self) -> str:
        """What does not hold on it, as far as its rows tell."""
        pages = [self.pages.words] if self.pages is not None else []
        rows = [f"changed or new: {listed(self.rows)}"] if self.rows else []
        many = "1 row" if self.gone == 1 else f"{self.gone} rows"
        gone = [f"{many} of the paper: not as printed"] if self.gone else []
        said = ". ".join([*rows, *gone]) or "its note, cautions or picture"
        return ": ".join([*pages, said])

    def to_json(self) -> dict[str, Any]:
        """As docs/formats.md prints it."""
        return {
            "sheet": self.printed.name,
            "title": self.title,
            "is_current": self.is_current,
            "fingerprint": self.printed.fingerprint,
            "at": self.printed.at.isoformat(),
            "by": self.printed.person,
            "rows": list(self.rows),
            "gone": self.gone,
            "pages": None if self.pages is None else self.pages.to_json(),
        }


@dataclass(frozen=True, slots=True)
class Since:
    """Sheets that were printed of one state, and what changed since then."""

    fingerprint: str
    sheets: tuple[Held, ...]
    changes: tuple[Dated, ...]
    is_known: bool = True

    def said(self, words: Callable[[str], str]) -> Since:
        """The same with lines that name gear by its labels, where somebody knows them."""
        told = (replace(each, line=words(each.line)) for each in self.changes)
        return replace(self, changes=tuple(told))

    @property
    def is_stale(self) -> bool:
        """Whether any of these sheets is out of date."""
        return any(not each.is_current for each in self.sheets)

    @property
    def at(self) -> datetime:
        """When the first of them was printed."""
        return min(each.printed.at for each in self.sheets)

    def to_json(self) -> dict[str, Any]:
        """As docs/formats.md prints it."""
        return {
            "fingerprint": self.fingerprint,
            "is_known": self.is_known,
            "sheets": [each.to_json() for each in self.sheets],
            "changes": [each.to_json() for each in self.changes],
        }


# ---------------------------------------------------------------- changes


def changes_since(then: Show, now: Show, steps: Sequence[Step]) -> tuple[Dated, ...]:
    """What changed from a printed state to now, the latest first, then what only the file knows.

    Parameters
    ----------
    then, now
        The show as it was printed, and as it is.
    steps
        Steps of the journal after it was printed, in their order.
    """
    touched_by = _touched_by(then, steps)
    found = [
        _dated(change.line, change.edits, cells, touched_by)
        for change, cells in _with_cells(then, now)
    ]
    known = [(each.at, each) for each in found if each.at is not None]
    known.sort(key=lambda pair: pair[0], reverse=True)
    return (*(each for _, each in known), *(each for each in found if each.at is None))


def _with_cells(then: Show, now: Show) -> Iterator[tuple[Any, frozenset[Cell]]]:
    """Changes with the places that each touches, one applied after the other."""
    show = then
    for change in crew_changes(then, now):
        after = show
        with suppress(LevelheadError):
            after, _ = apply(show, change.edits)
        yield change, touched(show, after)
        show = after


def _touched_by(then: Show, steps: Sequence[Step]) -> dict[Cell, Step]:
    """By place, the last step that changed it. Steps that do not fit are those of other files."""
    found: dict[Cell, Step] = {}
    show = then
    for step in steps:
        after = _after(show, step)
        if after is not None:
            found.update(dict.fromkeys(touched(show, after), step))
            show = after
    return found


def _after(show: Show, step: Step) -> Show | None:
    try:
        if isinstance(step.change, str):
            return parse_show(step.change, "journal").show
        return apply(show, step.change)[0]
    except LevelheadError:
        return None


def _dated(
    line: str, edits: tuple[Edit, ...], cells: Iterable[Cell], touched_by: Mapping[Cell, Step]
) -> Dated:
    steps = [touched_by[cell] for cell in cells if cell in touched_by]
    last = max(steps, key=lambda step: step.number, default=None)
    return Dated(line, last.at, last.person, edits) if last else Dated(line, None, FILE, edits)


# ---------------------------------------------------------------- sheets


def made_of(sheet: Sheet) -> Made:
    """What tells a sheet from what was printed.

    The head is left out: date, version and fingerprint change with every state.
    """
    rows = [_hash(_said(sheet, row), _ROW) for row in sheet.rows]
    frame = [sheet.title, sheet.note or "", *sheet.cautions, *(c.label for c in sheet.columns)]
    frame += [str(sheet.grid), *map(_pictured, sheet.pictures)]
    content = " ".join([_hash("\x00".join([*frame, *rows]), _WHOLE), *rows])
    return Made(sheet.title, content, tuple(_first_words(sheet, row) for row in sheet.rows))


def _pictured(picture: Pictured) -> str:
    """What a picture hangs on: levels on all that is set, the others on gear, leads and places."""
    show = picture.solution.rig.show
    drawn = [fingerprint(show)] if picture.kind == "levels" else [_wired(show)]
    found = [f"{each.code} {each.where} {each.severity.value}" for each in picture.findings]
    said = [picture.kind, picture.words, *picture.way, repr(picture.stage), *found, *drawn]
    return "\x00".join(said)


def _wired(show: Show) -> str:
    items = [(i.id, i.type, i.label, i.at, i.aim, i.supply) for i in show.items.values()]
    links = [
        (sorted(link.ends.items()), link.via, sorted(link.pins.items())) for link in show.links
    ]
    return repr((items, links))


def _said(sheet: Sheet, row: Row) -> str:
    return "\x00".join(row.get(column.key, "") for column in sheet.columns)


def _hash(text: str, length: int) -> str:
    return hashlib.sha256(text.encode()).hexdigest()[:length]


def is_as_made(printed: Printed, made: Made) -> bool:
    """Whether a printed sheet says all that it would say now."""
    return printed.content.split()[0] == made.content.split()[0]


def held(printed: Printed, made: Made, pages: Sequence[str] = ()) -> Held:
    """A printed sheet beside the one that would be printed now, whose ``pages`` are told."""
    if is_as_made(printed, made):
        return Held(printed, made.title, is_current=True)
    exchange = exchange_of(printed, pages)
    if exchange is not None and exchange.is_nothing:  # what it hangs on changed, not what it says
        return Held(printed, made.title, is_current=True)
    now, then = made.content.split(), printed.content.split()
    named = zip(made.rows, now[1:], strict=True)
    new = [words for words, content in named if content not in then[1:]]
    gone = len([each for each in then[1:] if each not in now[1:]])
    rows = tuple(dict.fromkeys(new))
    return Held(printed, made.title, is_current=False, rows=rows, gone=gone, pages=exchange)


def _first_words(sheet: Sheet, row: Row) -> str:
    """What a row is known by: a count or the number of a step says nothing without its words."""
    said = [row[c.key] for c in sheet.shown_columns if row.get(c.key)]
    named = next((each for each in said if any(map(str.isalpha, each))), "".join(said[:1]))
    return textwrap.shorten(named, _NAMED, placeholder=" \N{HORIZONTAL ELLIPSIS}")
