"""Strips: from a plugged input through its gain to its meter, and what is left behind it."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from levelhead.chain.graph import Point
from levelhead.chain.lanes import Lane, lanes
from levelhead.chain.levels import PointLevels, decibels
from levelhead.chain.solution import Solution
from levelhead.gear.plan import ControlPlan, OriginPlan, StagePlan
from levelhead.gear.scales import SCALES

__all__ = ["COMFORTABLE_TRAVEL", "Strip", "strips"]

COMFORTABLE_TRAVEL: Final = 0.9  # beyond it a control stands near its end, common practice


@dataclass(frozen=True, slots=True)
class Strip:
    """A way into an item, with the range of its gain up to its meter.

    Gains are in dB from the port to the metered stage: ``low`` and ``high`` with every free
    control at its ends, ``comfortable`` with the gain control at 90 % of its travel (or, at an
    input without one, the fader behind the meter there). ``makeup`` is what the fader still gives.
    """

    port: str
    entry: PointLevels
    metered: Point
    zero_db: float
    gain_control: str | None
    fixed_db: float
    low_db: float
    high_db: float
    now_db: float
    comfortable_db: float
    makeup_db: float
    ceilings: tuple[
        tuple[str, float, Point], ...
    ]  # point, ceiling less lowest gain to it [dBu], point

    @property
    def nominal_db(self) -> float:
        """Nominal level at the port. [dBu]"""
        return -math.inf if self.entry.nominal is None else self.entry.nominal

    @property
    def peak_db(self) -> float:
        """Level of the sine with the same peak, at the port. [dBu]"""
        return self.nominal_db if self.entry.peak is None else self.entry.peak

    @property
    def needed_db(self) -> float:
        """Gain that brings the nominal level at the port to the meter's zero."""
        return self.zero_db - self.nominal_db

    def setting_for(self, gain_db: float) -> float:
        """Setting of the gain control for a gain from the port to the meter."""
        return gain_db - self.fixed_db


def _setting_at_travel(control: ControlPlan, travel: float) -> float:
    """Setting where a control has this travel, by halving; its scale only goes up."""
    scale = SCALES[control.scale]
    low, high = max(control.low, -120.0), control.high
    for _ in range(40):
        middle = (low + high) / 2
        if scale.travel(middle, low_db=control.low, high_db=control.high) < travel:
            low = middle
        else:
            high = middle
    return low


def strips(solution: Solution) -> Iterator[Strip]:
    """Every strip that has a meter and a signal at its input."""
    for lane in lanes(solution.rig):
        metered = next((n for n, stage in enumerate(lane.path.stages) if stage.meter), None)
        if lane.item.id in solution.dead or metered is None:
            continue
        for origin in lane.origins(solution.graph):
            if origin.port is not None:
                entry = solution.levels(lane.sensed_at(origin.port))
                if entry.nominal is not None:
                    yield _measured(solution, lane, origin, entry, metered)


@dataclass(slots=True)
class _Range:
    """Gain of some stages: fixed part, and with controls at their ends."""

    fixed: float = 0.0
    low: float = 0.0
    high: float = 0.0
    now: float = 0.0
    comfortable: float = 0.0
    control: str | None = None

    @classmethod
    def of(cls, before_db: float) -> _Range:
        return cls(before_db, before_db, before_db, before_db, before_db)

    def through(self, lane: Lane, stage: StagePlan) -> None:
        """Add a stage: its gain, and the ends of its control unless that is locked."""
        gain_db = stage.gain_db.value if stage.gain_db else 0.0
        self.fixed += gain_db
        low = high = now = comfortable = 0.0
        address = lane.control_of(stage)
        if address is not None:
            plan = lane.rig.controls[address]
            low = high = now = comfortable = lane.rig.setting_db(address)
            if address not in lane.rig.show.locks:
                self.control = self.control or address
                low, high = plan.low, plan.high
                comfortable = _setting_at_travel(plan, COMFORTABLE_TRAVEL)
        self.low += gain_db + low
        self.high += gain_db + high
        self.now += gain_db + now
        self.comfortable += gain_db + comfortable


def _measured(
    solution: Solution, lane: Lane, origin: OriginPlan, entry: PointLevels, metered: int
) -> Strip:
    gain = _Range.of(origin.gain_db.value if origin.gain_db else 0.0)
    ceilings = []
    points = [solution.point(lane.point_of(stage)) for stage in lane.path.stages]
    for stage, point in zip(lane.path.stages[: metered + 1], points, strict=False):
        gain.through(lane, stage)
        level = solution.levels(point.address).ceiling
        if level is not None:
            ceilings.append((point.address, level - gain.low, point))
    after = _Range()
    for stage in lane.path.stages[metered + 1 :]:
        after.through(lane, stage)
    comfortable_db = gain.comfortable if gain.control else gain.fixed + max(after.comfortable, 0.0)
    return Strip(
        port=entry.at if entry.at in solution.rig.ports else entry.at.rpartition(".")[0],
        entry=entry,
        metered=points[metered],
        zero_db=_meter_zero_db(points[metered]),
        gain_control=gain.control,
        fixed_db=gain.fixed,
        low_db=gain.low,
        high_db=gain.high,
        now_db=gain.now,
        comfortable_db=comfortable_db,
        makeup_db=max(after.high, 0.0),
        ceilings=tuple(ceilings),
    )


def _meter_zero_db(point: Point) -> float:
    level = None if point.meter is None else decibels(point.meter.zero.value, point.unit)
    return -math.inf if level is None else level
