"""What somebody read off a meter, as it is typed: ``desk.ch3.preamp: -9 dBFS peak``.

A reading has a place, a level with its unit, and the detector of the meter; without one that of the
meter which sits there. ``dB`` alone counts from the meter's own zero.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from typing import Final

from levelhead.chain.levels import REFERENCE_OF_UNIT
from levelhead.chain.meters import MeterKind, reading_level_db
from levelhead.chain.solution import Solution
from levelhead.chain.wired.lanes import Lane, lanes_of
from levelhead.errors import AskError, QuantityError
from levelhead.gear.names import did_you_mean
from levelhead.quantity.parsing import parse_si

__all__ = ["SEEN", "Detector", "Seen", "predicted_db", "read_seen"]

SEEN: Final = "--seen"
Detector = MeterKind | str  # and "rms", which no meter of the gear book has

_DETECTORS: Final = {
    "vu": "vu",
    "ppm": "ppm",
    "peak": "peak",
    "sample peak": "peak",
    "true peak": "true-peak",
    "true-peak": "true-peak",
    "rms": "rms",
}
_TYPED: Final = re.compile(
    rf"(?P<level>.+?)(?: (?P<detector>{'|'.join(map(re.escape, _DETECTORS))}))?", re.IGNORECASE
)
_EXAMPLE: Final = "Write it like --seen 'desk.ch3.preamp: -9 dBFS peak'."


@dataclass(frozen=True, slots=True)
class Seen:
    """A reading at a point.

    Attributes
    ----------
    typed
        As it was typed.
    at
        Address of the point that the meter shows.
    level_db
        Level of the steady sine that would read the same, in the unit of the point.
    detector
        ``vu``, ``ppm``, ``peak``, ``true-peak`` or ``rms``.
    """

    typed: str
    at: str
    level_db: float
    detector: str


def read_seen(typed: str, solution: Solution) -> Seen:
    """Read what was typed, at a point of a solved rig.

    Raises
    ------
    AskError
        It is no reading, names no point with a meter, or its unit does not fit there.
    """
    place, colon, rest = typed.partition(":")
    if not colon or not place.strip() or not rest.strip():
        raise _refused(typed, "is no reading", "ADDRESS: LEVEL DETECTOR")
    at = _point(place.strip(), typed, solution)
    match = _TYPED.fullmatch(" ".join(rest.split()))
    level, word = (match["level"], match["detector"]) if match else (rest, None)
    number, unit = _level(level, typed)
    at = _in_unit(at, unit, typed, solution)
    meter = solution.point(at).meter
    detector = _DETECTORS[word.lower()] if word else ("peak" if meter is None else meter.kind)
    if unit == "dB":
        number += _zero_db(at, typed, solution)
    return Seen(typed.strip(), at, number, detector)


def predicted_db(solution: Solution, seen: Seen) -> float | None:
    """What such a meter would read there as the rig is known; ``None`` for silence."""
    levels = solution.levels(seen.at)
    if seen.detector == "rms":
        return levels.nominal
    kind: MeterKind = seen.detector  # type: ignore[assignment]
    return reading_level_db(levels, kind)


# ---------------------------------------------------------------- where


def _point(place: str, typed: str, solution: Solution) -> str:
    """The point that is meant: by its address, its end, or a strip by its own meter."""
    known = [each for each in solution.graph.wiring.addresses if not each.startswith("~")]
    if place in known:
        return place
    ending = [each for each in known if each.endswith(f".{place}")]
    if len(ending) == 1:
        return ending[0]
    metered = [
        each
        for each in known
        if (each.startswith(f"{place}.") or f".{place}." in f".{each}")
        and solution.point(each).meter is not None
    ]
    if len(metered) == 1:
        return metered[0]
    several = ending or metered
    if several:
        raise AskError(
            f"'{place}' is several places",
            where=f"{SEEN} '{typed.strip()}'",
            expected=f"one of {', '.join(sorted(several)[:6])}",
            remedy="Name the item too.",
        )
    raise AskError(
        f"no point '{place}'",
        where=f"{SEEN} '{typed.strip()}'",
        expected="the address of a stage, such as desk.ch3.preamp",
        remedy=did_you_mean(place, known) or "List them with: levelhead levels SHOW",
    )


def _in_unit(at: str, unit: str, typed: str, solution: Solution) -> str:
    """The point itself, or for full scale the converter behind it in the same strip."""
    own = solution.point(at).unit
    fits = {"dBFS": "FS", "dB SPL": "Pa", "dBu": "V"}.get(unit, own)
    if fits == own:
        return at
    if fits == "FS" and own == "V":
        for lane in lanes_of(solution.rig, solution.rig.items[solution.point(at).item]):
            found = _converter(lane, at)
            if found is not None:
                return found
    raise _refused(
        typed,
        f"'{unit}' is not shown at {at}",
        f"a level in {REFERENCE_OF_UNIT[own][1]}, or in dB from the zero of its meter",
    )


def _converter(lane: Lane, at: str) -> str | None:
    """The first digital stage behind a stage, with no control between them."""
    passed = False
    for stage in lane.path.stages:
        if passed and stage.control is not None:
            return None
        if passed and stage.unit == "FS":
            return lane.point_of(stage)
        passed = passed or lane.point_of(stage) == at
    return None


# ---------------------------------------------------------------- how much


def _level(text: str, typed: str) -> tuple[float, str]:
    """A number with the unit in which it is compared."""
    for unit in ("dBFS", "dBu", "dB SPL", "dB"):
        try:
            number = parse_si(text, unit)
        except QuantityError:
            continue
        if unit == "dBFS" and number > 0:
            raise _refused(
                typed,
                f"'{text.strip()}' is above full scale, which no meter shows",
                "a level of 0 dBFS or less, with its sign",
            )
        return number, unit
    raise _refused(typed, f"'{text.strip()}' is no level", "a level in dBFS, dBu, dBV, V or dB")


def _zero_db(at: str, typed: str, solution: Solution) -> float:
    """Level at which the meter there reads zero, in the unit of its point."""
    point = solution.point(at)
    if point.meter is None or point.meter.zero.value <= 0:
        raise _refused(typed, f"no meter is at {at}", "a level with its reference, such as -9 dBFS")
    return 20 * math.log10(point.meter.zero.value / REFERENCE_OF_UNIT[point.unit][0])


def _refused(typed: str, what: str, expected: str) -> AskError:
    return AskError(
        what if what.startswith("'") or "meter" in what else f"'{typed.strip()}' {what}",
        where=SEEN,
        expected=expected,
        remedy=_EXAMPLE,
    )
