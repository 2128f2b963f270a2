"""What has changed since an edit: every point of the chain bears the number of its last change.

Two readings in a row of edits that give a point the same stamp have the same figures, gains, levels
and circuits on every way that leads there, to the last bit. What a rule reads upstream of a place
is therefore the same, and so is what it says (``verdicts.places``). Nothing is compared but what
was solved: a stamp that is too new costs a little work, one that is too old would be a mistake.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from levelhead.chain.as_set.graph import Graph
from levelhead.chain.solution import Solution
from levelhead.rig.model import Rig
from levelhead.show.model import Show

__all__ = ["Stamps"]

Whole: TypeAlias = NDArray[np.int64]
Flags: TypeAlias = NDArray[np.bool_]


@dataclass(frozen=True, slots=True, eq=False)
class Stamps:
    """Numbers of the edits that changed something last.

    Attributes
    ----------
    number : int
        Of this reading; that of a fresh start is 0.
    gear : int
        Of the last edit that changed more than gains and leads: items, switches, what is plugged
        where, locks, what nobody knows. With a loop, also of one that opened or shut a way.
    copper : int
        Of the last edit that changed any lead.
    open : int
        Of the last edit that opened or shut a way, or with which a point fell silent or sounds.
    points : int, (points,)
        Of the last edit that changed anything on the ways to a point.
    """

    number: int
    gear: int
    copper: int
    open: int
    points: Whole

    @classmethod
    def first(cls, solution: Solution, number: int = 0) -> Stamps:
        """Stamps where nothing is known of before."""
        points = np.full(len(solution.nominal), number, dtype=np.int64)
        return cls(number, number, number, number, points)

    def after(self, before: Solution, now: Solution) -> Stamps:
        """Stamps of the solution after an edit of ``before``, whose stamps these are."""
        number = self.number + 1
        if not _is_same_gear(before, now):
            return self.first(now, number)
        points = self.points.copy()
        points[_behind(now, _changed(before, now))] = number
        is_same_copper = before.copper is now.copper
        return replace(
            self,
            number=number,
            copper=self.copper if is_same_copper else number,
            open=self.open if _is_open_alike(before, now) else number,
            points=points,
        )


def _is_same_gear(before: Solution, now: Solution) -> bool:
    """Whether ways lead between the same points, and people know as much as before."""
    return (
        now.graph.wiring is before.graph.wiring
        and _is_cut_alike(before, now)
        and _is_same_rig(before.rig, now.rig)
        and _turned(before, now) <= set(now.graph.wiring.controls)
    )


def _is_cut_alike(before: Solution, now: Solution) -> bool:
    """Whether loops, if there are any, run through the same ways."""
    is_open = not (before.graph.order.closing or now.graph.order.closing)
    return is_open or np.array_equal(now.graph.live, before.graph.live)


def _is_open_alike(before: Solution, now: Solution) -> bool:
    """Whether the same ways are open, and the same points sound."""
    is_alike = np.array_equal(before.graph.live, now.graph.live)
    return is_alike and np.array_equal(before.nominal > 0, now.nominal > 0)


def _turned(before: Solution, now: Solution) -> set[str]:
    """Controls that stand elsewhere, or that somebody has set where nobody had."""
    was, settings = before.rig.settings, now.rig.settings
    return {each for each in was.keys() | settings.keys() if was.get(each) != settings.get(each)}


def _is_same_rig(before: Rig, now: Rig) -> bool:
    same_show = _without_settings(before.show) == _without_settings(now.show)
    return (
        same_show
        and now.book is before.book
        and now.unknowns == before.unknowns
        and now.facts == before.facts
        and [link.ports for link in now.links] == [link.ports for link in before.links]
    )


def _without_settings(show: Show) -> Show:
    return replace(show, settings={}, links=())


def _changed(before: Solution, now: Solution) -> Flags:
    """Points at which something is other than before, or to which a changed way leads."""
    changed: Flags = np.zeros(len(now.nominal), dtype=bool)
    for name in ("nominal", "crest_db", "ceiling", "floor", "floor_a"):
        changed |= getattr(before, name) != getattr(now, name)
    changed[now.graph.wiring.ways.target[_other_ways(before.graph, now.graph)]] = True
    changed |= _is_turned(before, now)
    if before.copper is not now.copper:
        pairs = zip(before.copper.passages, now.copper.passages, strict=True)
        sensed = [each for was, each_is in pairs if was is not each_is for each in each_is.senses]
        sockets = now.graph.wiring.sockets
        changed[[sockets[address] for address in sensed]] = True
    return changed


def _other_ways(before: Graph, now: Graph) -> Whole:
    """Numbers of the ways that were opened, shut or turned, or that take another time."""
    both, old, new = np.intersect1d(before.live, now.live, assume_unique=True, return_indices=True)
    was, columns = before.columns, now.columns
    is_other = (was.gain[old] != columns.gain[new]).any(axis=1)
    is_other |= was.delay_ns[old] != columns.delay_ns[new]
    of_one = np.setxor1d(before.live, now.live, assume_unique=True)
    others: Whole = np.append(both[is_other], of_one)
    return others


def _is_turned(before: Solution, now: Solution) -> Flags:
    """Points whose stage, or a way to them, has a control that stands elsewhere."""
    wiring, turned = now.graph.wiring, _turned(before, now)
    numbers = [number for number, name in enumerate(wiring.controls) if name in turned]
    found: Flags = np.isin(wiring.columns.control, numbers)
    found[wiring.ways.target[np.isin(wiring.ways.control, numbers)]] = True
    return found


def _behind(solution: Solution, changed: Flags) -> Flags:
    """Those points, and all to which anything leads from there."""
    source, target = solution.graph.columns.source, solution.graph.columns.target
    found, count = changed.copy(), -1
    while count != (count := int(found.sum())):
        found[target[found[source]]] = True
    return found
