"""Levels drawn at random: every doubtful figure moved within its spread, many times at once.

Levels and stage gains are drawn exactly; figures of circuits enter with the first-order sensitivity
of their island. Items of one type share part of what is not known of the type: the same figure of
the gear book moves them together.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from levelhead.chain.graph import Edge
from levelhead.chain.order import points_in_order
from levelhead.chain.sensitivity import island_sensitivities
from levelhead.chain.solution import Solution
from levelhead.gear.figures import Figure
from levelhead.quantity.spectra import band_levels_db

__all__ = ["SHARED_BY_TYPE", "draw_levels_db"]

Real32 = NDArray[np.float32]
Whole = NDArray[np.int64]

SHARED_BY_TYPE: Final = (
    0.5  # share of a figure's variance that all items of a type have in common, from memory
)
_SPREADS_IN_RANGE: Final = 4  # a range holds 95 %: two standard deviations each side
_AT_ONCE: Final = 1000  # draws in one pass: some tens of MB for 128 channels
_DECIBEL_UNITS: Final = frozenset({"dB", "dBu", "dBFS", "dB SPL"})
_TO_NEPERS: Final = math.log(10) / 10


def draw_levels_db(
    solution: Solution, addresses: Sequence[str], *, draws: int, rng: np.random.Generator
) -> NDArray[np.float64]:
    """Nominal levels at some points, drawn.

    Parameters
    ----------
    addresses
        Points that carry a signal.
    draws
        How often.

    Returns
    -------
    float, (draws, addresses)
        Level less the level of the solution itself. [dB]

    Raises
    ------
    SolveError
        No such point.
    """
    points = [solution.number(address) for address in addresses]
    walk = _Walk.of(solution)
    passes = [min(_AT_ONCE, draws - start) for start in range(0, draws, _AT_ONCE)]
    parts = [walk.levels_db(points, count, rng) for count in passes]
    return np.concatenate(parts) if parts else np.zeros((0, len(points)))


def _spread_db(figure: Figure) -> float:
    """One standard deviation of a figure. [dB]"""
    if figure.unit in _DECIBEL_UNITS:
        return (figure.high - figure.low) / _SPREADS_IN_RANGE
    if figure.low <= 0:
        return 0.0
    return 20 * math.log10(figure.high / figure.low) / _SPREADS_IN_RANGE


@dataclass(frozen=True, slots=True, eq=False)
class _Spreads:
    """Spreads of edges: by figure of a type (shared), and of their own."""

    edges: Whole  # those that spread at all
    figure: Whole  # (entries,) number of the figure
    row: Whole  # (entries,) row in ``edges``
    shared_db: Real32  # (entries,)
    own_db: Real32  # (edges,)
    figures: int

    @classmethod
    def of(cls, solution: Solution) -> _Spreads:
        numbers: dict[int, int] = {}
        entries: list[tuple[int, int, float]] = []
        edges: list[int] = []
        own: list[float] = []
        known: dict[tuple[int, int, str], list[tuple[Figure, float]]] = {}
        for number, edge in enumerate(solution.graph.edges):
            slopes = _slopes(solution, edge, known)
            if not slopes:
                continue
            variance = 0.0
            for figure, slope in slopes:
                spread = slope * _spread_db(figure)
                place = numbers.setdefault(id(figure), len(numbers))
                entries.append((place, len(edges), spread * math.sqrt(SHARED_BY_TYPE)))
                variance += spread**2 * (1 - SHARED_BY_TYPE)
            edges.append(number)
            own.append(math.sqrt(variance))
        columns = np.array(entries).reshape(-1, 3)
        return cls(
            edges=np.array(edges, dtype=np.int64),
            figure=columns[:, 0].astype(np.int64),
            row=columns[:, 1].astype(np.int64),
            shared_db=columns[:, 2].astype(np.float32),
            own_db=np.array(own, dtype=np.float32),
            figures=len(numbers),
        )

    def draw_db(self, count: int, total: int, rng: np.random.Generator) -> Real32:
        """What each of ``total`` edges moves by; (total, count). [dB]"""
        moved = np.zeros((total, count), dtype=np.float32)
        shared = rng.standard_normal((self.figures, count), dtype=np.float32)
        mine = rng.standard_normal((len(self.edges), count), dtype=np.float32)
        mine *= self.own_db[:, None]
        np.add.at(mine, self.row, shared[self.figure] * self.shared_db[:, None])
        moved[self.edges] = mine
        return moved


def _slopes(
    solution: Solution, edge: Edge, known: dict[tuple[int, int, str], list[tuple[Figure, float]]]
) -> list[tuple[Figure, float]]:
    """Figures in an edge's gain, each with dB of gain per dB of the figure."""
    if edge.through is None:
        return [(figure, 1.0) for figure in edge.figures]
    island = solution.islands[edge.through.island]
    solved = solution.solved[edge.through.island]
    address = solution.graph.points[edge.target].address
    key = (id(solved), island.sense_addresses.index(address), str(edge.through.signal))
    if key not in known:
        power = 10 ** (band_levels_db("programme") / 10)
        drive = (edge.through.port, edge.through.signal)
        found = island_sensitivities(island, solved, address, drive, power)
        known[key] = [(each.figure, each.slope) for each in found]
    return known[key]


