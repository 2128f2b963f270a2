"""Strips: from a plugged input through its gain to its meter, and what is left to turn up after it."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from levelhead.chain.graph import Point
from levelhead.chain.solution import PointLevels, Solution
from levelhead.gear.plan import BlockInstance, ControlPlan, OriginPlan, PathPlan, StagePlan
from levelhead.gear.scales import SCALES
from levelhead.rig.model import RigItem

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
    def needed_db(self) -> float:
        """Gain that brings the nominal level at the port to the meter's zero."""
        assert self.entry.nominal is not None
        return self.zero_db - self.entry.nominal

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
    for item in solution.rig.items.values():
        if item.id in solution.dead:
            continue
        for block, path in item.paths():
            for origin in path.origins:
                strip = _strip(solution, item, block, path, origin)
                if strip is not None:
                    yield strip


def _strip(
    solution: Solution, item: RigItem, block: BlockInstance, path: PathPlan, origin: OriginPlan
) -> Strip | None:
    if origin.port is None:
        return None
    name = origin.port.port
    port = f"{item.id}.{block.address(name) if name in block.plan.ports else name}"
    address = port if origin.port.signal is None else f"{port}.{origin.port.signal}"
    metered = next((n for n, stage in enumerate(path.stages) if stage.meter), None)
    if metered is None or address not in solution.graph.index:
        return None
    entry = solution.levels(address)
    is_heard = _is_heard(solution, address, item, block, path)
    if entry.nominal is None or not is_heard:
        return None
    return _measured(solution, item, block, path, origin, entry, port, metered)


def _is_heard(
    solution: Solution, address: str, item: RigItem, block: BlockInstance, path: PathPlan
) -> bool:
    """Whether the port is the origin in force (another one may win)."""
    first = solution.graph.index[f"{item.id}.{block.address(path.stages[0].name)}"]
    source = solution.graph.index[address]
    return any(edge.source == source and edge.target == first for edge in solution.graph.edges)


@dataclass(slots=True)
class _Range:
    """Gain of some stages: fixed part, and with controls at their ends."""

    fixed: float = 0.0
    low: float = 0.0
    high: float = 0.0
    now: float = 0.0
    comfortable: float = 0.0
    control: str | None = None

    def through(
        self, solution: Solution, item: RigItem, block: BlockInstance, stage: StagePlan
    ) -> None:
        rig = solution.rig
        gain_db = stage.gain_db.value if stage.gain_db else 0.0
        self.fixed += gain_db
        ends = (0.0, 0.0, 0.0, 0.0)
        if stage.control is not None:
            address = rig.control_of(item, block, stage.control)
            plan = rig.controls[address]
            now = rig.setting_db(address)
            ends = (now, now, now, now)
            if address not in rig.show.locks:
                self.control = self.control or address
                comfortable = _setting_at_travel(plan, COMFORTABLE_TRAVEL)
                ends = (plan.low, plan.high, now, comfortable)
        self.low += gain_db + ends[0]
        self.high += gain_db + ends[1]
        self.now += gain_db + ends[2]
        self.comfortable += gain_db + ends[3]


def _measured(
    solution: Solution,
    item: RigItem,
    block: BlockInstance,
    path: PathPlan,
    origin: OriginPlan,
    entry: PointLevels,
    port: str,
    metered: int,
) -> Strip:
    before = origin.gain_db.value if origin.gain_db else 0.0
    gain = _Range(fixed=before, low=before, high=before, now=before, comfortable=before)
    ceilings = []
    points = [solution.point(f"{item.id}.{block.address(stage.name)}") for stage in path.stages]
    for stage, point in zip(path.stages[: metered + 1], points, strict=False):
        gain.through(solution, item, block, stage)
        level = solution.levels(point.address).ceiling
        if level is not None:
            ceilings.append((point.address, level - gain.low, point))
    after = _Range()
    for stage in path.stages[metered + 1 :]:
        after.through(solution, item, block, stage)
    meter = path.stages[metered].meter
    assert meter is not None
    zero_db = _meter_zero_db(points[metered], meter.zero.value)
    return Strip(
        port=port,
        entry=entry,
        metered=points[metered],
        zero_db=zero_db,
        gain_control=gain.control,
        fixed_db=gain.fixed,
        low_db=gain.low,
        high_db=gain.high,
        now_db=gain.now,
        comfortable_db=gain.comfortable
        if gain.control
        else gain.fixed + max(after.comfortable, 0.0),
        makeup_db=max(after.high, 0.0),
        ceilings=tuple(ceilings),
    )


def _meter_zero_db(point: Point, zero: float) -> float:
    from levelhead.chain.solution import decibels

    level = decibels(zero, point.unit)
    return -math.inf if level is None else level
