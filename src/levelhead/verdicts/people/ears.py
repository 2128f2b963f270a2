"""Ears: what a slip brings to headphones, and how long the show's level may last.

Judged is the volume where it stands, with all before it at its ceiling: a microphone that drops,
feedback, a solo pressed. At 110 dB SPL a day's dose takes 90 s (NIOSH 98-126), time to pull them
off; at 120 dB SPL it takes 9 s.

No room and no places of people are known: loudspeakers are told at 1 m, and judged by nobody here.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from levelhead.quantity.exposure import (
    DAY_H,
    DAY_LEVEL_DB,
    LIMIT_AT_WORK_DB,
    PLAYER_LIMIT_DB,
    allowed_h,
    daily_exposure_db,
)
from levelhead.quantity.parsing import parse_si
from levelhead.rig.settings import setting_text
from levelhead.verdicts.people.ear_volume import (
    EAR_CARE_DB,
    EAR_HARM_DB,
    EAR_SENTENCES,
    WITHOUT_VOLUME,
    Volume,
    edges_to,
    largest,
    level_spl,
    limit_words,
    volume_before,
    volume_words,
)
from levelhead.verdicts.people.words import EARS, EXPOSURE, EXPOSURE_CAUTION, SENTENCES
from levelhead.verdicts.read.reading import Reading
from levelhead.verdicts.told.finding import Compared, Finding, Severity
from levelhead.verdicts.told.limit_state import ROUNDING, Doubt, LimitState
from levelhead.verdicts.told.words import control_words, place_words

__all__ = ["EAR_CARE_DB", "EAR_HARM_DB", "TOLD_FROM_DB", "check_ears", "check_exposure"]

_AUDIENCE_M: Final = 8.0
_HOUR_S: Final = 3600.0
TOLD_FROM_DB: Final = 80.0  # lower action value of Directive 2003/10/EC
_EAR_CAUTION: Final = (
    "Hearing does not come back. Turn down before they are put on and before anything is plugged; "
    "limiters of the receiver and of the send stay on."
)


def check_ears(reading: Reading) -> Iterator[Finding]:
    """Everything worn at the ear: what one slip brings there as its volume stands."""
    plugged = {port.item.id for port in reading.rig.ports.values() if port.link is not None}
    worst: dict[str, tuple[float, str]] = {}
    for address, item in _worn(reading):
        if item in plugged:
            most_pa = _most_pa(reading, reading.solution.number(address))
            told = float(f"{most_pa:.6g}"), address  # of equals not the one that is listed first
            worst[item] = max(worst.get(item, (0.0, "")), told)
    for item, (most_pa, address) in worst.items():
        if most_pa > 0:
            at_ear = _at_ear(reading, address, level_spl(most_pa))
            yield _told(reading, item, address, at_ear)


def _worn(reading: Reading) -> Iterator[tuple[str, str]]:
    """Points at which sound leaves into an ear, with their items."""
    for address in reading.hum.loudspeakers:
        item = reading.solution.point(address).item
        if reading.rig.items[item].plan.is_worn:
            yield address, item


def _most_pa(reading: Reading, row: int) -> float:
    """The loudest that any output brings to a driver, up to the driver's own ceiling. [Pa]"""
    brought = (level_pa for level_pa, _ in _brought(reading, row))
    return min(max(brought, default=0.0), reading.solution.graph.points[row].ceiling)


def _brought(reading: Reading, row: int) -> Iterator[tuple[float, int]]:
    """What each output before a driver brings to it at its ceiling or limiter, and its row."""
    for to_driver in edges_to(reading, row):
        for arriving in edges_to(reading, to_driver.source):
            if arriving.through is not None:
                factor = largest(to_driver.gain) * largest(arriving.gain)
                yield _ends_at(reading, arriving.source) * factor, arriving.source


def _ends_at(reading: Reading, row: int) -> float:
    """Where an output ends: its ceiling, or a limiter that is on. [V]"""
    shape = reading.solution.graph.shapes.get(row)
    limiter = None if shape is None else shape.limiter
    holds = limiter is not None and math.isinf(limiter.ratio)
    ceiling = float(reading.solution.ceiling[row])
    return min(ceiling, limiter.threshold) if limiter is not None and holds else ceiling


def _volume_of(reading: Reading, address: str) -> Volume | None:
    """The volume of the output that brings most to an ear."""
    loudest = max(_brought(reading, reading.solution.number(address)), default=None)
    return None if loudest is None else volume_before(reading, address, loudest[1])


