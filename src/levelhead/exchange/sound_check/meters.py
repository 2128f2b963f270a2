"""What a meter shows, as its panel says it: by its own detector, against its own zero."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from levelhead.chain.graph.points import Point
from levelhead.chain.levels import REFERENCE_OF_UNIT
from levelhead.planning.gains.planned.ends import MeterMark

__all__ = ["Shown", "detector_words", "mark_at", "shown"]

_DETECTORS: Final = {
    "vu": "VU",
    "ppm": "PPM",
    "peak": "peak",
    "true-peak": "true peak",
}


@dataclass(frozen=True, slots=True)
class Shown:
    """A reading and the range in which it is right, in words."""

    reads: str
    between: str


def mark_at(meters: Sequence[MeterMark], address: str) -> MeterMark | None:
    """The mark of a meter; of several the one with a single source."""
    found = [each for each in meters if each.at == address]
    return min(found, key=lambda each: each.align == "all", default=None)


def shown(mark: MeterMark, point: Point) -> Shown:
    """Numbers as they stand on the meter: a digital one counts from full scale."""
    if point.meter is None:
        return Shown("", "")
    zero_db, unit = 0.0, "dB"
    if point.unit == "FS":
        zero_db, unit = 20 * math.log10(point.meter.zero.value), "dBFS"
    kind = detector_words(point.meter.kind)
    reads = f"{_signed(mark.reads_db + zero_db)} {unit}, {kind}"
    low, high = _signed(mark.low_db + zero_db), _signed(mark.high_db + zero_db)
    return Shown(reads, f"{low} to {high}")


def zero_words(point: Point) -> str:
    """What zero of a meter is, for a note: ``0 dB is +4.0 dBu``."""
    if point.meter is None or point.unit == "FS":
        return ""
    reference, unit = REFERENCE_OF_UNIT[point.unit]
    return f"0 dB is {20 * math.log10(point.meter.zero.value / reference):+.1f} {unit}"


def detector_words(kind: str) -> str:
    """A detector in the trade's words."""
    return _DETECTORS.get(kind, kind)


def _signed(value: float) -> str:
    rounded = round(value) + 0
    return f"{rounded:+d}" if rounded else "0"
