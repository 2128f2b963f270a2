"""Revisions: the numbers by which pages know a state, also over a new start of the program.

A revision is counted up with each step, and with each change that others made to the file. Pages
come back after a new start with the revision that they saw; who changed what since is then read
from the journal, as far back as it matters.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

from levelhead.errors import LevelheadError
from levelhead.show.document import ShowDocument
from levelhead.show.history.journal import History
from levelhead.show.model import Show
from levelhead.show.opened.cells import Cell
from levelhead.show.opened.seen import MOST_RECALLED, Author, Seen

__all__ = ["Revisions"]


@dataclass(slots=True)
class Revisions:
    """Where the count stands: ``number`` of the last step, ``revision`` of the state after it."""

    history: History
    number: int
    revision: int = 0
    _seen: Seen = field(default_factory=Seen)
    _recalled: int = field(init=False)  # the number after which every step is in ``_seen``

    def __post_init__(self) -> None:
        self._recalled = self.number

    def count_on(self, *, is_foreign: bool) -> None:
        """Go on with the revisions of former starts: pages may come back that saw those.

        A file that others wrote while nobody had it open is a change without a step.
        """
        since, changes = self.history.chain_start(), self.history.chains - 1
        self.revision = self.number + changes
        if changes:
            self._seen.floor = self.revision if is_foreign else since + changes

    def check(
        self, cells: Iterable[Cell], author: Author, *, now: Show, document: ShowDocument
    ) -> None:
        """Refuse a step over cells that somebody else changed after ``author.seen``.

        ``now`` is what stands there, ``document`` the show as it is before the step.

        Raises
        ------
        StaleError
            Somebody did; who, and what stands there now.
        """
        self._recall(author, document)
        self._seen.check(cells, author, now)

    def is_behind(self, author: Author, document: ShowDocument) -> bool:
        """Whether others changed anything after what the author has seen."""
        self._recall(author, document)
        return author.seen < self.revision and self._seen.is_by_others(author)

    def mark(self, cells: Iterable[Cell], author: Author) -> None:
        """Count a step on, and note whose cells these are."""
        self.number += 1
        self.revision += 1
        self._seen.mark(cells, self.revision, author.id, author.name)

    def _recall(self, author: Author, document: ShowDocument) -> None:
        """Find out what was changed before this start, for an author who saw only that."""
        known = author.seen - (self.revision - self.number)
        if known >= self._recalled:
            return
        known = max(known, self._recalled - MOST_RECALLED, self.history.chain_start())
        steps = self.history.steps_after(known)
        first = known + 1 + self.revision - self.number
        try:
            self._seen.recall(document, steps, first)
        except LevelheadError:  # a step that did not fit any more when it was brought back
            self._seen.floor = self.revision
        self._recalled = known
