"""Ears: the most that headphones can give, and how long the show's level may last.

No room and no places of people are known: loudspeakers are told at 1 m, and judged by nobody here.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Final

import numpy as np

from levelhead.chain.graph import Edge, EdgeGain
from levelhead.quantity.exposure import DAY_H, DAY_LEVEL_DB, allowed_h
from levelhead.quantity.levels import P_REFERENCE_PA
from levelhead.verdicts.finding import Compared, Finding, Severity
from levelhead.verdicts.limit_state import Doubt, LimitState
from levelhead.verdicts.people_words import EARS, EXPOSURE, EXPOSURE_CAUTION, SENTENCES
from levelhead.verdicts.reading import Reading
from levelhead.verdicts.words import place_words

__all__ = ["EAR_CARE_DB", "EAR_HARM_DB", "check_ears", "check_exposure"]

EAR_CARE_DB: Final = 110.0  # one slip is loud and not yet an injury, common practice
EAR_HARM_DB: Final = 120.0  # threshold of pain, common practice
_AUDIENCE_M: Final = 8.0
_TOLD_FROM_DB: Final = 80.0  # lower action value of Directive 2003/10/EC
_EAR_CAUTION: Final = (
    "Hearing does not come back. Turn down before they are put on and before anything is plugged; "
    "limiters of the receiver and of the send stay on."
)


def check_ears(reading: Reading) -> Iterator[Finding]:
    """Everything worn at the ear: its largest clean sine, whatever is turned down before it."""
    plugged = {port.item.id for port in reading.rig.ports.values() if port.link is not None}
    worst: dict[str, tuple[float, str]] = {}
    for address, item in _worn(reading):
        if item in plugged:
            most_pa = _most_pa(reading, reading.solution.number(address))
            worst[item] = max(worst.get(item, (0.0, "")), (most_pa, address))
    for item, (most_pa, address) in worst.items():
        if most_pa > 0:
            yield _at_the_ear(reading, item, address, _spl(most_pa))


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
    for to_driver in _edges_to(reading, row):
        for arriving in _edges_to(reading, to_driver.source):
            if arriving.through is not None:
                factor = _factor(to_driver.gain) * _factor(arriving.gain)
                yield _ends_at(reading, arriving.source) * factor, arriving.source


def _edges_to(reading: Reading, row: int) -> list[Edge]:
    graph = reading.solution.graph
    return [graph.edges[each] for each in np.flatnonzero(graph.columns.target == row).tolist()]


def _ends_at(reading: Reading, row: int) -> float:
    """Where an output ends: its ceiling, or a limiter that is on. [V]"""
    shape = reading.solution.graph.shapes.get(row)
    limiter = None if shape is None else shape.limiter
    holds = limiter is not None and math.isinf(limiter.ratio)
    ceiling = float(reading.solution.ceiling[row])
    return min(ceiling, limiter.threshold) if limiter is not None and holds else ceiling


def _factor(gain: EdgeGain) -> float:
    """Largest gain over the bands."""
    return float(np.abs(np.asarray(gain)).max())


def _at_the_ear(reading: Reading, item: str, address: str, level_db: float) -> Finding:
    state = LimitState(EAR_HARM_DB - level_db, "dB", lambda: _doubts(reading, address))
    if state.margin < 0:
        severity = Severity.HARM
    else:
        severity = Severity.CARE if level_db > EAR_CARE_DB else Severity.FINE
    words = {
        "worn": place_words(reading.rig.items[item].label),
        "level": f"{level_db:.0f} dB SPL",
        "limit": f"{EAR_HARM_DB:.0f} dB SPL",
    }
    return Finding(
        code=EARS,
        severity=severity,
        where=address,
        what=SENTENCES[EARS, severity].format(**words),
        why=(
            Compared("highest level at the ear", level_db, EAR_HARM_DB, "dB SPL"),
            Compared("highest level at the ear, fine", level_db, EAR_CARE_DB, "dB SPL"),
        ),
        state=state,
        source="ceilings and limiters through the network, times the sensitivity",
        basis="common practice",
        ports=tuple(
            port.address
            for port in reading.rig.ports.values()
            if port.item.id == item and port.link is not None
        ),
        caution=None if severity is Severity.FINE else _EAR_CAUTION,
    )


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
        loudest = max(alike, key=reading.hum.programme_a, default=None)
        level_pa = 0.0 if loudest is None else reading.hum.programme_a(loudest)
        if loudest is not None and level_pa > 0 and _spl(level_pa) >= _TOLD_FROM_DB:
            yield _exposure(reading, loudest, _spl(level_pa), is_worn=loudest in worn)


def _exposure(reading: Reading, address: str, level_db: float, *, is_worn: bool) -> Finding:
    item = reading.solution.point(address).item
    words = {
        "who": place_words(reading.rig.items[item].label),
        "level": f"{level_db:.0f} dB(A)",
        "time": _time(allowed_h(level_db)),
        "farther": f"{level_db - 20 * math.log10(_AUDIENCE_M):.0f} dB(A)",
    }
    return Finding(
        code=EXPOSURE,
        severity=Severity.FINE,
        where=address,
        what=SENTENCES[EXPOSURE, "ear" if is_worn else "air"].format(**words),
        why=(Compared("A-weighted level of the loud passage", level_db, DAY_LEVEL_DB, "dB(A)"),),
        assumed=("nobody's place is known; level at 1 m, no room",) if not is_worn else (),
        source="nominal signal, A-weighted, against NIOSH 98-126",
        basis="NIOSH 98-126, Table 1-1",
        caution=EXPOSURE_CAUTION,
    )


def _time(hours: float) -> str:
    """A time as people say it."""
    if hours >= 1:
        return "more than a working day" if hours > DAY_H else f"{hours:.0f} h"
    minutes = 60 * hours
    return f"{minutes:.0f} min" if minutes >= 1 else f"{60 * minutes:.0f} s"


def _spl(pressure_pa: float) -> float:
    return 20 * math.log10(pressure_pa / P_REFERENCE_PA)
