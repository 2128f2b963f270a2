"""Controls that are set by the ceiling behind them, not by a meter: transmitters of wireless sets.

What is too much for a transmitter no control behind it mends, and what a desk wants no transmitter
should give: its sensitivity is put where peaks keep their reserve under full deviation.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import Final

from levelhead.chain.solution import Solution
from levelhead.chain.wired.lanes import lanes
from levelhead.rig.model import Rig
from levelhead.verdicts.read.gain_plan import PEAK_RESERVE_DB

__all__ = ["SetByCeiling", "controls_set_by_ceiling", "planned_by_ceiling"]

_RIGS_AT_ONCE: Final = 2  # the one that is judged, and the one before an edit


@dataclass(frozen=True, slots=True)
class SetByCeiling:
    """A control, and the point behind its stage."""

    control: str
    point: str


@lru_cache(maxsize=_RIGS_AT_ONCE)  # rigs are compared by identity: asked for once for each strip
def controls_set_by_ceiling(rig: Rig) -> tuple[SetByCeiling, ...]:
    """Every such control of a rig; one of two sides is there twice."""
    return tuple(
        SetByCeiling(control, lane.point_of(stage))
        for lane in lanes(rig)
        for stage in lane.path.stages
        if stage.set_by == "ceiling" and (control := lane.control_of(stage)) is not None
    )


def planned_by_ceiling(solution: Solution) -> dict[str, float]:
    """Where each such control belongs; of two sides the louder one decides. [dB]

    Controls without a signal are left out, so are those that are locked.
    """
    rig = solution.rig
    found: dict[str, float] = {}
    for each in controls_set_by_ceiling(rig):
        headroom_db = solution.levels(each.point).headroom
        if headroom_db is not None and each.control not in rig.show.locks:
            plan = rig.controls[each.control]
            wanted = rig.setting_db(each.control) + headroom_db - PEAK_RESERVE_DB
            setting = min(max(wanted, plan.low), plan.high)
            found[each.control] = min(found.get(each.control, setting), setting)
    return found