@dataclass(frozen=True, slots=True)
class _AtEar:
    """What comes to an ear, and how bad it is.

    ``level_db`` is what one slip brings there with the volume as it stands, ``most_db`` with it
    up, ``loud_db`` the loud passage as everything is set, A-weighted. [dB SPL]
    """

    level_db: float
    most_db: float
    loud_db: float | None
    volume: Volume | None
    severity: Severity
    sentence: str


def _at_ear(reading: Reading, address: str, most_db: float) -> _AtEar:
    volume = _volume_of(reading, address)
    level_db = most_db if volume is None else min(most_db, volume.slip_db(reading))
    loud_db = _loud_db(reading, address, volume, most_db)
    has_stay = _stay_h(reading) is not None  # then its dose is told of it, by check_exposure
    judged_db = None if has_stay else loud_db
    severity, sentence = _kind(EAR_HARM_DB - level_db, most_db, judged_db, volume)
    if sentence == "fine" and volume is not None and volume.is_harmless(reading):
        sentence = "fine-fixed"
    if volume is None:
        sentence = WITHOUT_VOLUME.get((severity, sentence), sentence)
    return _AtEar(level_db, most_db, loud_db, volume, severity, sentence)


def _told(reading: Reading, item: str, address: str, ear: _AtEar) -> Finding:
    words = {
        "worn": place_words(reading.rig.items[item].label),
        "level": f"{ear.level_db:.0f} dB SPL",
        "most": f"{ear.most_db:.0f} dB SPL",
        "loud": f"{ear.loud_db or 0:.0f} dB(A)",
        **limit_words(),
        **(volume_words(reading, ear.volume, EAR_CARE_DB) if ear.volume else {}),
    }
    return Finding(
        code=EARS,
        severity=ear.severity,
        where=address,
        what=EAR_SENTENCES[ear.sentence].format(**words),
        why=(
            Compared("level that one slip brings to the ear", ear.level_db, EAR_HARM_DB, "dB SPL"),
            Compared("highest level at the ear", ear.most_db, EAR_CARE_DB, "dB SPL"),
            Compared("loud passage at the ear as set", ear.loud_db, PLAYER_LIMIT_DB, "dB(A)"),
        ),
        state=LimitState(EAR_HARM_DB - ear.level_db, "dB", lambda: _doubts(reading, address)),
        source="ceilings and limiters through the network, with the volume as it stands, times "
        "the sensitivity",
        basis="NIOSH 98-126, Table 1-1; EN 50332",
        ports=reading.plugs(item),
        caution=None if ear.severity is Severity.FINE else _EAR_CAUTION,
    )


def _loud_db(reading: Reading, address: str, volume: Volume | None, most_db: float) -> float | None:
    """A-weighted loud passage at an ear, where somebody said how its volume stands.

    What passes a ceiling on its way is clipped there: no more arrives than the most that can.
    """
    loud_pa = reading.hum.programme_a(address)
    is_stated = volume is None or volume.is_stated
    return min(level_spl(loud_pa), most_db) if loud_pa > 0 and is_stated else None


def _kind(
    margin: float, most_db: float, loud_db: float | None, volume: Volume | None
) -> tuple[Severity, str]:
    """How bad it is, and which sentence says so."""
    if volume is not None and not volume.is_stated:
        is_loud = most_db > EAR_CARE_DB + ROUNDING
        return (Severity.CARE, "not-stated") if is_loud else (Severity.FINE, "never")
    if margin < -ROUNDING:
        return Severity.HARM, "harm"
    if EAR_HARM_DB - margin > EAR_CARE_DB + ROUNDING:
        return Severity.CARE, "near"
    if loud_db is not None and loud_db > PLAYER_LIMIT_DB + ROUNDING:
        return Severity.CARE, "loud"
    return Severity.FINE, "fine" if most_db > EAR_CARE_DB + ROUNDING else "never"


def _doubts(reading: Reading, address: str) -> Iterator[Doubt]:
    """The ceiling of the loudest output; the sensitivity behind it."""
    points = reading.solution.graph.points
    sources = sorted(_brought(reading, reading.solution.number(address)))
    for _, row in sources[-1:]:
        shape = reading.solution.graph.shapes.get(row)
        threshold = None if shape is None else shape.threshold
        figure = points[row].ceiling_figure if threshold is None else threshold
        if figure is not None:
            name = "ceiling" if threshold is None else "limiter"
            yield Doubt(f"{name} of {place_words(points[row].label)}", "fact", figure, -1.0)


