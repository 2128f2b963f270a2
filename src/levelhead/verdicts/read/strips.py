"""Strips: from a plugged input through its gain to its meter, and what is left to turn up after."""

from __future__ import annotations

import math
from collections.abc import Hashable, Iterator, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from levelhead.chain.graph.points import Point
from levelhead.chain.levels import PointLevels
from levelhead.chain.solution import Solution
from levelhead.chain.wired.lanes import Lane, lanes
from levelhead.gear.plan import OriginPlan, StagePlan, Target
from levelhead.quantity.decibels import DBU_REFERENCE_V
from levelhead.quantity.noise import thermal_noise_v
from levelhead.rig.model import Rig
from levelhead.verdicts.read.own_leak import hears_only_itself
from levelhead.verdicts.read.spans import Span, level_db
from levelhead.verdicts.read.stamps import Stamps

__all__ = [
    "FAINT_DB",
    "Strip",
    "StripCeiling",
    "clip_level_dbu",
    "heard_at",
    "is_leak",
    "strips",
]

FAINT_DB: Final = 6.0  # too little by this at an input without gain: nobody acts, common practice
# noise of 150 ohm, -131 dBu (Johnson and Nyquist): microphones have that much, and inputs more
_LEAST_DBU: Final = float(20 * np.log10(thermal_noise_v(150.0) / DBU_REFERENCE_V))


@dataclass(frozen=True, slots=True)
class StripCeiling:
    """A stage that may clip: its ceiling brought to the port at the lowest gain. [dBu]

    ``at_unity_dbu`` is the same with the gain control at 0 dB; ``None`` before that control.
    """

    point: Point
    at_lowest_dbu: float
    at_unity_dbu: float | None = None


@dataclass(frozen=True, slots=True)
class Strip:
    """A way into an item, with the range of its gain up to its meter.

    Gains are in dB from the port to the metered stage: ``low`` and ``high`` with every free
    control at its ends, ``comfortable`` with the gain control at 90 % of its travel (or, at an
    input without one, the fader behind the meter there). ``makeup`` is what the fader still gives,
    ``made_up_by`` what people call it.
    """

    port: str
    entry: PointLevels
    nominal_dbu: float
    peak_dbu: float
    metered: Point
    zero_db: float
    gain_control: str | None
    fixed_db: float
    low_db: float
    high_db: float
    now_db: float
    comfortable_db: float
    makeup_db: float
    ceilings: tuple[StripCeiling, ...]
    made_up_by: str = "the fader"

    @property
    def needed_db(self) -> float:
        """Gain that brings the nominal level at the port to the meter's zero."""
        return self.zero_db - self.nominal_dbu

    @property
    def lowest_ceiling(self) -> StripCeiling | None:
        """The stage that clips first at the lowest gain; none where the control goes to off."""
        clipping = [each for each in self.ceilings if math.isfinite(each.at_lowest_dbu)]
        return min(clipping, key=lambda each: each.at_lowest_dbu, default=None)

    @property
    def clipping_setting_db(self) -> float:
        """Setting of the gain at which peaks clip a stage behind it; ``inf`` without one."""
        limits = (each.at_unity_dbu for each in self.ceilings if each.at_unity_dbu is not None)
        return min(limits, default=math.inf) - self.peak_dbu

    def holds(self, rig: Rig, stage: str) -> bool:
        """Whether a stage stands in the strip, or on the way from its port to its meter."""
        is_inside = rig.strip_at(stage) == rig.strip_at(self.port)
        return is_inside or any(each.point.address == stage for each in self.ceilings)

    def setting_for(self, gain_db: float) -> float:
        """Setting of the gain control for a gain from the port to the meter."""
        return gain_db - self.fixed_db


Known = dict[Hashable, tuple[tuple[int, ...], tuple[Strip, ...]]]


def strips(
    solution: Solution,
    stamps: Stamps | None = None,
    known: Known | None = None,
    where: str | None = None,
) -> Iterator[Strip]:
    """Every strip that has a meter and a signal at its input; those of one address, if it is named.

    What is ``known`` from before is taken where the stamps of its points are what they were; what
    is found is noted there.
    """
    for lane in lanes(solution.rig):
        if where is not None and not where.startswith(f"{lane.item.id}."):
            continue
        if lane.item.id not in solution.dead and any(stage.meter for stage in lane.path.stages):
            for origin in lane.origins(solution.graph.index):
                if origin.port is None or not (where is None or _bears(lane, origin.port, where)):
                    continue
                if stamps is None or known is None:
                    yield from _strip(solution, lane, origin, origin.port)
                    continue
                name = (lane.sensed_at(origin.port), lane.point_of(lane.path.stages[0]))
                reads = _stamped(solution, stamps, lane, name)
                if name not in known or known[name][0] != reads:
                    known[name] = (reads, tuple(_strip(solution, lane, origin, origin.port)))
                yield from known[name][1]


