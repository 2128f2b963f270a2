"""Spans of gain: what stages in a row give, with their controls at the ends of their travel."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache
from typing import Final

from levelhead.chain.levels import REFERENCE_OF_UNIT
from levelhead.chain.wired.lanes import Lane
from levelhead.gear.plan import ControlPlan, OriginPlan, StagePlan
from levelhead.gear.scales import OFF_DB, SCALES

__all__ = ["COMFORTABLE_TRAVEL", "Span", "level_db"]

COMFORTABLE_TRAVEL: Final = 0.9  # beyond it a control stands near its end, common practice
_HALVINGS: Final = 40


@dataclass(slots=True)
class Span:
    """Gain of some stages: fixed part, and with controls at their ends. [dB]"""

    fixed: float
    low: float
    high: float
    now: float
    comfortable: float
    control: str | None = None
    unit: str = "V"

    @classmethod
    def starting(cls, gain_db: float, unit: str = "V") -> Span:
        """Before the first stage, with what the input takes away or adds."""
        return cls(gain_db, gain_db, gain_db, gain_db, gain_db, unit=unit)

    @classmethod
    def entering(cls, origin: OriginPlan) -> Span:
        """The span of gain at an origin, before the first stage."""
        return cls.starting(origin.gain_db.value if origin.gain_db else 0.0)

    def add(self, gain_db: float) -> None:
        """Add a gain that nothing here turns."""
        self.fixed += gain_db
        self.low += gain_db
        self.high += gain_db
        self.now += gain_db
        self.comfortable += gain_db

    def pass_through(self, lane: Lane, stage: StagePlan) -> None:
        """Add a stage; a locked control cannot be moved."""
        gain_db = (stage.gain_db.value if stage.gain_db else 0.0) + self._unit_change_db(stage)
        low, high, now, comfortable = self._control_ends(lane, stage)
        self.fixed += gain_db
        self.low += gain_db + low
        self.high += gain_db + high
        self.now += gain_db + now
        self.comfortable += gain_db + comfortable
        self.unit = stage.unit

    def _control_ends(self, lane: Lane, stage: StagePlan) -> tuple[float, float, float, float]:
        control = lane.control_of(stage)
        if control is None:
            return (0.0, 0.0, 0.0, 0.0)
        now = lane.rig.setting_db(control)
        if control in lane.rig.show.locks:
            return (now, now, now, now)
        plan = lane.rig.controls[control]
        self.control = self.control or control
        return (plan.low, plan.high, now, _setting_at_travel(plan, COMFORTABLE_TRAVEL))

    def _unit_change_db(self, stage: StagePlan) -> float:
        """From dBu to dBFS and back, at the full scale of a converter."""
        if stage.ratio is None:
            return 0.0
        return level_db(stage.ratio.value * REFERENCE_OF_UNIT[self.unit][0], stage.unit)


def _setting_at_travel(control: ControlPlan, travel: float) -> float:
    """Setting where a control has this travel."""
    return _setting_on_scale(control.scale, control.low, control.high, travel)


@lru_cache(maxsize=256)
def _setting_on_scale(name: str, low_db: float, high_db: float, travel: float) -> float:
    """By halving: a scale only goes up."""
    scale = SCALES[name]
    low, high = max(low_db, OFF_DB), high_db
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        if scale.travel(middle, low_db=low_db, high_db=high_db) < travel:
            low = middle
        else:
            high = middle
    return low


def level_db(rms: float, unit: str) -> float:
    """Level of an rms number of a unit; a meter whose zero is silence is never reached."""
    if rms <= 0:
        return -math.inf
    return 20 * math.log10(rms / REFERENCE_OF_UNIT[unit][0])
