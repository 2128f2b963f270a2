"""What others changed after somebody looked: nobody writes over what they have not seen."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from typing import Final, NamedTuple

from levelhead.show.document import ShowDocument
from levelhead.show.history.steps import Step
from levelhead.show.model import Show
from levelhead.show.opened.cells import Cell, cell_words, value_at, value_words
from levelhead.show.opened.undoing import MOST_NAMED, StaleError, cells_of_steps

__all__ = ["Author", "Seen"]

MOST_RECALLED: Final = 1000  # steps of before a new start that are looked through


@dataclass(frozen=True, slots=True)
class Author:
    """Who takes a step, how much of the show they have seen, and when it is.

    ``name`` is what others read, and whose undo it is; ``id`` tells two pages of one person apart;
    ``seen`` is the revision that stood before their eyes. ``ask`` is their name for this step, if
    it has one.
    """

    id: str
    name: str
    seen: int
    at: datetime
    ask: str = ""


class _Change(NamedTuple):
    revision: int
    id: str
    name: str


@dataclass(slots=True)
class Seen:
    """Who changed each cell last, and at which revision.

    ``floor`` is the revision before which nothing is known: the file was changed while nobody had
    it open.
    """

    floor: int = 0
    _last: dict[Cell, _Change] = field(default_factory=dict)

    def mark(self, cells: Iterable[Cell], revision: int, author_id: str, name: str) -> None:
        """Note a step."""
        self._last.update(dict.fromkeys(cells, _Change(revision, author_id, name)))

    def recall(self, document: ShowDocument, steps: Sequence[Step], first: int) -> None:
        """Note steps of before a new start; ``first`` is the revision of the first of them."""
        cells, _ = cells_of_steps(document, steps)
        known = dict(self._last)
        for number, step in enumerate(steps):
            page = step.ask.partition(" ")[0]
            self.mark(cells[step.number], first + number, page, step.person)
        self._last.update(known)

    def is_by_others(self, author: Author) -> bool:
        """Whether somebody else changed anything after what the author has seen."""
        if author.seen < self.floor:
            return True
        return any(
            each.revision > author.seen and each.id != author.id for each in self._last.values()
        )

    def check(self, cells: Iterable[Cell], author: Author, show: Show) -> None:
        """Refuse a step over cells that somebody else changed unseen.

        Raises
        ------
        StaleError
            Somebody did; who, and what stands there now.
        """
        if author.seen < self.floor:
            raise _unseen_file()
        for cell in sorted(cells):
            last = self._last.get(cell)
            if last is None or last.revision <= author.seen or last.id == author.id:
                continue
            if not self._came_empty(cell, last, show):
                raise _stale(last.name, self._of(last, author, cells), show)

    def _came_empty(self, cell: Cell, last: _Change, show: Show) -> bool:
        """Whether it is a field of what somebody brought, and nobody has filled it."""
        section, name, field_name = cell
        whole = self._last.get((section, name, ""))
        came = bool(field_name) and whole is not None and whole.revision == last.revision
        return came and not value_at(show, cell)

    def _of(self, other: _Change, author: Author, cells: Iterable[Cell]) -> list[Cell]:
        """All of these cells that the same person changed unseen."""
        return [
            cell
            for cell in sorted(cells)
            if (last := self._last.get(cell)) is not None
            and (last.name, last.id) == (other.name, other.id)
            and last.revision > author.seen
        ]


def _stale(person: str, cells: Sequence[Cell], show: Show) -> StaleError:
    named = cells[:MOST_NAMED]
    words = ", ".join(
        f"{cell_words(cell)} (now {value_words(value_at(show, cell))})" for cell in named
    )
    return StaleError(
        f"{person} changed {words} meanwhile",
        where="edit",
        expected="the newest value before your eyes",
        remedy="Look at what stands there now, and change it again if it is still wrong.",
        cells=named,
    )


def _unseen_file() -> StaleError:
    return StaleError(
        "the file was changed by somebody else while levelhead had it not open",
        where="edit",
        expected="the newest value before your eyes",
        remedy="Look at what stands there now, and change it again if it is still wrong.",
    )
