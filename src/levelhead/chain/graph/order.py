"""The order of points along the signal, and the edges that close a loop."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from typing import Final

import numpy as np
from numpy.typing import NDArray

from levelhead.chain.graph.points import EdgeColumns

__all__ = ["Order", "points_in_order"]

Whole = NDArray[np.int64]

_USUAL_DEPTH: Final = 80  # steps of a long way through a rig: beyond it a loop is looked for


@dataclass(frozen=True, slots=True, eq=False)
class Order:
    """Depth of every point (each lies deeper than all that feed it), and what was left out."""

    depth: Whole
    closing: tuple[int, ...]  # edges that lead back into their own past

    def onward(self, edges: int) -> Whole:
        """Numbers of those of so many edges that close no loop."""
        leads_on = np.ones(edges, dtype=bool)
        leads_on[np.array(self.closing, dtype=np.int64)] = False
        return np.flatnonzero(leads_on)


def points_in_order(
    edges: EdgeColumns,
    names: Sequence[str],
    starts: Iterable[int],
    leaks: Collection[int] = (),
) -> Order:
    """Depth of every point.

    Parameters
    ----------
    names
        Addresses of the points. Where a loop is cut depends on them, not on the order of items.
    starts
        Points at which signals enter: a loop is cut where such a signal comes round to itself.
    leaks
        Edges by which next to nothing passes: a loop that one of them closes is cut there, and the
        ways that signals are meant to take stay whole.
    """
    source, target = edges.source, edges.target
    depth, is_endless = _depths(source, target, len(names))
    if not is_endless:
        return Order(depth, ())
    closing = _closing_edges(edges, names, starts, leaks)
    kept = np.ones(len(edges), dtype=bool)
    kept[closing] = False
    depth, _ = _depths(source[kept], target[kept], len(names))
    return Order(depth, tuple(closing))


def _depths(source: Whole, target: Whole, points: int) -> tuple[Whole, bool]:
    """Length of the longest way to each point, and whether a loop makes it endless."""
    depth = np.zeros(points, dtype=np.int64)
    for steps in range(points + 1):
        raised = depth.copy()
        np.maximum.at(raised, target, depth[source] + 1)
        if (raised == depth).all():
            return depth, False
        depth = raised
        if steps == _USUAL_DEPTH and _is_endless(source, target, points):
            break
    return depth, True


def _is_endless(source: Whole, target: Whole, points: int) -> bool:
    """Whether points are left when all are taken away, again and again, that nothing leads to."""
    left = np.ones(points, dtype=bool)
    while True:
        fed = np.zeros(points, dtype=bool)
        fed[target[left[source]]] = True
        if (fed == left).all():
            return bool(left.any())
        left = fed


@dataclass(slots=True)
class _Search:
    """A depth-first walk. An edge to a point that the walk still stands on closes a loop."""

    target: Sequence[int]
    follow: Sequence[Sequence[int]]
    on_the_way: set[int] = field(default_factory=set)
    done: set[int] = field(default_factory=set)
    closing: list[int] = field(default_factory=list)

    def walk(self, root: int) -> None:
        if root in self.done:
            return
        self.on_the_way.add(root)
        stack = [(root, iter(self.follow[root]))]
        while stack:
            point, rest = stack[-1]
            after = self._next(rest)
            if after is None:
                self.on_the_way.discard(point)
                self.done.add(point)
                stack.pop()
            else:
                self.on_the_way.add(after)
                stack.append((after, iter(self.follow[after])))

    def _next(self, rest: Iterator[int]) -> int | None:
        """The next point not seen yet, by the edges that are left."""
        for number in rest:
            after = self.target[number]
            if after in self.on_the_way:
                self.closing.append(number)
            elif after not in self.done:
                return after
        return None


def _closing_edges(
    edges: EdgeColumns, names: Sequence[str], starts: Iterable[int], leaks: Collection[int]
) -> list[int]:
    """Cuts of the loops without leaks, then leaks by which what is left would come round."""
    source, target = edges.source.tolist(), edges.target.tolist()
    follow: list[list[int]] = [[] for _ in names]
    for number in set(range(len(source))).difference(leaks):
        follow[source[number]].append(number)
    for ways in follow:
        ways.sort(key=lambda number: (names[target[number]], number))
    search = _Search(target, follow)
    for root in (*_by_name(set(starts), names), *_by_name(range(len(names)), names)):
        search.walk(root)
    closing = search.closing
    for ways in follow:
        ways[:] = [number for number in ways if number not in closing]
    for leak in sorted(leaks, key=lambda each: (names[source[each]], names[target[each]])):
        if source[leak] in _reached(target[leak], target, follow):
            closing.append(leak)
        else:
            follow[source[leak]].append(leak)
    return sorted(closing)


def _reached(start: int, target: Sequence[int], follow: Sequence[Sequence[int]]) -> set[int]:
    """Points to which a signal comes from one, itself among them."""
    found, new = {start}, [start]
    while new:
        onward = {target[number] for number in follow[new.pop()]} - found
        found |= onward
        new += onward
    return found


def _by_name(points: Iterable[int], names: Sequence[str]) -> list[int]:
    return sorted(points, key=lambda point: names[point])
