"""Enough: does the gain at hand bring each source to its meter, and is it set to do so?"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from functools import partial
from typing import Final

import numpy as np
from numpy.typing import NDArray

from levelhead.quantity.formatting import format_level
from levelhead.rig.settings import setting_text
from levelhead.verdicts.enough.gain_words import words_of_gain
from levelhead.verdicts.enough.lent import SHARED_MAKEUP_DB, lent_db
from levelhead.verdicts.read.doubts import controls_with_room, doubts_of_level, strongest_way
from levelhead.verdicts.read.gain_plan import (
    planned_gain_db,
    planned_setting,
    setting_words,
)
from levelhead.verdicts.read.kept import Note
from levelhead.verdicts.read.late_meters import late_strips
from levelhead.verdicts.read.places import At, by_place
from levelhead.verdicts.read.reading import Reading
from levelhead.verdicts.read.strips import Strip
from levelhead.verdicts.read.transmitters import planned_by_ceiling
from levelhead.verdicts.told.finding import Compared, Finding, Severity
from levelhead.verdicts.told.limit_state import FINE_CHANCE, ROUNDING, Doubt, LimitState

__all__ = [
    "SENTENCES",
    "SET_TOO_LOW",
    "SET_TOO_LOW_DB",
    "TOO_LOW",
    "check_gain_is_enough",
    "check_set_too_low",
    "strip_places",
]

TOO_LOW: Final = "enough.too-low"
SET_TOO_LOW: Final = "enough.set-too-low"
SET_TOO_LOW_DB: Final = 12.0  # nobody acts on less, whatever stands behind it: common practice
_AIM: Final = Note[Strip]("aim of a strip")

SENTENCES: Final = {
    "too-low": {
        Severity.FAILS: "{input} gets {level}; it needs {needed} of gain to reach {zero} and has "
        "{high}. Even with {all_up} up, {still} are missing.",
        Severity.CARE: "{input} gets {level}; it needs {needed} of gain to reach {zero} and has "
        "{high}: {how}.",
        Severity.FINE: "{input} gets {level}; {gain} of gain bring it to {reached}: {where}.",
    },
    "set-too-low": {
        Severity.CARE: "The gain of {input} stands at {now}; {planned} is its place. Faders and "
        "masters make up {makeup} of that, and bring up noise.",
    },
}


def _db(value: float) -> str:
    return format_level(abs(value), "dB")


def strip_places(reading: Reading, where: str | None) -> Iterator[At[Strip]]:
    """Every strip; it hangs on what leads to its input, and on transmitters wherever they stand."""
    stamps, solution = reading.stamps, reading.solution
    by_ceiling = tuple(planned_by_ceiling(solution).items())
    for strip in reading.strips_at(where):
        entry = int(stamps.points[solution.number(strip.entry.at)])
        reads = (stamps.gear, entry, strip, by_ceiling)
        yield At((strip.port, strip.metered.address), strip, reads)


@dataclass(frozen=True, slots=True)
class _Aimed:
    """A strip aimed as far below its meter's zero as it may be, and what all behind lends it."""

    strip: Strip
    lent_db: float


def _aimed_strips(reading: Reading, where: str | None) -> Iterator[At[_Aimed]]:
    """Every strip, also those that only the meter of their mix shows.

    It hangs on what leads to its input, on transmitters wherever they stand, and on what stands
    behind it.
    """
    stamps, solution = reading.stamps, reading.solution
    by_ceiling = tuple(planned_by_ceiling(solution).items())
    for metered in (*reading.strips_at(where), *late_strips(solution, where)):
        entry = int(stamps.points[solution.number(metered.entry.at)])
        strip = reading.noted(
            _AIM,
            (stamps.gear, entry, metered),
            partial(_aimed, reading, metered),
            at=(metered.port, metered.metered.address),
        )
        aimed = _Aimed(strip, lent_db(solution, strip))
        reads = (stamps.gear, entry, aimed, by_ceiling)
        yield At((strip.port, strip.metered.address), aimed, reads)


@by_place(_aimed_strips, is_local=True)
def check_gain_is_enough(reading: Reading, aimed: _Aimed) -> Iterator[Finding]:
    """Inputs that a meter shows: can the gain there bring the nominal level to its zero?

    Fine while the control stays within 90 % of its travel, care to its end, on the fader and on
    what stands behind that, fails beyond. What is loud enough below the zero need not reach it.
    """
    strip = aimed.strip
    reach_db = strip.high_db + strip.makeup_db + aimed.lent_db
    state = LimitState(
        reach_db - strip.needed_db,
        "dB",
        _LevelDoubts(reading, strip.entry.at),
        *_moves(reading, strip, slope=+1.0),
    )
    if state.margin + _room_before(reading, strip) < -ROUNDING:
        severity = Severity.FAILS
    elif strip.needed_db <= strip.comfortable_db + ROUNDING and _is_sure(state):
        severity = Severity.FINE
    else:
        severity = Severity.CARE
    yield _enough(reading, aimed, state, severity)