def check_exposure(reading: Reading) -> Iterator[Finding]:
    """The loudest loudspeaker at 1 m, and all that is worn: level of the show and its dose."""
    worn = dict(_worn(reading))
    sides: dict[str, list[str]] = {}
    for address, item in worn.items():
        sides.setdefault(item, []).append(address)
    in_air = [each for each in reading.hum.loudspeakers if each not in worn]
    for alike in (*sides.values(), in_air):
        loudest = min(alike, key=lambda each: _loudest_first(reading, each), default=None)
        level_pa = 0.0 if loudest is None else reading.hum.programme_a(loudest)
        if loudest is not None and level_pa > 0 and level_spl(level_pa) >= TOLD_FROM_DB:
            yield _exposure(reading, loudest, level_spl(level_pa), is_worn=loudest in worn)


def _loudest_first(reading: Reading, address: str) -> tuple[float, str]:
    """Order by which the loudest comes first; of equals not the one that the show lists first."""
    return -float(f"{reading.hum.programme_a(address):.6g}"), address


def _exposure(reading: Reading, address: str, level_db: float, *, is_worn: bool) -> Finding:
    """The loud passage at the ear against a day's dose."""
    item = reading.solution.point(address).item
    over_db = _over_the_day_db(reading, address, level_db) if is_worn else None
    is_over = over_db is not None and over_db > ROUNDING
    words = {
        "who": place_words(reading.rig.items[item].label),
        "level": f"{level_db:.0f} dB(A)",
        "time": _time(allowed_h(level_db)),
        "farther": f"{level_db - 20 * math.log10(_AUDIENCE_M):.0f} dB(A)",
        "works": _turned_words(reading, address, over_db) if over_db and is_over else "",
        "most": f"{level_db - (over_db or 0.0):.0f} dB(A)",
        "stay": f"{_stay_h(reading) or 0.0:.2g} h",
    }
    sentence = "air" if not is_worn else "ear-over" if is_over else "ear"
    return Finding(
        code=EXPOSURE,
        severity=Severity.CARE if is_over else Severity.FINE,
        where=address,
        what=SENTENCES[EXPOSURE, sentence].format(**words),
        why=(Compared("A-weighted level of the loud passage", level_db, DAY_LEVEL_DB, "dB(A)"),),
        state=None if over_db is None else LimitState(-over_db, "dB"),
        assumed=("nobody's place is known; level at 1 m, no room",) if not is_worn else (),
        source="nominal signal, A-weighted, against NIOSH 98-126",
        basis="NIOSH 98-126, Table 1-1",
        caution=EXPOSURE_CAUTION,
    )


def _over_the_day_db(reading: Reading, address: str, level_db: float) -> float | None:
    """By how much the loud passage is over what an ear may get in the stay that the show tells.

    Nothing where no stay is told, or where nobody says how the volume stands.
    """
    stay_h = _stay_h(reading)
    volume = None if stay_h is None else _volume_of(reading, address)
    if stay_h is None or (volume is not None and not volume.is_stated):
        return None
    return daily_exposure_db(level_db, stay_h) - LIMIT_AT_WORK_DB


def _stay_h(reading: Reading) -> float | None:
    """The longest stay of an area, as long as who works there is there."""
    stays = [each.stay for each in reading.rig.show.areas.values() if each.stay]
    return max((parse_si(each, "s") / _HOUR_S for each in stays), default=None)


def _turned_words(reading: Reading, address: str, over_db: float) -> str:
    """What to turn, and where to."""
    volume = _volume_of(reading, address)
    if volume is None:
        return f"what feeds them {math.ceil(over_db)} dB down"
    rig = reading.rig
    place_db = rig.setting_db(volume.control) - over_db
    if place_db < rig.controls[volume.control].low:
        return f"what comes to {control_words(rig, volume.control)} {math.ceil(over_db)} dB down"
    lower = setting_text(math.floor(place_db), rig.controls[volume.control])
    return f"{control_words(rig, volume.control)} at {lower}"


def _time(hours: float) -> str:
    """A time as people say it."""
    if hours >= 1:
        return "more than a working day" if hours > DAY_H else f"{hours:.0f} h"
    minutes = 60 * hours
    return f"{minutes:.0f} min" if minutes >= 1 else f"{60 * minutes:.0f} s"