@dataclass(frozen=True, slots=True, eq=False)
class _Step:
    """Pairs of one depth and what arrives at them, as parallel arrays."""

    edge: Whole
    source_pair: Whole
    target_pair: Whole
    share: Real32  # of the power of the target pair
    is_single: NDArray[np.bool_]


@dataclass(frozen=True, slots=True, eq=False)
class _Pairs:
    """Pairs of a point and a signal that it carries, sorted by both."""

    point: Whole
    component: Whole
    key: Whole
    stride: int
    amplitude: NDArray[np.complex128]

    @classmethod
    def of(cls, solution: Solution) -> _Pairs:
        carried = solution.carried
        signals = np.flatnonzero(carried.component < carried.first_noise)
        stride = carried.first_noise + 1
        key = carried.point[signals] * stride + carried.component[signals]
        rank = signals[np.argsort(key, kind="stable")]
        return cls(
            carried.point[rank],
            carried.component[rank],
            np.sort(key, kind="stable"),
            stride,
            carried.amplitude[rank],
        )

    @property
    def power(self) -> NDArray[np.float64]:
        """Mean square of each pair over all bands."""
        power: NDArray[np.float64] = (self.amplitude.real**2 + self.amplitude.imag**2).sum(axis=1)
        return power


@dataclass(frozen=True, slots=True, eq=False)
class _Walk:
    """The pairs of a solution in order, with the share that each edge brings to each."""

    edges: int
    spreads: _Spreads
    steps: tuple[_Step, ...]
    pair_point: Whole
    pair_power: NDArray[np.float64]
    entering: tuple[tuple[int, int, float], ...]  # pair, performance, spread of its level

    @classmethod
    def of(cls, solution: Solution) -> _Walk:
        pairs = _Pairs.of(solution)
        return cls(
            edges=len(solution.graph.edges),
            spreads=_Spreads.of(solution),
            steps=tuple(_steps(solution, pairs)),
            pair_point=pairs.point,
            pair_power=pairs.power,
            entering=tuple(_entering(solution, pairs)),
        )

    def levels_db(
        self, points: Sequence[int], count: int, rng: np.random.Generator
    ) -> NDArray[np.float64]:
        """Levels at points, against the solution's; (count, points). [dB]"""
        edges_db = self.spreads.draw_db(count, self.edges, rng)
        moved_db = np.zeros((len(self.pair_point), count), dtype=np.float32)
        sources = {name for _, name, _ in self.entering}
        drawn = {name: rng.standard_normal(count, dtype=np.float32) for name in sorted(sources)}
        for pair, name, spread in self.entering:
            moved_db[pair] = drawn[name] * np.float32(spread)
        for step in self.steps:
            self._carry(step, edges_db, moved_db)
        return np.stack([self._at(point, moved_db) for point in points], axis=1)

    @staticmethod
    def _carry(step: _Step, edges_db: Real32, moved_db: Real32) -> None:
        single = step.is_single
        moved_db[step.target_pair[single]] = (
            moved_db[step.source_pair[single]] + edges_db[step.edge[single]]
        )
        many = np.flatnonzero(~single)
        if not len(many):
            return
        arriving = moved_db[step.source_pair[many]] + edges_db[step.edge[many]]
        power = step.share[many][:, None] * np.exp(arriving * np.float32(_TO_NEPERS))
        first = np.flatnonzero(np.diff(step.target_pair[many], prepend=-1))
        summed = np.maximum(np.add.reduceat(power, first, axis=0), np.float32(1e-30))
        moved_db[step.target_pair[many][first]] = np.log(summed) / np.float32(_TO_NEPERS)

    def _at(self, point: int, moved_db: Real32) -> NDArray[np.float64]:
        start, stop = np.searchsorted(self.pair_point, [point, point + 1])
        if start == stop:
            return np.zeros(moved_db.shape[1])
        power = self.pair_power[start:stop, None]
        drawn = (power * np.exp(moved_db[start:stop].astype(np.float64) * _TO_NEPERS)).sum(axis=0)
        level: NDArray[np.float64] = np.log(drawn / power.sum()) / _TO_NEPERS
        return level


