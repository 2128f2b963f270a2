"""Where signals go, before how strong they are: all pairs of a point and what arrives there.

Pairs are laid out once for a graph; gains then flow through them (``chain.carrying.propagate``),
again and again while controls move. Only pairs that carry something have a row.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from levelhead.chain.graph.order import Order
from levelhead.chain.graph.points import EdgeColumns

__all__ = ["Layout", "Levels", "Step", "lay_out"]

Whole = NDArray[np.int64]
Flags = NDArray[np.bool_]


@dataclass(frozen=True, slots=True, eq=False)
class Levels:
    """Edges by the depth of the points that they lead to, and points that fan out."""

    arriving: tuple[Whole, ...]
    depth: Whole
    fans: Whole

    @classmethod
    def of(cls, edges: EdgeColumns, order: Order) -> Levels:
        """Edges that close a loop are left out."""
        kept = order.onward(len(edges))
        levels = int(order.depth.max(initial=0)) + 1
        arriving = order.depth[edges.target[kept]]
        rank = np.argsort(arriving, kind="stable")
        bounds = np.searchsorted(arriving[rank], np.arange(levels + 1))
        parts = (kept[rank[bounds[level] : bounds[level + 1]]] for level in range(levels))
        return cls(tuple(parts), order.depth, _fan_outs(edges, kept, len(order.depth)))

    def leading_to(self, points: Sequence[int], edges: EdgeColumns) -> tuple[Levels, Flags]:
        """Only what leads to some points, and which points do, themselves among them."""
        leads: Flags = np.zeros(len(self.depth), dtype=bool)
        leads[list(points)] = True
        parts: list[Whole] = []
        for arriving in reversed(self.arriving):
            kept = arriving[leads[edges.target[arriving]]]
            leads[edges.source[kept]] = True
            parts.append(kept)
        return replace(self, arriving=tuple(reversed(parts))), leads


def _fan_outs(edges: EdgeColumns, kept: Whole, points: int) -> Whole:
    """Points that feed more than one way that goes on, or that meets others where it ends."""
    source, target = edges.source[kept], edges.target[kept]
    matters = np.bincount(target, minlength=points) > 1
    matters[source] = True
    return np.flatnonzero(np.bincount(source[matters[target]], minlength=points) > 1)


@dataclass(frozen=True, slots=True, eq=False)
class Step:
    """What arrives at the points of one depth, sorted by the row that it adds to.

    Attributes
    ----------
    edge, source : int, (arrivals,)
        By which edge, from which row. What enters comes from its own row by the edge of gain one.
    target : int, (arrivals,)
    first : int, (rows,)
        Where the arrivals of each row begin.
    start, stop
        Rows that are made here.
    """

    edge: Whole
    source: Whole
    target: Whole
    first: Whole
    start: int
    stop: int


@dataclass(frozen=True, slots=True, eq=False)
class Layout:
    """Rows of amplitudes: first ``inputs`` as they enter, then all pairs, depth by depth.

    Attributes
    ----------
    point, component : int, (pairs,)
        Pairs of one point stand together. Components from ``first_noise`` on are noises.
    delay_ns : int, (pairs,)
        Pairs of one component at one point differ in it. [ns]
    """

    steps: tuple[Step, ...]
    inputs: int
    point: Whole
    component: Whole
    delay_ns: Whole
    first_noise: int

    def __repr__(self) -> str:
        return f"Layout({len(self.point)} pairs in {len(self.steps)} steps)"

    @property
    def rows(self) -> int:
        """Inputs and pairs."""
        return self.inputs + len(self.point)


class _Arrivals:
    """Numbers of arrivals: components as they enter first, then what was delayed."""

    def __init__(self, components: int) -> None:
        self.component = list(range(components))
        self.delay_ns = [0] * components
        self._numbers: dict[tuple[int, int], int] = {}

    def __len__(self) -> int:
        return len(self.component)

    def later(self, arrivals: Whole, delay_ns: Whole) -> Whole:
        """The same arrivals, each so much later."""
        moved = arrivals.copy()
        for place in np.flatnonzero(delay_ns):
            arrival = int(arrivals[place])
            total_ns = self.delay_ns[arrival] + int(delay_ns[place])
            moved[place] = self._number(self.component[arrival], total_ns)
        return moved

    def _number(self, component: int, delay_ns: int) -> int:
        known = self._numbers.get((component, delay_ns))
        if known is None:
            known = self._numbers[component, delay_ns] = len(self)
            self.component.append(component)
            self.delay_ns.append(delay_ns)
        return known


def lay_out(
    edges: EdgeColumns, levels: Levels, entering: Whole, component: Whole, *, first_noise: int
) -> Layout:
    """Lay out all pairs.

    Parameters
    ----------
    entering, component : int, (inputs,)
        Point and component of everything that enters: signals, and noise where it fans out.
    first_noise
        Number of signals; noises are numbered from here.
    """
    components = max(int(component.max(initial=-1)) + 1, first_noise)
    walk = _Walk(edges, len(levels.depth), entering, component, components)
    steps = tuple(walk.steps(levels))
    point, arrival = walk.point, walk.arrival
    return Layout(
        steps=steps,
        inputs=len(entering),
        point=point,
        component=np.array(walk.arrivals.component, dtype=np.int64)[arrival],
        delay_ns=np.array(walk.arrivals.delay_ns, dtype=np.int64)[arrival],
        first_noise=first_noise,
    )


class _Walk:
    """Pairs found so far, and where those of each point stand."""

    def __init__(
        self, edges: EdgeColumns, points: int, entering: Whole, component: Whole, components: int
    ) -> None:
        self.edges = edges
        self.entering = entering
        self.entering_component = component
        self.arrivals = _Arrivals(components)
        self.start: Whole = np.zeros(points, dtype=np.int64)
        self.count: Whole = np.zeros(points, dtype=np.int64)
        self.point: Whole = np.zeros(0, dtype=np.int64)
        self.arrival: Whole = np.zeros(0, dtype=np.int64)

    def steps(self, levels: Levels) -> Iterator[Step]:
        """One step for each depth at which something arrives."""
        entering_depth = levels.depth[self.entering]
        for depth, edges in enumerate(levels.arriving):
            inputs = np.flatnonzero(entering_depth == depth)
            edge, source = self._brought(edges)
            if not len(edge) and not len(inputs):
                continue
            arrival = self._later(edge, self.arrival[source - len(self.entering)])
            if not len(inputs):
                yield self._kept(edge, source, self.edges.target[edge], arrival)
            else:
                yield self._kept(
                    np.append(edge, np.full(len(inputs), len(self.edges))),
                    np.append(source, inputs),
                    np.append(self.edges.target[edge], self.entering[inputs]),
                    np.append(arrival, self.entering_component[inputs]),
                )

    def _brought(self, edges: Whole) -> tuple[Whole, Whole]:
        """Every row at the start of every edge."""
        counts = self.count[self.edges.source[edges]]
        edge = np.repeat(edges, counts)
        begin = self.start[self.edges.source[edges]] - np.cumsum(counts) + counts
        return edge, np.repeat(begin, counts) + np.arange(len(edge))

    def _later(self, edge: Whole, arrival: Whole) -> Whole:
        delay_ns = self.edges.delay_ns[edge]
        return self.arrivals.later(arrival, delay_ns) if delay_ns.any() else arrival

    def _kept(self, edge: Whole, source: Whole, point: Whole, arrival: Whole) -> Step:
        """Sort arrivals by pair, and remember where the pairs of each point stand."""
        key = point * (len(self.arrivals) + 1) + arrival
        rank = np.argsort(key, kind="stable")
        first, arrivals = _runs(key[rank])
        point, arrival = point[rank[first]], arrival[rank[first]]
        begin, counts = _runs(point)
        start = len(self.entering) + len(self.point)
        self.start[point[begin]] = start + begin
        self.count[point[begin]] = counts
        self.point = np.concatenate([self.point, point])
        self.arrival = np.concatenate([self.arrival, arrival])
        made = np.repeat(np.arange(start, start + len(point)), arrivals)
        return Step(edge[rank], source[rank], made, first, start, start + len(point))


def _runs(ordered: Whole) -> tuple[Whole, Whole]:
    """Where each run of equal numbers begins, and how long it is."""
    begins = np.ones(len(ordered), dtype=bool)
    np.not_equal(ordered[1:], ordered[:-1], out=begins[1:])
    first = np.flatnonzero(begins)
    length = np.empty_like(first)
    length[:-1] = first[1:] - first[:-1]
    length[-1:] = len(ordered) - first[-1:]
    return first, length
