"""Ends of a rig to which a remedy would keep a signal from coming."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from levelhead.chain.solution import Solution
from levelhead.planning.arrivals import Arrival
from levelhead.planning.trial import Trial
from levelhead.show.addresses import item_of
from levelhead.show.edits import AddItem, Edit, Plug, Retype, Set, Unplug

__all__ = ["cut_off"]


def cut_off(before: Trial, after: Trial, edits: Iterable[Edit]) -> frozenset[Arrival]:
    """Signals with the ends that they got to before some edits, and not after them.

    Of gear that has a plug elsewhere afterwards, or is switched, any end counts, as the other track
    of a recorder does.
    """
    if before.solution.paths is after.solution.paths:
        return frozenset()
    lost = before.arrivals - after.arrivals
    if not lost:
        return lost
    handled = {item for edit in edits for item in _items(edit)}
    at_items = {(start, item_of(end)) for start, end in after.arrivals}
    return frozenset(
        (start, end)
        for start, end in lost
        if (item_of(end) not in handled or (start, item_of(end)) not in at_items)
        and not _passes(after.solution, start, end)
    )


def _passes(solution: Solution, start: str, point: str) -> bool:
    """Whether a signal gets to a point on its way further on: what was shut behind it is open."""
    return any(item_of(way[0]) == start and point in way for way in solution.paths)


def _items(edit: Edit) -> Iterator[str]:
    """Items that have a plug elsewhere after an edit, are switched otherwise, or are others."""
    if isinstance(edit, Plug | Unplug):
        yield from edit.link.items
    elif isinstance(edit, Set):
        yield item_of(edit.address)
    elif isinstance(edit, Retype):
        yield edit.item
    elif isinstance(edit, AddItem):
        yield edit.item.id
