"""Signals and noise carried along the graph, in signal order, all points of one depth at once.

Only pairs (point, component) that carry something are held. Noise adds as power until it meets
its first fan-out; from there on it is a component of its own, so that two ways of one noise to
one bus add as voltages, as they do in a mixer.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from levelhead.chain.graph import Edge
from levelhead.quantity.bands import BANDS

__all__ = ["Carried", "Injection", "carry", "edges_in_order"]

Real = NDArray[np.float64]
Complex = NDArray[np.complex128]


@dataclass(frozen=True, slots=True)
class Injection:
    """A component that enters at a point with an amplitude in each band."""

    point: int
    component: int
    amplitude: Complex


@dataclass(frozen=True, slots=True, eq=False)
class Carried:
    """Amplitudes of all pairs, sorted by point.

    Attributes
    ----------
    point, component : int, (pairs,)
        Components from ``first_noise`` on are noises.
    amplitude : complex, (pairs, bands)
    noise_power : float, (points, bands)
        Noise that has met no fan-out yet, mean square.
    first_noise : int
    """

    point: NDArray[np.int64]
    component: NDArray[np.int64]
    amplitude: Complex
    noise_power: Real
    first_noise: int

    @property
    def power(self) -> Real:
        """Mean square of each pair in each band."""
        power: Real = self.amplitude.real**2 + self.amplitude.imag**2
        return power

    def signal_power(self, points: int) -> Real:
        """Mean square of all signals at each point; (points, bands)."""
        return self._summed(self.component < self.first_noise, points)

    def noise_total(self) -> Real:
        """Mean square of all noise at each point; (points, bands)."""
        return self.noise_power + self._summed(
            self.component >= self.first_noise, len(self.noise_power)
        )

    def _summed(self, chosen: NDArray[np.bool_], points: int) -> Real:
        total = np.zeros((points, self.amplitude.shape[1]))
        np.add.at(total, self.point[chosen], self.power[chosen])
        return total


def edges_in_order(edges: Sequence[Edge], points: int) -> tuple[NDArray[np.int64], list[int]]:
    """Depth of every point, and the edges that close a loop (they are left out of the order)."""
    source = np.array([edge.source for edge in edges], dtype=np.int64)
    target = np.array([edge.target for edge in edges], dtype=np.int64)
    depth = np.zeros(points, dtype=np.int64)
    kept = np.ones(len(edges), dtype=bool)
    for _ in range(points + 1):
        raised = depth.copy()
        np.maximum.at(raised, target[kept], depth[source[kept]] + 1)
        if (raised == depth).all():
            return depth, [int(number) for number in np.flatnonzero(~kept)]
        depth = raised
        if depth.max() > points:
            break
    return _without_loops(source, target, points)


def _without_loops(
    source: NDArray[np.int64], target: NDArray[np.int64], points: int
) -> tuple[NDArray[np.int64], list[int]]:
    """Depths once the edges that lead back into their own past are left out (depth-first search)."""
    follow: list[list[int]] = [[] for _ in range(points)]
    for number, start in enumerate(source):
        follow[start].append(number)
    state = np.zeros(points, dtype=np.int8)  # 0 new, 1 on the way, 2 done
    closing: list[int] = []
    order: list[int] = []
    for root in range(points):
        stack = [(root, iter(follow[root]))] if state[root] == 0 else []
        state[root] = max(state[root], 1)
        while stack:
            node, rest = stack[-1]
            for number in rest:
                after = int(target[number])
                if state[after] == 1:
                    closing.append(number)
                elif state[after] == 0:
                    state[after] = 1
                    stack.append((after, iter(follow[after])))
                    break
            else:
                state[node] = 2
                order.append(node)
                stack.pop()
    depth = np.zeros(points, dtype=np.int64)
    left_out = set(closing)
    for node in reversed(order):
        for number in follow[node]:
            if number not in left_out:
                depth[target[number]] = max(depth[target[number]], depth[node] + 1)
    return depth, sorted(closing)


def _edge_gains(edges: Sequence[Edge]) -> Complex:
    gains = np.empty((len(edges), BANDS), dtype=np.complex128)
    for row, edge in enumerate(edges):
        gains[row] = edge.gain
    return gains


def carry(
    edges: Sequence[Edge], own_noise: Real, injections: Sequence[Injection], components: int
) -> tuple[Carried, list[int]]:
    """Carry every component and all noise to every point.

    Parameters
    ----------
    own_noise : float, (points, bands)
        Mean square that arises at each point.
    components : int
        Number of signals; noises are numbered from here.

    Returns
    -------
    Carried, and the numbers of edges that close a loop and were left out.
    """
    points = len(own_noise)
    depth, closing = edges_in_order(edges, points)
    open_edges = np.setdiff1d(np.arange(len(edges)), closing)
    walk = _Walk(edges, _edge_gains(edges), own_noise, components)
    by_depth: dict[int, list[Injection]] = {}
    for injection in injections:
        by_depth.setdefault(int(depth[injection.point]), []).append(injection)
    edge_depth = depth[walk.target[open_edges]] if len(open_edges) else np.zeros(0, np.int64)
    order = np.argsort(edge_depth, kind="stable")
    bounds = np.searchsorted(edge_depth[order], np.arange(int(depth.max(initial=0)) + 2))
    fan_out = _fan_outs(walk, open_edges, points)
    for level in range(len(bounds) - 1):
        walk.step(
            open_edges[order[bounds[level] : bounds[level + 1]]],
            by_depth.get(level, ()),
            np.flatnonzero(fan_out & (depth == level)),
        )
    return walk.carried(), closing


def _fan_outs(walk: _Walk, open_edges: NDArray[np.int64], points: int) -> NDArray[np.bool_]:
    """Points that feed more than one way that goes on."""
    goes_on = np.zeros(points, dtype=bool)
    goes_on[walk.source[open_edges]] = True
    ways = np.zeros(points, dtype=np.int64)
    onward = open_edges[goes_on[walk.target[open_edges]]]
    np.add.at(ways, walk.source[onward], 1)
    return ways > 1


class _Walk:
    """Pairs found so far, and where those of each point stand."""

    def __init__(
        self, edges: Sequence[Edge], gains: Complex, own_noise: Real, components: int
    ) -> None:
        self.source = np.array([edge.source for edge in edges], dtype=np.int64)
        self.target = np.array([edge.target for edge in edges], dtype=np.int64)
        self.gains = gains
        self.gain_power = gains.real**2 + gains.imag**2
        points = len(own_noise)
        self.noise = own_noise.copy()  # not yet fanned out
        self.passed_on = np.ones(points, dtype=bool)  # noise still goes on as power
        self.start = np.zeros(points, dtype=np.int64)
        self.count = np.zeros(points, dtype=np.int64)
        self.first_noise = components
        self.components = components
        self.parts: list[tuple[NDArray[np.int64], NDArray[np.int64], Complex]] = []
        self.pairs = 0
        self.amplitude: Complex = np.zeros((64, BANDS), dtype=np.complex128)
        self.component = np.zeros(64, dtype=np.int64)
        self.point = np.zeros(64, dtype=np.int64)

    def step(
        self,
        edges: NDArray[np.int64],
        injections: Sequence[Injection],
        fan_outs: NDArray[np.int64],
    ) -> None:
        """All points of one depth: what arrives by edges, what enters, and noise that fans out."""
        self._carry_noise(edges)
        point, component, amplitude = self._arriving(edges)
        for injection in injections:
            point = np.append(point, injection.point)
            component = np.append(component, injection.component)
            amplitude = np.concatenate([amplitude, injection.amplitude[None]])
        noisy = fan_outs[self.noise[fan_outs].any(axis=1)]
        if len(noisy):
            numbers = np.arange(self.components, self.components + len(noisy))
            self.components += len(noisy)
            point = np.concatenate([point, noisy])
            component = np.concatenate([component, numbers])
            amplitude = np.concatenate([amplitude, np.sqrt(self.noise[noisy]).astype(complex)])
            self.passed_on[noisy] = False
            self.noise[noisy] = 0.0
        self._keep(point, component, amplitude)

    def _carry_noise(self, edges: NDArray[np.int64]) -> None:
        plain = edges[self.passed_on[self.source[edges]]]
        np.add.at(
            self.noise, self.target[plain], self.gain_power[plain] * self.noise[self.source[plain]]
        )

    def _arriving(
        self, edges: NDArray[np.int64]
    ) -> tuple[NDArray[np.int64], NDArray[np.int64], Complex]:
        counts = self.count[self.source[edges]]
        repeated = np.repeat(edges, counts)
        begin = np.repeat(self.start[self.source[edges]], counts)
        offset = np.arange(len(repeated)) - np.repeat(np.cumsum(counts) - counts, counts)
        pairs = begin + offset
        return (
            self.target[repeated],
            self.component[pairs],
            self.gains[repeated] * self.amplitude[pairs],
        )

    def _keep(
        self, point: NDArray[np.int64], component: NDArray[np.int64], amplitude: Complex
    ) -> None:
        """Add arrivals of one component at one point as voltages, and store the pairs by point."""
        if not len(point):
            return
        key = point * (self.components + 1) + component
        order = np.argsort(key, kind="stable")
        key, point, component = key[order], point[order], component[order]
        first = np.flatnonzero(np.concatenate([[True], key[1:] != key[:-1]]))
        summed = np.add.reduceat(amplitude[order], first, axis=0)
        point, component = point[first], component[first]
        self._grow(len(point))
        here = slice(self.pairs, self.pairs + len(point))
        self.point[here], self.component[here], self.amplitude[here] = point, component, summed
        places, begin, counts = np.unique(point, return_index=True, return_counts=True)
        self.start[places] = self.pairs + begin
        self.count[places] = counts
        self.pairs += len(point)

    def _grow(self, more: int) -> None:
        need = self.pairs + more
        if need > len(self.point):
            size = max(need, 2 * len(self.point))
            self.point = np.resize(self.point, size)
            self.component = np.resize(self.component, size)
            wider = np.zeros((size, BANDS), dtype=np.complex128)
            wider[: self.pairs] = self.amplitude[: self.pairs]
            self.amplitude = wider

    def carried(self) -> Carried:
        order = np.argsort(self.point[: self.pairs], kind="stable")
        return Carried(
            point=self.point[: self.pairs][order],
            component=self.component[: self.pairs][order],
            amplitude=self.amplitude[: self.pairs][order],
            noise_power=self.noise,
            first_noise=self.first_noise,
        )
