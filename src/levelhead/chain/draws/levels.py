"""Levels drawn at random: every doubtful figure moved within its spread, many times at once.

Levels, stage gains and thresholds of limiters are drawn exactly; figures of circuits enter with the
first-order sensitivity of their island. Items of one type share part of what is not known of the
type: the same figure of the gear book moves them together.

Peaks are drawn as levels are, from sources whose peak-to-rms moves as well, through limiters that
hold peaks.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from levelhead.chain.carrying.turned_down import points_by_step
from levelhead.chain.draws.edges import SHARED_BY_TYPE, Bent, EdgeDraws, spread_db
from levelhead.chain.draws.numbers import Numbers
from levelhead.chain.graph.points import Component
from levelhead.chain.solution import Solution

__all__ = ["SHARED_BY_TYPE", "LevelDraws", "draw_levels_db"]

Real32 = NDArray[np.float32]
Whole = NDArray[np.int64]

_AT_ONCE: Final = 1000  # draws in one pass: some tens of MB for 128 channels
_SILENT: Final = np.float32(1e-30)  # share of power that counts as silence
_NULL: Final = 1e-14  # of the powers that cancel: less is rounding
_LEAST: Final = 1e-300
_TO_NEPERS: Final = math.log(10) / 10


def draw_levels_db(
    solution: Solution,
    addresses: Sequence[str],
    *,
    draws: int,
    rng: np.random.Generator,
    bent: Mapping[int, NDArray[np.float64]] | None = None,
    of_peaks: bool = False,
) -> NDArray[np.float64]:
    """Nominal levels (or peaks) at some points, drawn.

    Parameters
    ----------
    addresses
        Points that carry a signal.
    draws
        How often.
    bent
        By the number of an edge whose gain does not follow its slopes: changes of its gain to pick
        from, equally many for each edge of an island (``chain.draws.bends``). [dB]

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
    walk, changes = _Walk.of(solution, points), bent or {}
    counts = (min(_AT_ONCE, draws - start) for start in range(0, draws, _AT_ONCE))
    parts = [
        walk.levels_db(EdgeDraws(solution, Numbers(_seed(rng), n), changes.get), of_peaks=of_peaks)
        for n in counts
    ]
    return np.concatenate(parts) if parts else np.zeros((0, len(points)))


def _seed(rng: np.random.Generator) -> int:
    return int(rng.integers(1 << 62))


class LevelDraws:
    """Levels as ``draw_levels_db`` draws them, of one point after another.

    Each point asks only for what leads to it; whatever is asked first, it is drawn alike.
    """

    def __init__(self, solution: Solution, numbers: Numbers, bent: Bent) -> None:
        self._solution = solution
        self._edges = EdgeDraws(solution, numbers, bent)
        self._known: dict[tuple[int, bool], NDArray[np.float64]] = {}

    def moves_db(self, point: int, *, of_peaks: bool = False) -> NDArray[np.float64]:
        """Level (or peak) at a point with a signal, less that of the solution; (draws,). [dB]"""
        if (point, of_peaks) not in self._known:
            walk = _Walk.of(self._solution, [point])
            self._known[point, of_peaks] = walk.levels_db(self._edges, of_peaks=of_peaks)[:, 0]
        return self._known[point, of_peaks]


@dataclass(frozen=True, slots=True, eq=False)
class _Meeting:
    """Several ways of one signal that meet in a row: they add as they swing, and may cancel.

    ``cross`` is what each two of them bring to the power of the row, (ways, ways); in all 1.
    """

    row: int
    ways: Whole  # entries of the step
    cross: NDArray[np.float64]

    @classmethod
    def of(cls, row: int, ways: Whole, arriving: NDArray[np.complex128]) -> _Meeting:
        """Ways by what arrives on each as the rig stands, (ways, bands)."""
        cross = (arriving @ arriving.conj().T).real
        return cls(row, ways, cross / max(float(cross.sum()), _NULL * float(cross.trace()), _LEAST))

    def level_db(self, moved_db: Real32) -> NDArray[np.float64]:
        """What the row moves by when its ways move, (ways, draws) to (draws,). [dB]"""
        factor = np.exp(moved_db.astype(np.float64) * (_TO_NEPERS / 2))
        power = ((self.cross @ factor) * factor).sum(axis=0)
        level: NDArray[np.float64] = np.log(np.maximum(power, _SILENT)) / _TO_NEPERS
        return level


@dataclass(frozen=True, slots=True, eq=False)
class _Step:
    """What arrives at the rows of one depth, as parallel arrays sorted by the row that it makes."""

    edge: Whole
    source: Whole
    target: Whole
    is_single: NDArray[np.bool_]
    meetings: tuple[_Meeting, ...]


@dataclass(frozen=True, slots=True, eq=False)
class _Held:
    """Rows behind a limiter that takes something or soon would, with the power of each."""

    solution: Solution
    point: int
    rows: Whole
    power: NDArray[np.float64]

    def hold(self, moved_db: Real32, threshold_db: Real32, *, of_peaks: bool) -> None:
        """Let through of the moves of these rows what the limiter lets through.

        Where its threshold moves with what it meets, so does what it lets through.
        """
        before_db = _level_db(moved_db[self.rows], self.power)
        over_db = before_db - threshold_db
        after_db = self.solution.limiter_moves_db(self.point, over_db, of_peaks=of_peaks)
        moved_db[self.rows] += (after_db - over_db).astype(np.float32)