def _aimed(reading: Reading, strip: Strip) -> Strip:
    """The same strip with its aim as far below the meter's zero as it need be and may be."""
    may_db = _under_zero_db(reading, strip)
    lower_db = min(max(strip.needed_db - strip.comfortable_db, 0.0), may_db)
    return replace(strip, zero_db=strip.zero_db - lower_db) if lower_db else strip


def _under_zero_db(reading: Reading, strip: Strip) -> float:
    """How far below the meter's zero what comes here is loud enough: speech, against music."""
    source = strongest_way(reading.solution, reading.solution.number(strip.entry.at)).source
    return 0.0 if source is None else source.under_zero_db


def _moves(
    reading: Reading, strip: Strip, *, slope: float
) -> tuple[Callable[[], NDArray[np.float64] | None], bool]:
    """Draws of the level at a strip; whether a control before it is unknown."""
    row = reading.solution.number(strip.entry.at)
    return reading.moves(row, slope=slope), reading.is_open(row)


def _is_sure(state: LimitState) -> bool:
    """Unless a control that nobody knows makes it less than likely."""
    return not state.is_open or state.p_holds >= FINE_CHANCE


def _room_before(reading: Reading, strip: Strip) -> float:
    """How far what stands before the input can still be turned up. [dB]"""
    solution = reading.solution
    return sum(controls_with_room(solution, solution.number(strip.entry.at)).values())


@dataclass(frozen=True, slots=True)
class _LevelDoubts:
    """Doubts of the level at a point, when they are asked for."""

    reading: Reading
    at: str

    def __call__(self) -> Iterator[Doubt]:
        return _doubts(self.reading, self.at, slope=+1.0)


def _doubts(reading: Reading, at: str, *, slope: float) -> Iterator[Doubt]:
    solution = reading.solution
    return doubts_of_level(solution, solution.number(at), slope=slope)


def _enough(reading: Reading, aimed: _Aimed, state: LimitState, severity: Severity) -> Finding:
    strip = aimed.strip
    words = words_of_gain(reading, strip, aimed.lent_db)
    return Finding(
        code=TOO_LOW,
        severity=severity,
        where=strip.port,
        what=SENTENCES["too-low"][severity].format(**words),
        why=(
            Compared("gain needed to the meter's zero", strip.needed_db, strip.high_db, "dB"),
            Compared("level at the input", strip.nominal_dbu, strip.zero_db, strip.entry.unit),
        ),
        state=state,
        source="gain at hand, the fader behind it and what masters lend, against the gain needed",
        basis="common practice",
        ports=(strip.port,),
    )


@by_place(strip_places, is_local=True)
def check_set_too_low(reading: Reading, strip: Strip) -> Iterator[Finding]:
    """Gain controls that are set further below their place than faders and masters make up.

    One at off is shut, not low: what is silent behind it is told by the rules on ways.
    """
    if strip.gain_control is None or strip.gain_control not in reading.rig.settings:
        return
    if math.isinf(strip.now_db):
        return
    lacking_db = planned_gain_db(_aimed(reading, strip)) - strip.now_db
    if lacking_db > _made_up_later_db(strip):
        yield _set_too_low(reading, strip, strip.gain_control, lacking_db)


def _made_up_later_db(strip: Strip) -> float:
    """What the fader and the masters behind a gain give in its stead."""
    return max(strip.makeup_db + SHARED_MAKEUP_DB, SET_TOO_LOW_DB)


def _set_too_low(reading: Reading, strip: Strip, control: str, lacking_db: float) -> Finding:
    makeup_db = _made_up_later_db(strip)
    planned = setting_text(round(planned_setting(strip)), reading.rig.controls[control])
    return Finding(
        code=SET_TOO_LOW,
        severity=Severity.CARE,
        where=control,
        what=SENTENCES["set-too-low"][Severity.CARE].format(
            input=reading.rig.ports[strip.port].label,
            now=setting_words(reading.rig, control),
            planned=planned,
            makeup=_db(makeup_db),
        ),
        why=(Compared("gain to the meter", strip.now_db, planned_gain_db(strip), "dB"),),
        state=LimitState(
            makeup_db - lacking_db,
            "dB",
            lambda: _doubts(reading, strip.entry.at, slope=+1.0),
            *_moves(reading, strip, slope=+1.0),
        ),
        source="gain as set, against the gain that brings nominal to the meter's zero",
        basis="common practice",
        ports=(strip.port,),
    )
