"""Conditions typed with a question about a show: met in that show, as in a question without one.

``48 V on``, ``with pad``, ``10 m``, ``gain half up``: what they say of switches and knobs is set
and stays as it was said, a lead and its length are taken, a level goes to what is added. What has
no place in the show is told with the reason.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

from levelhead.gear.book import GearBook
from levelhead.planning.asked.conditions_met import Applied, Met, Unused, meet
from levelhead.planning.asked.little_rig import own_level
from levelhead.planning.typed.candidates import Candidate
from levelhead.planning.typed.conditions import Condition
from levelhead.show.addresses import item_of
from levelhead.show.edits import AddItem, Edit, Set

__all__ = ["MetInShow", "Stated", "met_in_show"]

Stated = tuple[tuple[str, Condition], ...]
"""Conditions with the side at which they were typed, ``from`` or ``to``."""

_OF_THE_RIG: Final = "the show says how many there are, and which sides are plugged"
_OWN_FIGURE: Final = "a figure of gear that is in the show already stands in the show"
_NO_LEVEL: Final = (
    "only what makes its signal itself has a level here; say that of a voice as its own"
)
_NO_BOX: Final = "no such box is in stock or common for that; the answer is without it"
_OF_MORE: Final = frozenset({"count", "sides"})
_FIGURES: Final = frozenset({"ohm", "watt"})


@dataclass(frozen=True, slots=True)
class MetInShow:
    """What conditions do between one output and one input of a show.

    ``settings`` go by address in the show, ``figures`` belong to what is added.
    ``level`` is a figure of what sounds. ``has_boxes`` tells whether boxes that were said to lie
    between are there.
    """

    applied: tuple[Applied, ...] = ()
    unused: tuple[Unused, ...] = ()
    settings: tuple[tuple[str, str], ...] = ()
    figures: tuple[tuple[str, str], ...] = ()
    level: tuple[tuple[str, str], ...] = ()
    cable: str | None = None
    length_m: float | None = None
    has_boxes: bool = True

    @property
    def edits(self) -> tuple[Set, ...]:
        """Switches and knobs as they were said."""
        return tuple(Set(address, value) for address, value in self.settings)

    @property
    def has_lead(self) -> bool:
        """Whether a lead or its length was said."""
        return self.cable is not None or self.length_m is not None

    @property
    def held(self) -> frozenset[str]:
        """Controls that stay as they were said."""
        return frozenset(address for address, _ in self.settings)

    def with_figures(self, edits: Sequence[Edit], last: str) -> tuple[Edit, ...]:
        """The same edits, with figures in what they add first and in the item ``last``."""
        added = [edit.item.id for edit in edits if isinstance(edit, AddItem)]
        given = {last: dict(self.figures)}
        for first in added[:1]:
            given[first] = {**given.get(first, {}), **dict(self.level)}
        return tuple(
            AddItem(replace(edit.item, figures={**edit.item.figures, **given[edit.item.id]}))
            if isinstance(edit, AddItem) and given.get(edit.item.id)
            else edit
            for edit in edits
        )

    def together(self, other: MetInShow) -> MetInShow:
        """The same of two inputs, each thing said once."""
        return replace(
            self,
            applied=tuple(dict.fromkeys((*self.applied, *other.applied))),
            settings=tuple(dict.fromkeys((*self.settings, *other.settings))),
        )


def met_in_show(
    book: GearBook,
    stated: Stated,
    start: tuple[str, str],
    end: tuple[str, str],
    *,
    added: Sequence[str] = (),
) -> MetInShow:
    """Meet conditions between an output and an input, each by its address and its item's type.

    ``added`` are the types that are new in the show, from what sounds to the last box.
    """
    if not stated:
        return MetInShow()
    sides = {"from": start, "to": end}
    candidates = [Candidate(type_id, _local(at), "", 1.0) for at, type_id in sides.values()]
    met = meet(book, (candidates[0], candidates[1]), stated)
    figures = dict(met.figures["from"]) if added else {}
    level = own_level(book.plan(added[0], {}, {}), met.level) if added else {}
    has_boxes = {each.type_id for each in met.boxes} <= set(added)
    kept, unused = _sorted_out(
        met, is_new=bool(figures), has_level=bool(level), has_boxes=has_boxes
    )
    return MetInShow(
        kept,
        (*met.unused, *unused),
        tuple(
            (f"{item_of(sides[side][0])}.{name}", value)
            for side, local in met.settings.items()
            for name, value in local.items()
        ),
        tuple(figures.items()),
        tuple(level.items()),
        met.cable,
        met.length_m,
        has_boxes,
    )


def _local(address: str) -> str:
    return address.partition(".")[2]


def _sorted_out(
    met: Met, *, is_new: bool, has_level: bool, has_boxes: bool
) -> tuple[tuple[Applied, ...], list[Unused]]:
    """What holds in a show, and what was met only in a rig made for a question."""
    kept, unused = [], []
    for each in met.applied:
        why = None
        if each.kind in _OF_MORE:
            why = _OF_THE_RIG
        elif each.kind in _FIGURES and not is_new:
            why = _OWN_FIGURE
        elif each.kind == "level" and not has_level:
            why = _NO_LEVEL
        elif each.kind in ("through", "cable") and met.boxes and not has_boxes:
            why = _NO_BOX
        if why is None:
            kept.append(each)
        else:
            unused.append(Unused(each.words, why))
    return tuple(kept), unused
