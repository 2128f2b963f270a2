"""Undo for several people at one show: whose step it is, and what others did in its place since.

Everybody takes back their own last step. Steps of others that came meanwhile stay as they are, so a
step is not wound back to but turned round: its way back is applied to the show as it is now. That
is refused where somebody else's later step, still standing, changed one of the same cells, and
where the way back would take anything else along with it.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from typing import Final, NamedTuple, NoReturn

from levelhead.errors import EditError, LevelheadError
from levelhead.show.document import ShowDocument
from levelhead.show.edits import apply
from levelhead.show.history.steps import Change, Step
from levelhead.show.model import Show
from levelhead.show.opened.cells import Cell, cell_words, touched

__all__ = [
    "SHARED",
    "Stacks",
    "StaleError",
    "Turned",
    "cells_of_steps",
    "refuse_misfit",
    "root_of",
    "turned_round",
]

SHARED: Final = "the file"  # what came out of the file is nobody's own: everybody may undo it
MOST_NAMED: Final = 3


class StaleError(EditError):
    """Somebody else changed the same place meanwhile.

    ``cells`` are the places that ``what`` names by :func:`cell_words`, for those who call them
    something else.
    """

    def __init__(
        self, what: str, *, where: str, expected: str, remedy: str, cells: Sequence[Cell] = ()
    ) -> None:
        super().__init__(what, where=where, expected=expected, remedy=remedy)
        self.cells = tuple(cells)


class Turned(NamedTuple):
    """A step turned round: the show then, what is done for it, and the way back from there."""

    document: ShowDocument
    change: Change
    back: Change


def root_of(step: Step) -> int:
    """Number of the step that an undo or redo speaks of; its own if it is none."""
    return step.number if step.of is None else step.of


@dataclass(slots=True)
class Stacks:
    """Steps that stand, and those that were taken back, by person, the last of each at the end."""

    _done: dict[str, list[Step]] = field(default_factory=dict)
    _undone: dict[str, list[Step]] = field(default_factory=dict)

    def put(self, step: Step) -> None:
        """Sort in the next step of the journal."""
        if step.kind == "undo":
            self._drop(self._done, step)
            self._undone.setdefault(step.person, []).append(step)
            return
        if step.kind == "redo":
            self._drop(self._undone, step)
        else:
            self._undone.pop(step.person, None)
        self._done.setdefault(step.person, []).append(step)

    def _drop(self, stacks: dict[str, list[Step]], step: Step) -> None:
        for person, steps in stacks.items():
            stacks[person] = [each for each in steps if root_of(each) != root_of(step)]

    def to_undo(self, person: str) -> Step | None:
        """The journal's entry that this person would take back."""
        own = [each[-1] for name in (person, SHARED) if (each := self._done.get(name))]
        return max(own, key=lambda step: step.number, default=None)

    def to_redo(self, person: str) -> Step | None:
        """The undo that this person would take back."""
        own = self._undone.get(person)
        return own[-1] if own else None


def turned_round(document: ShowDocument, entry: Step, later: Sequence[Step]) -> Turned:
    """Take one step of the journal back and leave alone what came after it.

    Parameters
    ----------
    document : ShowDocument
        The show as it is now.
    entry : Step
        The step; of an undo, this is a redo.
    later : sequence of Step
        All steps after it, in order.

    Raises
    ------
    StaleError
        Somebody else's later step stands in its way; who and where is told.
    """
    try:
        cells, then = cells_of_steps(document, later)
        own = touched(_before(document, then, entry), then)
    except LevelheadError as error:  # a step that did not fit when it was brought back
        refuse_misfit({step.person for step in later}, entry, error)
    standing = _standing(later, cells)
    _refuse_over(own, standing, entry)
    if isinstance(entry.back, str):
        return _text_without(document, entry.back, later, standing, entry)
    try:
        after, back = apply(document.show, entry.back)
    except EditError as error:
        refuse_misfit(standing.values(), entry, error)
    more = touched(document.show, after) - own
    _refuse_over(more, standing, entry)
    if more:
        refuse_misfit(standing.values(), entry)
    return Turned(document.with_show(after), entry.back, back)


def _text_without(
    document: ShowDocument,
    text: str,
    later: Sequence[Step],
    standing: dict[Cell, str],
    entry: Step,
) -> Turned:
    """The text of before, with the edits that came after it over it again."""
    made = document.with_text(text)
    if standing:
        show = made.show
        try:
            for step in later:
                if isinstance(step.change, str):
                    refuse_misfit(standing.values(), entry)
                show, _ = apply(show, step.change)
        except StaleError:
            raise
        except EditError as error:
            refuse_misfit(standing.values(), entry, error)
        made = made.with_show(show)
    return Turned(made, made.text(), document.text())


# ---------------------------------------------------------------- what steps changed


def cells_of_steps(
    document: ShowDocument, steps: Sequence[Step]
) -> tuple[dict[int, frozenset[Cell]], Show]:
    """Cells that each of the last steps changed, by its number, and the show before all of them."""
    show, cells = document.show, {}
    for step in reversed(steps):
        before = _before(document, show, step)
        cells[step.number] = touched(before, show)
        show = before
    return cells, show


def _before(document: ShowDocument, after: Show, step: Step) -> Show:
    """The show before a step, from the one after it."""
    if isinstance(step.back, str):
        return document.with_text(step.back).show
    return apply(after, step.back)[0]


def _standing(later: Iterable[Step], cells: dict[int, frozenset[Cell]]) -> dict[Cell, str]:
    """Cells that later steps left changed, with whoever did it last; done and undone is nothing."""
    by_root: dict[int, list[Step]] = {}
    for step in later:
        by_root.setdefault(root_of(step), []).append(step)
    kept = [steps for steps in by_root.values() if _is_undo(steps[0]) == _is_undo(steps[-1])]
    found: dict[Cell, str] = {}
    for step in sorted((each for steps in kept for each in steps), key=lambda each: each.number):
        found.update(dict.fromkeys(cells[step.number], step.person))
    return found


def _is_undo(step: Step) -> bool:
    return step.kind == "undo"


# ---------------------------------------------------------------- why not


def _refuse_over(cells: Iterable[Cell], standing: dict[Cell, str], entry: Step) -> None:
    """Say who changed the same place later, if somebody did."""
    over = {cell: standing[cell] for cell in sorted(cells) if cell in standing}
    if not over:
        return
    person = next(iter(over.values()))
    places = [cell for cell, by in over.items() if by == person][:MOST_NAMED]
    raise StaleError(
        f"{person} changed {', '.join(map(cell_words, places))} after that",
        where=_verb(entry),
        expected="a step over which nobody has worked since",
        remedy=f"Ask {person}, or change it by hand; everything stays as it is.",
        cells=places,
    )


def refuse_misfit(
    people: Iterable[str], entry: Step, error: LevelheadError | None = None
) -> NoReturn:
    """Say that a step cannot be turned round any more after what others have made of the show.

    Raises
    ------
    StaleError
        Always.
    """
    named = ", ".join(sorted({*people} - {entry.person})) or "the same person"
    why = f": {error.what}" if error is not None else ""
    raise StaleError(
        f"it does not fit any more after later steps of {named}{why}",
        where=_verb(entry),
        expected="a step over which nobody has worked since",
        remedy="Change it by hand; everything stays as it is.",
    ) from error


def _verb(entry: Step) -> str:
    return "redo" if _is_undo(entry) else "undo"
