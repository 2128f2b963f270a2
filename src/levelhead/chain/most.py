"""The most that can come to a point: every control up, every stage and limiter on the way in it.

What people call the worst evening: somebody turns up, a microphone falls, a sound comes round. It
ends where a stage ends, and where a limiter does that nobody can move.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cached_property
from typing import Final

import numpy as np
from numpy.typing import NDArray

from levelhead.chain.graph import Edge
from levelhead.chain.solution import Solution
from levelhead.gear.shaping import LimiterPlan
from levelhead.quantity.bands import BANDS

__all__ = ["LIMITS_FROM", "Most"]

Real = NDArray[np.float64]

LIMITS_FROM: Final = 10.0  # ratio: what has less is a compressor, common practice


@dataclass(frozen=True, eq=False)
class Most:
    """Largest sine of each band at the points of a solution.

    ``trusts_limiters`` counts limiters that are not locked as well. Filters count as they stand,
    and so do controls if nobody ``turns_up``.
    """

    solution: Solution
    trusts_limiters: bool
    turns_up: bool = True
    _known: dict[int, Real] = field(default_factory=dict)

    def by_band(self, row: int) -> Real:
        """Rms of the largest sine of each band at a point, in its unit; ``inf`` without an end."""
        known = self._known.get(row)
        if known is not None:
            return known
        point = self.solution.graph.points[row]
        own = np.full(BANDS, min(point.ceiling, self._threshold(row, point.address)))
        self._known[row] = own  # what comes round a loop adds nothing to that
        arriving = self._arriving.get(row, ())
        if arriving:
            with np.errstate(invalid="ignore"):
                brought = sum((self._brought(each) for each in arriving), np.zeros(BANDS))
            own = np.minimum(own, np.nan_to_num(brought, nan=np.inf, posinf=np.inf))
        self._known[row] = own
        return own

    def _brought(self, edge: Edge) -> Real:
        """What an edge brings with its control up; one that is locked stays."""
        size = np.broadcast_to(np.abs(np.asarray(edge.gain)), (BANDS,))
        rig, before = self.solution.rig, self.by_band(edge.source)
        own = self.solution.graph.points[edge.target].control  # of a stage that a mix leads to
        controls = {each for each in (edge.control, own) if each is not None}
        for control in controls if self.turns_up else ():
            plan = rig.controls[control]
            if plan.kind == "range" and control not in rig.show.locks:
                size = size * 10 ** ((plan.high - rig.setting_db(control)) / 20)
        found: Real = np.where(size > 0, before * size, 0.0)
        return found

    @cached_property
    def _arriving(self) -> dict[int, list[Edge]]:
        found: dict[int, list[Edge]] = {}
        for edge in self.solution.graph.edges:
            found.setdefault(edge.target, []).append(edge)
        return found

    def _threshold(self, row: int, address: str) -> float:
        """Where the limiter of a stage holds what passes; ``inf`` where none does for sure."""
        shape = self.solution.graph.shapes.get(row)
        if shape is None or shape.limiter is None or shape.limiter.ratio < LIMITS_FROM:
            return np.inf
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