def _entering(solution: Solution, pairs: _Pairs) -> Iterator[tuple[int, int, float]]:
    """Pairs where a component enters, with its performance and how far its level spreads."""
    origins: dict[str, int] = {}
    for entry in solution.graph.entries:
        component = solution.graph.components[entry.component]
        pair = int(np.searchsorted(pairs.key, entry.point * pairs.stride + entry.component))
        number = origins.setdefault(component.origin, len(origins))
        yield pair, number, _spread_db(component.level)


def _steps(solution: Solution, pairs: _Pairs) -> Iterator[_Step]:
    """What arrives at the pairs of each depth, in order."""
    edges = solution.graph.edges
    names = [each.address for each in solution.graph.points]
    order = points_in_order(edges, names, [entry.point for entry in solution.graph.entries])
    by_depth: dict[int, list[int]] = {}
    for number in sorted(set(range(len(edges))) - set(order.closing)):
        by_depth.setdefault(int(order.depth[edges[number].target]), []).append(number)
    for depth in sorted(by_depth):
        arriving = [_arriving(number, edges[number], pairs) for number in by_depth[depth]]
        yield _step([each for each in arriving if len(each.edge)])


class _Arriving(NamedTuple):
    """What one edge brings: from which pair to which, and its power."""

    edge: Whole
    source_pair: Whole
    target_pair: Whole
    power: NDArray[np.float64]


def _arriving(number: int, edge: Edge, pairs: _Pairs) -> _Arriving:
    start, stop = np.searchsorted(pairs.point, [edge.source, edge.source + 1])
    chosen = np.arange(start, stop)
    amplitude = np.asarray(edge.gain) * pairs.amplitude[chosen]
    target = np.searchsorted(pairs.key, edge.target * pairs.stride + pairs.component[chosen])
    power = (amplitude.real**2 + amplitude.imag**2).sum(axis=1)
    return _Arriving(np.full(len(chosen), number), chosen, target, power)


def _step(arriving: Sequence[_Arriving]) -> _Step:
    """Arrivals of one depth, sorted by the pair that they make."""
    if not arriving:
        nothing = np.zeros(0, dtype=np.int64)
        return _Step(nothing, nothing, nothing, nothing.astype(np.float32), nothing.astype(bool))
    edge, source, target, power = (np.concatenate(parts) for parts in zip(*arriving, strict=True))
    rank = np.argsort(target, kind="stable")
    edge, source, target, power = edge[rank], source[rank], target[rank], power[rank]
    total = np.bincount(target, weights=power)[target]
    share = np.divide(power, total, out=np.zeros_like(power), where=total > 0)
    return _Step(edge, source, target, share.astype(np.float32), np.bincount(target)[target] == 1)
