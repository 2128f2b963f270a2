"""The most that can come to a point: every control up, every stage and limiter on the way in it.

What people call the worst evening: somebody turns up, a microphone falls, a sound comes round. It
ends where a stage ends, and where a limiter does that nobody can move.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import Final

import numpy as np
from numpy.typing import NDArray

from levelhead.chain.graph.points import EdgeColumns
from levelhead.chain.solution import Solution
from levelhead.gear.shaping import LimiterPlan
from levelhead.quantity.bands import BANDS

__all__ = ["LIMITS_FROM", "Most"]

Real = NDArray[np.float64]
Whole = NDArray[np.int64]

LIMITS_FROM: Final = 10.0  # ratio: what has less is a compressor, common practice
_MOST_ROUNDS: Final = 300  # more steps than a way has, and a loop of -0.1 dB within 0.3 dB
_SAME: Final = 1e-6  # of a level: nobody counts less


@dataclass(frozen=True, eq=False)
class Most:
    """Largest sine of each band at the points of a solution.

    ``trusts_limiters`` counts limiters that are not locked as well. Filters count as they stand,
    and so do controls if nobody ``turns_up``. All points are found when one is asked for.
    """

    solution: Solution
    trusts_limiters: bool
    turns_up: bool = True

    def __repr__(self) -> str:
        return f"Most({self.solution!r})"

    def by_band(self, row: int) -> Real:
        """Rms of the largest sine of each band at a point, in its unit; ``inf`` without an end.

        It is the same whatever else was asked for before, also where ways come round.
        """
        found: Real = self._found[row]
        return found

    @cached_property
    def _found(self) -> Real:
        """At every point; (points, bands)."""
        graph = self.solution.graph
        most = np.repeat(self._own[:, None], BANDS, axis=1)
        for arriving in self.solution.carried.levels.arriving:
            onward = arriving[~graph.hears_a_loop[graph.columns.target[arriving]]]
            if len(onward):
                self._bring(onward, most)
        if graph.order.closing:
            self._find_what_comes_round(most)
        return most

    def _bring(self, edges: Whole, most: Real) -> None:
        """At the points to which some edges lead, by all that comes there."""
        source, target = (each[edges] for each in (self._columns.source, self._columns.target))
        rank = np.argsort(target, kind="stable")
        first = np.flatnonzero(np.diff(target[rank], prepend=-1))
        points = target[rank][first]
        arriving = _brought(most[source[rank]], self._size[edges[rank]])
        most[points] = np.minimum(most[points], np.add.reduceat(arriving, first, axis=0))

    @property
    def _columns(self) -> EdgeColumns:
        return self.solution.graph.columns

    @cached_property
    def _own(self) -> Real:
        """What the stage and the limiter of each point let through, whatever comes; (points,)."""
        own = self.solution.graph.wiring.columns.ceiling.copy()
        for row in self.solution.graph.shapes:
            own[row] = min(own[row], self._threshold(row))
        return own

    def _find_what_comes_round(self, most: Real) -> None:
        """At all points to which loops come: from their own ends down, until nothing falls more.

        Each round is a bound by itself, so that rounds may end early where a loop nearly rings.
        """
        hears_a_loop = self.solution.graph.hears_a_loop
        rows = np.flatnonzero(hears_a_loop)
        edges = np.flatnonzero(hears_a_loop[self._columns.target])
        source, size = self._columns.source[edges], self._size[edges]
        target = np.searchsorted(rows, self._columns.target[edges])
        is_fed = np.isin(np.arange(len(rows)), target)
        own = most[rows]
        for _ in range(_MOST_ROUNDS):
            brought = np.zeros_like(own)
            np.add.at(brought, target, _brought(most[source], size))
            lower = np.where(is_fed[:, None], np.minimum(own, brought), own)
            if np.allclose(lower, most[rows], rtol=_SAME, atol=0.0):
                break
            most[rows] = lower

    @cached_property
    def _size(self) -> Real:
        """What each edge lets through with its controls up; one that is locked stays.

        Its own control counts, and that of the stage that it leads to. (edges, bands)
        """
        graph = self.solution.graph
        size = np.abs(self._columns.gain[: len(graph.live)])
        if not self.turns_up:
            return size
        ways, turns = graph.wiring.ways, self._turns
        of_stage = graph.wiring.columns.control[self._columns.target]
        of_way = np.where(ways.is_stage[graph.live], of_stage, ways.control[graph.live])
        factor = turns[of_stage] * np.where(of_way == of_stage, 1.0, turns[of_way])
        size *= factor[:, None]
        return size

    @cached_property
    def _turns(self) -> Real:
        """Factor from where each control stands to its end; the last one where there is none."""
        controls = self.solution.graph.wiring.controls
        return np.array([*(self._room(name) for name in controls), 1.0])

    def _room(self, name: str) -> float:
        rig = self.solution.rig
        plan = rig.controls[name]
        if plan.kind != "range" or name in rig.show.locks:
            return 1.0
        return float(10 ** ((plan.high - rig.setting_db(name)) / 20))

    def _threshold(self, row: int) -> float:
        """Where the limiter of a stage holds what passes; ``inf`` where none does for sure."""
        shape = self.solution.graph.shapes[row]
        if shape.limiter is None or shape.limiter.ratio < LIMITS_FROM:
            return np.inf
        address = self.solution.graph.wiring.addresses[row]
        is_held = self.trusts_limiters or _is_held(self.solution, address)
        return shape.limiter.threshold if is_held else np.inf


def _is_held(solution: Solution, address: str) -> bool:
    """Whether nobody can move the threshold behind a point: it has no control, or a locked one."""
    rig = solution.rig
    item = rig.items[address.partition(".")[0]]
    for block, path in item.paths():
        for stage in path.stages:
            name = block.address(stage.name)
            limiter: LimiterPlan | None = stage.shaping.limiter
            names = {name, f"{name}-{path.side}"}
            if limiter is not None and address.partition(".")[2] in names:
                control = limiter.threshold_control
                if control is None:
                    return True
                return rig.control_of(item, block, control) in rig.show.locks
    return False


def _brought(before: Real, size: Real) -> Real:
    """What ways bring of what is before them; nothing where one is shut, of what is endless too."""
    with np.errstate(invalid="ignore"):
        return np.where(size > 0, before * size, 0.0)