def _bears(lane: Lane, port: Target, where: str) -> bool:
    """Whether an address is that of the port, or of a control of the path."""
    return lane.port_of(port) == where or any(
        lane.control_of(stage) == where for stage in lane.path.stages
    )


def _stamped(
    solution: Solution, stamps: Stamps, lane: Lane, name: tuple[str, str]
) -> tuple[int, ...]:
    """Stamps of all that a strip is read from: what comes in, and the stages of its path."""
    entry, first = (solution.number(each) for each in name)
    stages = stamps.points[first : first + len(lane.path.stages)]
    return stamps.gear, int(stamps.points[entry]), int(stages.max())


def clip_level_dbu(solution: Solution, address: str) -> float:
    """Level at a port at which the first stage behind it clips at its lowest gain. [dBu]

    ``inf`` where nothing does, or where a control before it goes to off.
    """
    levels = [
        each.at_lowest_dbu
        for lane in lanes(solution.rig)
        for origin in lane.origins(solution.graph.index)
        if origin.port is not None and lane.port_of(origin.port) == address
        for each in _ceilings(solution, lane, Span.entering(origin), lane.path.stages)
    ]
    return min(levels, default=math.inf)


def _strip(solution: Solution, lane: Lane, origin: OriginPlan, port: Target) -> Iterator[Strip]:
    """The strip behind a port, if anything is heard there."""
    entry = heard_at(solution, lane, port)
    if entry is None or entry.nominal is None or entry.peak is None:
        return
    number, metered = next(
        (n, stage.meter) for n, stage in enumerate(lane.path.stages) if stage.meter is not None
    )
    gain = Span.entering(origin)
    gain.unit = solution.point(entry.at).unit
    ceilings = tuple(_ceilings(solution, lane, gain, lane.path.stages[: number + 1]))
    after = Span.starting(0.0)
    for stage in lane.path.stages[number + 1 :]:
        after.pass_through(lane, stage)
    lent_db = max(after.comfortable, FAINT_DB)
    comfortable = gain.comfortable if gain.control else gain.fixed + lent_db
    point = solution.point(lane.point_of(lane.path.stages[number]))
    yield Strip(
        port=lane.port_of(port),
        entry=entry,
        nominal_dbu=entry.nominal,
        peak_dbu=entry.peak,
        metered=point,
        zero_db=level_db(metered.zero.value, point.unit),
        gain_control=gain.control,
        fixed_db=gain.fixed,
        low_db=gain.low,
        high_db=gain.high,
        now_db=gain.now,
        comfortable_db=comfortable,
        makeup_db=max(after.high, 0.0),
        ceilings=ceilings,
    )


def heard_at(solution: Solution, lane: Lane, port: Target) -> PointLevels | None:
    """Levels at a port of a path where anything is heard that somebody might raise."""
    entry = solution.levels(lane.sensed_at(port))
    if entry.nominal is None or entry.peak is None or is_leak(entry):
        return None
    return None if hears_only_itself(solution, lane.port_of(port)) else entry


def is_leak(entry: PointLevels) -> bool:
    """Less than the noise that stands at the input, or that any input has: no signal to raise."""
    least = max(_LEAST_DBU, -math.inf if entry.floor is None else entry.floor)
    return entry.unit == "dBu" and entry.nominal is not None and entry.nominal < least


def _ceilings(
    solution: Solution, lane: Lane, gain: Span, stages: Sequence[StagePlan]
) -> Iterator[StripCeiling]:
    """Ceilings on the way to the meter; the span of gain grows with each stage."""
    for stage in stages:
        gain.pass_through(lane, stage)
        level = solution.levels(lane.point_of(stage)).ceiling
        if level is not None:
            at_unity_dbu = None if gain.control is None else level - gain.fixed
            point = solution.point(lane.point_of(stage))
            yield StripCeiling(point, level - gain.low, at_unity_dbu)
