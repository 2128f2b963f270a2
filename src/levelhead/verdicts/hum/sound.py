"""Hum at a loudspeaker against what is heard there: the room, the noise floor, the programme."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from levelhead.chain.levels import decibels
from levelhead.chain.noise.hum import ChainHum
from levelhead.circuit.hum.sums import HumDoubt, HumSum
from levelhead.gear.figures import Figure
from levelhead.quantity.decibels import P_REFERENCE_PA
from levelhead.verdicts.hum.listener import Listener
from levelhead.verdicts.hum.words import range_words, spl_words
from levelhead.verdicts.told.finding import Compared, Severity
from levelhead.verdicts.told.limit_state import ROUNDING, Doubt, LimitState

__all__ = [
    "AMPLE_DB",
    "CLEAN_DB",
    "COVERED_DB",
    "Sound",
    "hum_doubts",
    "is_ample",
    "limit_of",
    "sound_of",
]

AMPLE_DB: Final = 10.0  # typical hum so far below what is heard: nobody acts, common practice
CLEAN_DB: Final = 60.0  # signal over A-weighted hum that nobody complains of, common practice
COVERED_DB: Final = 40.0  # less than this and it is heard between the words, common practice
_SILENT_PA: Final = 1e-12


@dataclass(frozen=True, slots=True)
class Sound:
    """Hum at 1 m of a loudspeaker, A-weighted, against what is heard there. [dB SPL]"""

    typical_db: float
    low_db: float
    high_db: float
    limit_db: float
    over_db: float | None  # programme less hum; none when nothing plays
    state: LimitState

    @property
    def severity(self) -> Severity:
        """Heard and near the programme fails; what is heard in the pauses only is care.

        Nobody acts on what is typically under the room and far under the programme.
        """
        severity = self.state.severity(ample=AMPLE_DB)
        if severity is Severity.FAILS:
            return Severity.CARE if self._is_under_programme(COVERED_DB) else Severity.FAILS
        is_clean = self.over_db is not None and self._is_under_programme(CLEAN_DB)
        return Severity.FINE if is_clean else severity

    def _is_under_programme(self, by_db: float) -> bool:
        """Whether the programme stands so far above; without one nothing is disturbed."""
        return self.over_db is None or self.over_db >= by_db - ROUNDING

    @property
    def words(self) -> dict[str, str]:
        """Levels for a sentence."""
        under = "" if self.over_db is None else f"{self.over_db:.0f} dB under the programme"
        return {
            "hum": spl_words(self.typical_db),
            "most": spl_words(self.high_db),
            "range": range_words(self.low_db, self.high_db),
            "limit": spl_words(self.limit_db),
            "over": under or "and nothing plays",
        }

    @property
    def compared(self) -> tuple[Compared, ...]:
        """The numbers that led here."""
        return (
            Compared("hum at 1 m of the loudspeaker", self.typical_db, self.limit_db, "dB(A)"),
            Compared("hum there at worst", self.high_db, self.limit_db, "dB(A)"),
            Compared("programme over hum, A-weighted", self.over_db, COVERED_DB, "dB"),
        )


def sound_of(hum: ChainHum, listener: Listener, loudspeaker: str, power: HumSum) -> Sound:
    """Hum of some inputs at a loudspeaker."""
    room_db, limit_db = listener.at_1_m_db, limit_of(hum, listener, loudspeaker)
    level = power.rms_a()
    typical_db, low_db, high_db = map(_level_db, (level.value, level.low, level.high))
    of_room = 10 ** ((room_db - limit_db) / 10)

    def doubts() -> Iterator[Doubt]:
        yield from hum_doubts(power)
        yield Doubt("background of the room", "fact", listener.background_a, of_room)
        yield Doubt("distance of the nearest listener", "fact", listener.distance, of_room)

    programme_db = decibels(hum.programme_a(loudspeaker), "Pa")
    over_db = None if programme_db is None else programme_db - typical_db
    state = LimitState(limit_db - typical_db, "dB", doubts)
    return Sound(typical_db, low_db, high_db, limit_db, over_db, state)


def is_ample(hum: ChainHum, listener: Listener, loudspeaker: str, typical_pa: float) -> bool:
    """Whether hum is typically so far below what is heard that it is fine, whatever the doubts."""
    return limit_of(hum, listener, loudspeaker) - _level_db(typical_pa) >= AMPLE_DB


def _level_db(pressure_pa: float) -> float:
    return 20 * math.log10(max(pressure_pa, _SILENT_PA) / P_REFERENCE_PA)


def limit_of(hum: ChainHum, listener: Listener, loudspeaker: str) -> float:
    """Room and noise floor at 1 m of a loudspeaker: what hum must pass to be heard. [dB SPL]"""
    floor_db = decibels(float(hum.solution.floor_a[hum.solution.number(loudspeaker)]), "Pa")
    if floor_db is None:
        return listener.at_1_m_db
    return 10 * math.log10(10 ** (listener.at_1_m_db / 10) + 10 ** (floor_db / 10))


def hum_doubts(power: HumSum) -> Iterator[Doubt]:
    """The figures that hum hangs on; more of each is more hum, but for rejection."""
    for doubt in power.doubts_a():
        figure = _as_figure(doubt) if doubt.figure is None else doubt.figure
        slope = doubt.share if figure.unit == "dB" else -doubt.share
        yield Doubt(doubt.what, "fact", figure, slope)


def _as_figure(doubt: HumDoubt) -> Figure:
    """Rejections of several inputs as one factor."""
    return Figure(1.0, math.sqrt(doubt.low), math.sqrt(doubt.high), "1", "typical")
