"""Microphones straight into loudspeakers, past every meter: is the voice any louder for it?

A voice needs no loudspeaker that gives it no louder than it is: its own level at 1 m, against that
at 1 m of the loudspeaker.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from levelhead.quantity.decibels import P_REFERENCE_PA
from levelhead.quantity.formatting import format_level
from levelhead.rig.model import RigSource
from levelhead.verdicts.explain import PRACTICE, Explained, Threshold
from levelhead.verdicts.read.doubts import (
    Way,
    controls_with_room,
    doubts_of_level,
    strongest_way,
)
from levelhead.verdicts.read.reading import Reading
from levelhead.verdicts.told.finding import Compared, Finding, Severity
from levelhead.verdicts.told.limit_state import ROUNDING, LimitState
from levelhead.verdicts.told.words import control_words, place_words

__all__ = ["EXPLAINED", "LOUDER_DB", "SENTENCES", "STRAIGHT", "check_straight_into_loudspeakers"]

STRAIGHT: Final = "enough.no-louder"
LOUDER_DB: Final = 6.0  # twice the pressure: worth a loudspeaker, common practice
SENTENCES: Final = {
    Severity.FAILS: "{loudspeaker} gives {who} at {level} at 1 m, {under} under the most that it "
    "can; {who} alone has {own} there. The loudspeaker adds next to nothing: an input for "
    "microphones, or a desk between.",
    Severity.CARE: "{loudspeaker} gives {who} at {level} at 1 m, {under} under the most that it "
    "can; {who} alone has {own} there. It works with {how}.",
    Severity.FINE: "{loudspeaker} gives {who} at {level} at 1 m, {under} under the most that it "
    "can; {who} alone has {own} there.",
}
EXPLAINED: Final = (
    Explained(
        STRAIGHT,
        "Level of a voice or an instrument at 1 m of a loudspeaker that it reaches past no meter, "
        "against its own at 1 m without it.",
        (
            Threshold("louder than without it: fine", LOUDER_DB, "dB", PRACTICE),
            Threshold("louder than without it: fails below", 0.0, "dB", PRACTICE),
        ),
    ),
)


@dataclass(frozen=True, slots=True)
class _Straight:
    """A source at 1 m: through a loudspeaker, how far under its most, and by itself. [dB SPL]"""

    nominal_db: float
    under_db: float
    own_db: float

    @property
    def louder_db(self) -> float:
        return self.nominal_db - self.own_db

    def severity(self, room_db: float) -> Severity:
        """What turning up mends is care."""
        if self.louder_db >= LOUDER_DB - ROUNDING:
            return Severity.FINE
        return Severity.CARE if self.louder_db + room_db >= -ROUNDING else Severity.FAILS


def check_straight_into_loudspeakers(reading: Reading) -> Iterator[Finding]:
    """Loudspeakers that a microphone drives with no metered strip between."""
    solution = reading.solution
    sources = {each.id: each for each in reading.rig.sources}
    metered = {strip.metered.address for strip in reading.strips}
    for address in reading.hum.loudspeakers:
        if reading.rig.items[solution.point(address).item].plan.is_worn:
            continue
        way = strongest_way(solution, solution.number(address))
        source = None if way.source is None else sources.get(way.source.name)
        if source is not None and not metered & _points(reading, way):
            yield from _straight(reading, address, source)


def _straight(reading: Reading, address: str, source: RigSource) -> Iterator[Finding]:
    """A source past every meter: its level from the loudspeaker against its own, both at 1 m."""
    levels = reading.solution.levels(address)
    if levels.nominal is not None and levels.ceiling is not None:
        own_db = 20 * math.log10(source.air.level_pa.value * source.air.at_m / P_REFERENCE_PA)
        under_db = levels.ceiling - levels.nominal
        yield _told(reading, address, source, _Straight(levels.nominal, under_db, own_db))


def _points(reading: Reading, way: Way) -> set[str]:
    return {reading.solution.graph.points[edge.target].address for edge in way.edges}


def _told(reading: Reading, address: str, source: RigSource, level: _Straight) -> Finding:
    solution = reading.solution
    row = solution.number(address)
    room = controls_with_room(solution, row)
    severity = level.severity(sum(room.values()))
    names = [control_words(reading.rig, each) for each, by_db in room.items() if by_db > ROUNDING]
    words = {
        "loudspeaker": place_words(reading.rig.items[solution.point(address).item].label),
        "who": source.label,
        "level": format_level(level.nominal_db, "dB SPL"),
        "under": format_level(level.under_db, "dB"),
        "own": format_level(level.own_db, "dB SPL"),
        "how": f"{' and '.join(names)} turned up" if names else "its listeners close by",
    }
    compared = Compared(
        "level at 1 m, against the source alone", level.nominal_db, level.own_db, "dB SPL"
    )
    return Finding(
        code=STRAIGHT,
        severity=severity,
        where=address,
        what=SENTENCES[severity].format(**words),
        why=(compared,),
        state=_state(reading, row, level.louder_db),
        source="level at 1 m of the loudspeaker, against that of the source itself",
        basis=PRACTICE,
        ports=reading.plugs(solution.point(address).item),
    )


def _state(reading: Reading, row: int, louder_db: float) -> LimitState:
    return LimitState(
        louder_db,
        "dB",
        lambda: doubts_of_level(reading.solution, row, slope=+1.0),
        reading.moves(row, slope=+1.0),
        reading.is_open(row),
    )
