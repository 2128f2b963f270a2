"""The most that can come to a point: every control up, every stage and limiter on the way in it.

What people call the worst evening: somebody turns up, a microphone falls, a sound comes round. It
ends where a stage ends, and where a limiter does that nobody can move.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Final

import numpy as np
from numpy.typing import NDArray

from levelhead.chain.solution import Solution
from levelhead.chain.wired.wiring import NONE
from levelhead.gear.shaping import LimiterPlan
from levelhead.quantity.bands import BANDS

__all__ = ["LIMITS_FROM", "Most"]

Real = NDArray[np.float64]

LIMITS_FROM: Final = 10.0  # ratio: what has less is a compressor, common practice
_MOST_ROUNDS: Final = 300  # more steps than a way has, and a loop of -0.1 dB within 0.3 dB
_SAME: Final = 1e-6  # of a level: nobody counts less


@dataclass(frozen=True, eq=False)
class Most:
    """Largest sine of each band at the points of a solution.

    ``trusts_limiters`` counts limiters that are not locked as well. Filters count as they stand,
    and so do controls if nobody ``turns_up``. What was found is kept.
    """

    solution: Solution
    trusts_limiters: bool
    turns_up: bool = True
    _known: dict[int, Real] = field(default_factory=dict)
    _sizes: dict[int, Real] = field(default_factory=dict)
    _turns: dict[int, float] = field(default_factory=dict)

    def __repr__(self) -> str:
        return f"Most({self.solution!r}, {len(self._known)} points found)"

    def by_band(self, row: int) -> Real:
        """Rms of the largest sine of each band at a point, in its unit; ``inf`` without an end.

        It is the same whatever else was asked for before, also where ways come round.
        """
        if row not in self._known:
            if self.solution.graph.hears_a_loop[row]:
                self._find_what_comes_round()
            else:
                self._known[row] = self._at(row)
        return self._known[row]

    def _own(self, row: int) -> Real:
        """What the stage and the limiter of a point let through, whatever comes."""
        ceiling = float(self.solution.graph.wiring.columns.ceiling[row])
        return np.full(BANDS, min(ceiling, self._threshold(row)))

    def _at(self, row: int) -> Real:
        """At a point to which no loop comes, by what comes there."""
        own = self._own(row)
        arriving = self.solution.graph.arriving_at(row)
        if not len(arriving):
            return own
        sources = self.solution.graph.columns.source[arriving].tolist()
        before = np.array([self.by_band(each) for each in sources])
        most: Real = np.minimum(own, _brought(before, self._size(row)).sum(axis=0))
        return most

    def _find_what_comes_round(self) -> None:
        """At all points to which loops come: from their own ends down, until nothing falls more.

        Each round is a bound by itself, so that rounds may end early where a loop nearly rings.
        """
        graph = self.solution.graph
        rows = np.flatnonzero(graph.hears_a_loop)
        own = np.array([self._own(row) for row in rows.tolist()])
        arriving = [graph.arriving_at(row) for row in rows.tolist()]
        target = np.repeat(np.arange(len(rows)), [len(each) for each in arriving])
        source = graph.columns.source[np.concatenate(arriving)]
        size = np.concatenate([self._size(row) for row in rows.tolist()])
        before = np.zeros((len(self.solution.nominal), BANDS))
        for each in np.unique(source[~graph.hears_a_loop[source]]).tolist():
            before[each] = self.by_band(each)
        is_fed = np.isin(np.arange(len(rows)), target)
        most = own
        for _ in range(_MOST_ROUNDS):
            before[rows] = most
            brought = np.zeros_like(own)
            np.add.at(brought, target, _brought(before[source], size))
            lower = np.where(is_fed[:, None], np.minimum(own, brought), own)
            if np.allclose(lower, most, rtol=_SAME, atol=0.0):
                break
            most = lower
        self._known.update(zip(rows.tolist(), most, strict=True))

    def _size(self, row: int) -> Real:
        """What each way to a point lets through with its control up; one that is locked stays."""
        if row not in self._sizes:
            graph = self.solution.graph
            arriving = graph.arriving_at(row)
            size = np.abs(graph.columns.gain[arriving])
            own = int(graph.wiring.columns.control[row])  # of a stage that a mix leads to
            ways = graph.wiring.ways.control[graph.live[arriving]].tolist()
            is_stage = graph.wiring.ways.is_stage[graph.live[arriving]].tolist()
            for number, (control, is_own) in enumerate(zip(ways, is_stage, strict=True)):
                for each in {own if is_own else control, own} if self.turns_up else ():
                    size[number] *= self._turn(each)
            self._sizes[row] = size
        return self._sizes[row]

    def _turn(self, control: int) -> float:
        """Factor from where a control stands to its end, by its number; none stays."""
        if control not in self._turns:
            self._turns[control] = 1.0 if control == NONE else self._room(control)
        return self._turns[control]

    def _room(self, control: int) -> float:
        rig, name = self.solution.rig, self.solution.graph.wiring.controls[control]
        plan = rig.controls[name]
        if plan.kind != "range" or name in rig.show.locks:
            return 1.0
        return float(10 ** ((plan.high - rig.setting_db(name)) / 20))

    def _threshold(self, row: int) -> float:
        """Where the limiter of a stage holds what passes; ``inf`` where none does for sure."""
        shape = self.solution.graph.shapes.get(row)
        if shape is None or shape.limiter is None or shape.limiter.ratio < LIMITS_FROM:
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
