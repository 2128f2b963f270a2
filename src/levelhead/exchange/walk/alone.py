"""Levels of one signal by itself along its way, and what meters read of it.

Every other source is taken out of the sums: at a walk one source plays at a time. What a limiter
takes stays as with everybody playing.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Final

import numpy as np
from numpy.typing import NDArray

from levelhead.chain.levels import REFERENCE_OF_UNIT, PointLevels, levels_of
from levelhead.chain.meters import reading_level_db
from levelhead.chain.solution import Solution
from levelhead.exchange.sound_check.meters import detector_words
from levelhead.exchange.walk.model import Expected
from levelhead.exchange.walk.route import Route
from levelhead.gear.plan import MeterPlan
from levelhead.planning.desks import Desk
from levelhead.planning.trial import Trial
from levelhead.quantity.bands import BANDS, mid_hz
from levelhead.show.edits import Set
from levelhead.verdicts.read.doubts import doubts_of_level

__all__ = ["BASS_HZ", "Alone", "shown_by"]

BASS_HZ: Final = 200.0  # what is below is missed as bass, common practice
_SPREADS: Final = 2.0  # of all evenings 95 %
_LEAST_DB: Final = 3.0  # as close as a moving meter and a performer agree, common practice
_SILENT: Final = 1e-9


@dataclass(frozen=True)
class Alone:
    """One channel's signal in one state of a show."""

    trial: Trial
    route: Route

    @property
    def solution(self) -> Solution:
        """The solved rig."""
        return self.trial.solution

    def power(self, address: str) -> NDArray[np.float64]:
        """Mean square of this signal at a point, in each band; (bands,)."""
        source, carried = self.route.source, self.solution.carried
        if source is None or address not in self.solution.graph.index:
            return np.zeros(BANDS)
        row = self.solution.number(address)
        components = self.solution.graph.components
        pairs = [
            pair
            for pair in np.flatnonzero(carried.point == row).tolist()
            if carried.component[pair] < carried.first_noise
            and components[carried.component[pair]].origin == source.origin
        ]
        return np.asarray(carried.power[pairs].sum(axis=0) if pairs else np.zeros(BANDS))

    def levels(self, address: str) -> PointLevels | None:
        """Levels of this signal at a point; ``None`` where it is silent."""
        rms = math.sqrt(float(self.power(address).sum()))
        source = self.route.source
        if source is None or rms <= _SILENT:
            return None
        point = self.solution.point(address)
        known = self.solution.levels(address)
        crest_db = source.peak_to_rms_db.value
        alone = levels_of(address, point.unit, (rms, math.inf, 0.0, 0.0), crest_db=crest_db)
        return replace(alone, ceiling=known.ceiling, floor=known.floor, floor_a=known.floor_a)

    def bass_db(self, address: str) -> float | None:
        """How far the bass stands under the whole; ``None`` where it is silent. [dB]"""
        power = self.power(address)
        whole, low = float(power.sum()), float(power[mid_hz() < BASS_HZ].sum())
        if whole <= _SILENT**2 or low <= 0:
            return None
        return 10 * math.log10(whole / low)

    @cached_property
    def spread_db(self) -> float:
        """How far a reading may be off without a fault: two spreads of the level at the input."""
        row = self.solution.number(self.route.sensed)
        weights = [each.weight for each in doubts_of_level(self.solution, row, slope=1.0)]
        return max(_SPREADS * math.sqrt(sum(each**2 for each in weights)), _LEAST_DB)

    def expected(self, address: str, how: str = "meter") -> Expected | None:
        """What the meter at a point reads of this signal; ``None`` without meter or signal."""
        point = self.solution.point(address)
        levels = self.levels(address)
        if point.meter is None or levels is None:
            return None
        reads = shown_by(point.meter, point.unit, levels)
        if reads is None:
            return None
        value, unit = reads
        return Expected(
            "pfl" if how == "pfl" else "meter",
            address,
            value,
            value - self.spread_db,
            value + self.spread_db,
            unit,
            detector_words(point.meter.kind),
        )

    def sound(self, address: str) -> Expected | None:
        """How loud a loudspeaker is with this signal, at 1 m."""
        levels = self.levels(address)
        if levels is None or levels.nominal is None:
            return None
        ends = (levels.nominal - self.spread_db, levels.nominal + self.spread_db)
        return Expected("sound", address, levels.nominal, *ends, "dB SPL")

    def listened(self) -> Expected | None:
        """What the meter for listening reads with this strip alone on it."""
        port = self.route.port
        desk = Desk(self.solution.rig, port.item)
        press = desk.listening(port.block)
        pressed = None if press is None else self.trial.after([Set(*press)])
        if pressed is None:
            return None
        alone = Alone(pressed, self.route)
        meters = Desk(pressed.solution.rig, pressed.solution.rig.items[port.item.id])
        found = (alone.expected(each, "pfl") for each in meters.listening_meters())
        reads = next((each for each in found if each is not None), None)
        if reads is None:
            return None
        spread_db = self.spread_db
        return replace(reads, low=reads.reads - spread_db, high=reads.reads + spread_db)


def shown_by(meter: MeterPlan, unit: str, levels: PointLevels) -> tuple[float, str] | None:
    """What a meter shows, and its unit: a digital one counts from full scale."""
    value = reading_level_db(levels, meter.kind)
    if value is None or meter.zero.value <= 0:
        return None
    if unit == "FS":
        return value, "dBFS"
    reference, _ = REFERENCE_OF_UNIT[unit]
    return value - 20 * math.log10(meter.zero.value / reference), "dB"
