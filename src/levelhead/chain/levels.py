"""Levels of a point as people read them: dBu, dBFS or dB SPL; nothing where there is nothing."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Final, Self

from levelhead.quantity.decibels import DBU_REFERENCE_V, P_REFERENCE_PA
from levelhead.quantity.peaks import SINE_CREST_DB

__all__ = ["REFERENCE_OF_UNIT", "PointLevels", "decibels", "levels_of"]

REFERENCE_OF_UNIT: Final[Mapping[str, tuple[float, str]]] = {
    "V": (DBU_REFERENCE_V, "dBu"),
    "FS": (1.0, "dBFS"),
    "Pa": (P_REFERENCE_PA, "dB SPL"),
}


def decibels(rms: float, unit: str) -> float | None:
    """Level of an rms number of a point's unit; ``None`` for silence and for no limit.

    >>> decibels(1.0, "FS"), decibels(0.0, "V"), decibels(math.inf, "V")
    (0.0, None, None)
    """
    if not 0 < rms < math.inf:
        return None
    return 20 * math.log10(rms / REFERENCE_OF_UNIT[unit][0])


@dataclass(frozen=True, slots=True)
class PointLevels:
    """Levels of a point in dBu, dBFS or dB SPL; ``None`` where there is nothing or no limit.

    ``peak`` is the level of the sine with the same peak, so it compares with ``ceiling``.
    """

    at: str
    unit: str
    nominal: float | None
    peak: float | None
    ceiling: float | None
    floor: float | None
    floor_a: float | None

    @classmethod
    def from_json(cls, point: Mapping[str, Any]) -> Self:
        """From what ``to_json`` gave; the A-weighted floor is not in there."""
        nominal, peak, ceiling, floor = map(point.get, ("nominal", "peak", "ceiling", "floor"))
        return cls(str(point["at"]), str(point["unit"]), nominal, peak, ceiling, floor, None)

    @property
    def headroom(self) -> float | None:
        """Ceiling less peak. [dB]"""
        return None if self.ceiling is None or self.peak is None else self.ceiling - self.peak

    @property
    def signal_over_noise(self) -> float | None:
        """Nominal less A-weighted floor. [dB]"""
        return None if self.nominal is None or self.floor_a is None else self.nominal - self.floor_a

    def to_json(self) -> dict[str, str | float | None]:
        """As docs/formats.md prints it, in hundredths of a decibel."""
        return {
            "at": self.at,
            "unit": self.unit,
            "nominal": _hundredths(self.nominal),
            "peak": _hundredths(self.peak),
            "ceiling": _hundredths(self.ceiling),
            "floor": _hundredths(self.floor),
            "headroom": _hundredths(self.headroom),
        }


def _hundredths(level: float | None) -> float | None:
    return None if level is None else round(level, 2) + 0.0


def levels_of(
    at: str,
    unit: str,
    rms: tuple[float, float, float, float],
    *,
    crest_db: float,
) -> PointLevels:
    """Levels of the rms numbers of a point: nominal, ceiling, floor, A-weighted floor."""
    nominal, ceiling, floor, floor_a = rms
    level = decibels(nominal, unit)
    return PointLevels(
        at=at,
        unit=REFERENCE_OF_UNIT[unit][1],
        nominal=level,
        peak=None if level is None else level + crest_db - SINE_CREST_DB,
        ceiling=decibels(ceiling, unit),
        floor=decibels(floor, unit),
        floor_a=decibels(floor_a, unit),
    )
