"""A file that somebody else changed while it was open: both changes, or what stands against it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from levelhead.errors import LevelheadError, ShowError
from levelhead.show.document import ShowDocument
from levelhead.show.edits import apply
from levelhead.show.history.steps import Change
from levelhead.show.model import Show
from levelhead.show.opened.cells import Cell, cell_words, touched, value_at, value_words

__all__ = ["Clash", "Clashing", "merged"]


@dataclass(frozen=True, slots=True)
class Clashing:
    """One cell that was changed on both sides, in words."""

    cell: str
    here: str
    file: str


@dataclass(frozen=True, slots=True)
class Clash:
    """Why the file and what was changed here do not go together.

    ``error`` says what is wrong with the file where it cannot be read.
    """

    theirs: ShowDocument
    cells: tuple[Clashing, ...] = ()
    error: ShowError | None = None
    unread: bytes | None = None

    @classmethod
    def unreadable(cls, ours: ShowDocument, error: ShowError, content: bytes) -> Clash:
        """The file was changed into something that is no show."""
        return cls(ours, (), error, content)

    @property
    def on_disk(self) -> bytes | None:
        """What stands in the file."""
        return self.theirs.on_disk if self.unread is None else self.unread

    def theirs_text(self) -> str:
        """The file as text."""
        return (self.on_disk or b"").decode("utf-8", "replace")


def merged(
    base: Show, ours: ShowDocument, theirs: ShowDocument, since: Sequence[Change]
) -> ShowDocument | Clash:
    """Their file with our changes over it, or the clash where both changed the same cells.

    Parameters
    ----------
    base : Show
        What the file held when it was read or written last.
    ours, theirs : ShowDocument
        The show as it was changed here, and the file as it is now.
    since : sequence of Change
        What was changed here after ``base``, in order.
    """
    own, other = touched(base, ours.show), touched(base, theirs.show)
    both = [
        cell
        for cell in sorted(own & other)
        if value_at(ours.show, cell) != value_at(theirs.show, cell)
    ]
    if both:
        return Clash(theirs, tuple(_clashing(cell, ours.show, theirs.show) for cell in both))
    if not own:
        return theirs
    show = theirs.show
    try:
        for change in since:
            if isinstance(change, str):
                return Clash(theirs, (Clashing("the text of the file", "typed anew", "changed"),))
            show, _ = apply(show, change)
    except LevelheadError as error:
        return Clash(theirs, (Clashing("a step that was taken here", "does not fit", str(error)),))
    return theirs.with_show(show)


def _clashing(cell: Cell, ours: Show, theirs: Show) -> Clashing:
    return Clashing(
        cell_words(cell), value_words(value_at(ours, cell)), value_words(value_at(theirs, cell))
    )