def _limiting(solution: Solution) -> dict[int, list[_Held]]:
    """Limiters that may take something, by the number of the step that reaches their point."""
    carried, layout = solution.carried, solution.carried.layout
    found: dict[int, list[_Held]] = {}
    near = [point for point in solution.graph.shapes if solution.limiter_at(point) is not None]
    for step, points in points_by_step(near, layout).items():
        for point in points:
            at = (layout.point == point) & (layout.component < layout.first_noise)
            pairs = np.flatnonzero(at)
            power = carried.power[pairs].sum(axis=1)
            found.setdefault(step, []).append(_Held(solution, point, layout.inputs + pairs, power))
    return found


@dataclass(frozen=True, slots=True, eq=False)
class _Walk:
    """Rows of a solution (as its layout has them), with the share that each edge brings to each."""

    steps: tuple[_Step, ...]
    entering: tuple[tuple[int, Component], ...]  # by its row
    rows_of: tuple[Whole, ...]  # of each point asked for
    power_of: tuple[NDArray[np.float64], ...]
    rows: int
    limiting: Mapping[int, Sequence[_Held]]  # by the number of the step that reaches them

    @classmethod
    def of(cls, solution: Solution, points: Sequence[int]) -> _Walk:
        layout, carried = solution.carried.layout, solution.carried
        signals = np.flatnonzero(carried.component < carried.first_noise)
        power = carried.power.sum(axis=1)
        pairs_of = [signals[carried.point[signals] == point] for point in points]
        wanted = np.zeros(layout.rows, dtype=bool)
        for pairs in pairs_of:
            wanted[layout.inputs + pairs] = True
        limiting = _limiting(solution)
        steps = tuple(_steps(solution, wanted, limiting))
        return cls(
            steps=steps,
            entering=tuple(each for each in _entering(solution) if wanted[each[0]]),
            rows_of=tuple(layout.inputs + pairs for pairs in pairs_of),
            power_of=tuple(power[pairs] for pairs in pairs_of),
            rows=layout.rows,
            limiting=limiting,
        )

    def levels_db(self, drawn: EdgeDraws, *, of_peaks: bool = False) -> NDArray[np.float64]:
        """Levels (or peaks) at the points, against the solution's; (draws, points). [dB]"""
        moved_db = np.zeros((self.rows, drawn.draws), dtype=np.float32)
        for row, signal in self.entering:
            moved_db[row] = drawn.performed(signal.origin) * np.float32(spread_db(signal.level))
            if of_peaks:
                spread = np.float32(spread_db(signal.peak_to_rms_db))
                moved_db[row] += drawn.peaky(signal.origin) * spread
        for number, step in enumerate(self.steps):
            self._carry(step, drawn.moved_db(step.edge), moved_db)
            for held in self.limiting.get(number, ()):
                held.hold(moved_db, drawn.threshold_db(held.point), of_peaks=of_peaks)
        at = zip(self.rows_of, self.power_of, strict=True)
        return np.stack([_level_db(moved_db[rows], power) for rows, power in at], axis=1)

    @staticmethod
    def _carry(step: _Step, edges_db: Real32, moved_db: Real32) -> None:
        single = step.is_single
        moved_db[step.target[single]] = moved_db[step.source[single]] + edges_db[step.edge[single]]
        for each in step.meetings:
            arriving = moved_db[step.source[each.ways]] + edges_db[step.edge[each.ways]]
            moved_db[each.row] = each.level_db(arriving)


def _level_db(moved_db: Real32, power: NDArray[np.float64]) -> NDArray[np.float64]:
    """Level of rows that add as power, against what they are undrawn; (count,). [dB]"""
    if not len(power):
        return np.zeros(moved_db.shape[1])
    share = (power / power.sum()).astype(np.float32)
    drawn = share @ np.exp(moved_db * np.float32(_TO_NEPERS))
    level: NDArray[np.float64] = np.log(np.maximum(drawn, _SILENT).astype(np.float64)) / _TO_NEPERS
    return level


def _entering(solution: Solution) -> Iterator[tuple[int, Component]]:
    """Rows where components enter."""
    for row, entry in enumerate(solution.graph.entries):
        yield row, solution.graph.components[entry.component]


def _steps(
    solution: Solution, wanted: NDArray[np.bool_], limiting: Mapping[int, Sequence[_Held]]
) -> list[_Step]:
    """What arrives at rows that lead to wanted ones, depth by depth.

    What a closed loop adds is in the power of its rows, and moves with them. A limiter hangs on all
    rows of its point.
    """
    carried, layout = solution.carried, solution.carried.layout
    entries = len(solution.graph.entries)
    found: list[_Step] = []
    for number, step in reversed(list(enumerate(layout.steps))):
        for held in limiting.get(number, ()):
            wanted[held.rows] |= wanted[held.rows].any()
        is_drawn = (step.source < entries) | (step.source >= layout.inputs)
        kept = np.flatnonzero(wanted[step.target] & is_drawn)
        edge, source, target = step.edge[kept], step.source[kept], step.target[kept]
        wanted[source] = True
        arriving = carried.edges.gain_and_one[edge] * carried.rows[source]
        row = target - step.start
        is_single = np.bincount(row)[row] == 1 if len(row) else np.zeros(0, dtype=bool)
        meetings = (
            _Meeting.of(int(each), ways, arriving[ways])
            for each in np.unique(target[~is_single])
            for ways in [np.flatnonzero(target == each)]
        )
        found.append(_Step(edge, source, target, is_single, tuple(meetings)))
    return found[::-1]
