"""Signals and noise carried along the graph, in signal order, all points of one depth at once.

Only pairs (point, component) that carry something are held. Noise adds as power until it meets
its first fan-out; from there on it is a component of its own, so that two ways of one noise to
one bus add as voltages, as they do in a mixer.
"""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from levelhead.chain.graph import Edge
from levelhead.chain.order import Order
from levelhead.quantity.bands import BANDS, edges_hz

__all__ = ["Carried", "Injection", "carry"]

Real = NDArray[np.float64]
Complex = NDArray[np.complex128]
Whole = NDArray[np.int64]
_FIRST_ROOM = 64  # pairs; doubles when full


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
    delay_s : float, (pairs,)
        Pairs of one component at one point differ in it.
    noise_power : float, (points, bands)
        Noise that has met no fan-out yet, mean square.
    first_noise : int
    """

    point: Whole
    component: Whole
    amplitude: Complex
    delay_s: Real
    noise_power: Real
    first_noise: int

    @property
    def power(self) -> Real:
        """Mean square of each pair in each band."""
        power: Real = self.amplitude.real**2 + self.amplitude.imag**2
        return power

    def signal_power(self) -> Real:
        """Mean square of all signals at each point; (points, bands)."""
        return self._summed(self.component < self.first_noise)

    def noise_total(self) -> Real:
        """Mean square of all noise at each point; (points, bands)."""
        return self.noise_power + self._summed(self.component >= self.first_noise)

    def _summed(self, chosen: NDArray[np.bool_]) -> Real:
        total = np.zeros_like(self.noise_power)
        np.add.at(total, self.point[chosen], self.power[chosen])
        if self.delay_s.any():
            self._add_crossed(total, np.flatnonzero(chosen))
        return total

    def _add_crossed(self, total: Real, chosen: Whole) -> None:
        """Cross terms of arrivals that are one component at one point."""
        key = self.point[chosen] * (int(self.component.max(initial=0)) + 1) + self.component[chosen]
        rank = chosen[np.argsort(key, kind="stable")]
        same = np.sort(key, kind="stable")
        bounds = np.flatnonzero(np.diff(same, prepend=-1, append=-1))
        for start, stop in itertools.pairwise(bounds):
            for one, other in itertools.combinations(rank[start:stop], 2):
                total[self.point[one]] += self._crossed(one, other)

    def _crossed(self, one: int, other: int) -> Real:
        """Mean cross term of two arrivals in each band."""
        low_hz, high_hz = edges_hz()
        apart_s = self.delay_s[one] - self.delay_s[other]
        turned = np.exp(-1j * np.pi * (low_hz + high_hz) * apart_s)
        both = self.amplitude[one] * np.conj(self.amplitude[other]) * turned
        crossed: Real = 2 * both.real * np.sinc((high_hz - low_hz) * apart_s)
        return crossed


def carry(
    edges: Sequence[Edge],
    order: Order,
    own_noise: Real,
    injections: Sequence[Injection],
    components: int,
) -> Carried:
    """Carry every component and all noise to every point.

    Parameters
    ----------
    order
        Depths of the points; edges that close a loop are left out.
    own_noise : float, (points, bands)
        Mean square that arises at each point.
    components : int
        Number of signals; noises are numbered from here.
    """
    arrays = _EdgeArrays.of(edges)
    kept = np.setdiff1d(np.arange(len(edges)), order.closing).astype(np.int64)
    fan_out = _fan_outs(arrays, kept, len(own_noise))
    entering: dict[int, list[Injection]] = {}
    for injection in injections:
        entering.setdefault(int(order.depth[injection.point]), []).append(injection)
    walk = _Walk(arrays, own_noise, components)
    for level, arriving in enumerate(_by_depth(order.depth, kept, arrays.target)):
        fans = np.flatnonzero(fan_out & (order.depth == level))
        walk.step(arriving, entering.get(level, ()), fans)
    return walk.carried()


@dataclass(frozen=True, slots=True, eq=False)
class _EdgeArrays:
    """Edges as columns: (edges,) and (edges, bands)."""

    source: Whole
    target: Whole
    gain: Complex
    delay_ns: Whole

    @classmethod
    def of(cls, edges: Sequence[Edge]) -> _EdgeArrays:
        gain = np.empty((len(edges), BANDS), dtype=np.complex128)
        for row, edge in enumerate(edges):
            gain[row] = edge.gain
        return cls(
            np.array([edge.source for edge in edges], dtype=np.int64),
            np.array([edge.target for edge in edges], dtype=np.int64),
            gain,
            np.array([round(edge.delay_s * 1e9) for edge in edges], dtype=np.int64),
        )


def _by_depth(depth: Whole, kept: Whole, target: Whole) -> list[Whole]:
    """Edges that arrive at points of each depth, from 0."""
    levels = int(depth.max(initial=0)) + 1
    arriving = depth[target[kept]]
    rank = np.argsort(arriving, kind="stable")
    bounds = np.searchsorted(arriving[rank], np.arange(levels + 1))
    return [kept[rank[bounds[level] : bounds[level + 1]]] for level in range(levels)]


def _fan_outs(edges: _EdgeArrays, kept: Whole, points: int) -> NDArray[np.bool_]:
    """Points that feed more than one way that goes on, or that meets others where it ends."""
    source, target = edges.source[kept], edges.target[kept]
    matters = np.bincount(target, minlength=points) > 1
    matters[source] = True
    return np.bincount(source[matters[target]], minlength=points) > 1


class _Arrivals:
    """Numbers of arrivals: components as they enter first, then noises and what was delayed."""

    def __init__(self, components: int) -> None:
        self.component = list(range(components))
        self.delay_ns = [0] * components
        self.components = components
        self._numbers: dict[tuple[int, int], int] = {}

    def __len__(self) -> int:
        return len(self.component)

    def new_noises(self, count: int) -> Whole:
        """Arrivals of new components without delay."""
        first = len(self)
        self.component += range(self.components, self.components + count)
        self.delay_ns += [0] * count
        self.components += count
        return np.arange(first, first + count, dtype=np.int64)

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


class _Walk:
    """Pairs found so far, and where those of each point stand."""

    def __init__(self, edges: _EdgeArrays, own_noise: Real, components: int) -> None:
        points = len(own_noise)
        self.edges = edges
        self.gain_power = edges.gain.real**2 + edges.gain.imag**2
        self.noise = own_noise.copy()  # not yet fanned out
        self.first_noise = components
        self.arrivals = _Arrivals(components)
        self.start: Whole = np.zeros(points, dtype=np.int64)
        self.count: Whole = np.zeros(points, dtype=np.int64)
        self.pairs = 0
        self.point: Whole = np.zeros(_FIRST_ROOM, dtype=np.int64)
        self.arrival: Whole = np.zeros(_FIRST_ROOM, dtype=np.int64)
        self.amplitude: Complex = np.zeros((_FIRST_ROOM, BANDS), dtype=np.complex128)

    def step(self, edges: Whole, injections: Sequence[Injection], fan_outs: Whole) -> None:
        """All points of one depth: what arrives by edges, what enters, and noise that fans out."""
        source, target = self.edges.source[edges], self.edges.target[edges]
        np.add.at(self.noise, target, self.gain_power[edges] * self.noise[source])
        found = [self._arriving(edges)]
        found += [_one(each.point, each.component, each.amplitude) for each in injections]
        found.append(self._fanned_out(fan_outs))
        self._keep(*(np.concatenate(parts) for parts in zip(*found, strict=True)))

    def _fanned_out(self, points: Whole) -> tuple[Whole, Whole, Complex]:
        """Noise of points that fan out becomes components; nothing is left to go on as power."""
        noisy = points[self.noise[points].any(axis=1)]
        numbers = self.arrivals.new_noises(len(noisy))
        amplitude = np.sqrt(self.noise[noisy]).astype(np.complex128)
        self.noise[noisy] = 0.0
        return noisy, numbers, amplitude

    def _arriving(self, edges: Whole) -> tuple[Whole, Whole, Complex]:
        """Every pair at the start of every edge, multiplied by its gain."""
        counts = self.count[self.edges.source[edges]]
        repeated = np.repeat(edges, counts)
        begin = np.repeat(self.start[self.edges.source[edges]], counts)
        offset = np.arange(len(repeated)) - np.repeat(np.cumsum(counts) - counts, counts)
        pairs = begin + offset
        amplitude = self.edges.gain[repeated] * self.amplitude[pairs]
        arrival = self.arrivals.later(self.arrival[pairs], self.edges.delay_ns[repeated])
        return self.edges.target[repeated], arrival, amplitude

    def _keep(self, point: Whole, arrival: Whole, amplitude: Complex) -> None:
        """Add what arrives alike at one point as voltages, and store the pairs by point."""
        if not len(point):
            return
        key = point * (len(self.arrivals) + 1) + arrival
        rank = np.argsort(key, kind="stable")
        first = np.flatnonzero(np.diff(key[rank], prepend=-1))
        summed = np.add.reduceat(amplitude[rank], first, axis=0)
        point, arrival = point[rank][first], arrival[rank][first]
        self._grow(len(point))
        here = slice(self.pairs, self.pairs + len(point))
        self.point[here], self.arrival[here], self.amplitude[here] = point, arrival, summed
        places, begin, counts = np.unique(point, return_index=True, return_counts=True)
        self.start[places] = self.pairs + begin
        self.count[places] = counts
        self.pairs += len(point)

    def _grow(self, more: int) -> None:
        need = self.pairs + more
        if need > len(self.point):
            room = max(need, 2 * len(self.point)) - len(self.point)
            self.point = np.pad(self.point, (0, room))
            self.arrival = np.pad(self.arrival, (0, room))
            self.amplitude = np.pad(self.amplitude, ((0, room), (0, 0)))

    def carried(self) -> Carried:
        rank = np.argsort(self.point[: self.pairs], kind="stable")
        arrival = self.arrival[: self.pairs][rank]
        return Carried(
            point=self.point[: self.pairs][rank],
            component=np.array(self.arrivals.component, dtype=np.int64)[arrival],
            amplitude=self.amplitude[: self.pairs][rank],
            delay_s=np.array(self.arrivals.delay_ns, dtype=np.float64)[arrival] * 1e-9,
            noise_power=self.noise,
            first_noise=self.first_noise,
        )


def _one(point: int, arrival: int, amplitude: Complex) -> tuple[Whole, Whole, Complex]:
    return np.array([point]), np.array([arrival]), amplitude[None]
