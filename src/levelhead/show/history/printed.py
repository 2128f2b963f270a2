"""Which sheets were made, when, by whom and with what on them: remembered in the history."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass, field
from datetime import datetime
from typing import Any, Final

from levelhead.show.history.journal import History

__all__ = ["How", "Printed", "PrintedPage", "last_printed", "note_printed"]

_READ: Final = "SELECT at, person, fingerprint, name, content FROM sheets ORDER BY number"
_WRITE: Final = "INSERT INTO sheets (at, person, fingerprint, name, content) VALUES (?, ?, ?, ?, ?)"
_READ_PAGES: Final = "SELECT at, name, how, fingerprint, content FROM pages ORDER BY number"
_WRITE_PAGES: Final = (
    "INSERT INTO pages (at, name, how, fingerprint, content) VALUES (?, ?, ?, ?, ?)"
)


@dataclass(frozen=True, slots=True)
class How:
    """How a sheet was printed: size of the page, grid of labels, ways of level diagrams."""

    page: str = "a4"
    labels: str | None = None
    paths: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class PrintedPage:
    """A page that lies on paper: what tells its content, and the state that its head names."""

    content: str
    fingerprint: str


@dataclass(frozen=True, slots=True)
class Printed:
    """A sheet as it was made: its name, a text of hashes that tells its content, of which state.

    ``pages`` are those of a print; a spreadsheet or a page for the phone has none.
    """

    name: str
    content: str
    fingerprint: str
    at: datetime
    person: str
    how: How = field(default_factory=How)
    pages: tuple[PrintedPage, ...] = ()


def note_printed(history: History, printed: Sequence[Printed]) -> None:
    """Remember sheets as they were made, with all their pages, also those from before.

    Raises
    ------
    ShowError
        The history cannot be written.
    """
    lying = [
        (e.at.isoformat(), e.name, json.dumps(asdict(e.how)), page.fingerprint, page.content)
        for e in printed
        for page in e.pages
    ]
    if lying:
        history.write(_WRITE_PAGES, *lying)
    rows = [(e.at.isoformat(), e.person, e.fingerprint, e.name, e.content) for e in printed]
    history.write(_WRITE, *rows)


def last_printed(history: History) -> tuple[Printed, ...]:
    """Each sheet as it was made last, in the order in which they were first made."""
    pages: dict[tuple[str, str], list[PrintedPage]] = {}
    hows: dict[tuple[str, str], How] = {}
    for at, name, how, fingerprint, content in history.rows(_READ_PAGES):
        pages.setdefault((at, name), []).append(PrintedPage(content, fingerprint))
        hows[at, name] = _how(json.loads(how))
    found: dict[str, Printed] = {}
    for at, person, fingerprint, name, content in history.rows(_READ):
        found[name] = Printed(
            name,
            content,
            fingerprint,
            datetime.fromisoformat(at),
            person,
            hows.get((at, name), How()),
            tuple(pages.get((at, name), ())),
        )
    return tuple(found.values())


def _how(told: Mapping[str, Any]) -> How:
    return How(told["page"], told["labels"], tuple(told["paths"]))
