"""The curve of records: a groove that nothing plays back, or a line that is played by it again.

IEC 60098 (and RIAA): cut with bass down and treble up, played by 3180, 318 and 75 us the other way
about. Which stage cuts and which plays the gear book says (``curve``); the decibels are those of
the solved stage.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Final

import numpy as np
from numpy.typing import NDArray

from levelhead.quantity.bands import ONE_KHZ_BAND, nearest_band
from levelhead.quantity.formatting import format_level
from levelhead.verdicts.explain import Explained, Threshold
from levelhead.verdicts.loading.levels import TONE_CARE_DB, TONE_FAILS_DB
from levelhead.verdicts.read.places import carrying_ways, kept_while
from levelhead.verdicts.read.reading import Reading
from levelhead.verdicts.told.finding import Compared, Finding, Severity
from levelhead.verdicts.told.limit_state import ROUNDING, LimitState
from levelhead.verdicts.told.words import other_ends

__all__ = ["CURVE", "EXPLAINED", "SENTENCES", "check_record_curves"]

CURVE: Final = "wiring.record-curve"
_BASS, _TREBLE = (int(nearest_band(hz)) for hz in (50.0, 10_000.0))
_TURNS: Final[Mapping[str | None, int]] = {"cut": 1, "played": -1}

SENTENCES: Final = {
    "cut": "{output} goes into {input} as it is cut in the groove, and nothing behind plays its "
    "curve back: {bass} at 50 Hz and {treble} at 10 kHz, thin and sharp. It wants a phono "
    "preamplifier or a phono input.",
    "played": "{output} is played back already, and {input} does it once more: {bass} at 50 Hz and "
    "{treble} at 10 kHz, boomy and dull. It wants a line input.",
}


@kept_while(carrying_ways)
def check_record_curves(reading: Reading) -> Iterator[Finding]:
    """Every way of a signal: is what a groove was cut by played back, once?"""
    marked = {
        each.number: str(each.stage.curve)
        for each in reading.reach.stages(lambda stage: stage.curve is not None)
        if _bends_db(reading, each.number).any()
    }
    if not marked:
        return
    told: set[str] = set()
    for way in reading.solution.paths:
        found = _left(reading, way, marked)
        if found is not None and found[0] not in told:
            told.add(found[0])
            yield from _judge(reading, *found)


def _left(
    reading: Reading, way: tuple[str, ...], marked: Mapping[int, str]
) -> tuple[str, str, int] | None:
    """The plugged input by which a way goes wrong, how, at which stage; ``None`` if it is flat."""
    turns = 0
    last_in = wrong_in = ""
    last: dict[str, int] = {}  # stages that cut and that play, the last of each
    for address in way:
        point = reading.solution.number(address)
        port = reading.rig.ports.get(address)
        if port is not None and port.plan.role == "in" and port.link is not None:
            last_in = address
            if turns > 0 and not wrong_in:
                wrong_in = address
        if point in marked:
            turns += _TURNS[marked[point]]
            last[marked[point]] = point
            wrong_in = last_in if turns < 0 else ""
    how = "cut" if turns > 0 else "played"
    return (wrong_in, how, last[how]) if turns and wrong_in else None


def _judge(reading: Reading, where: str, how: str, number: int) -> Iterator[Finding]:
    """What the stage bends, which nothing makes straight: by its own filters, against 1 kHz."""
    bass_db, treble_db = (float(each) for each in _bends_db(reading, number))
    bent_db = max(abs(bass_db), abs(treble_db))
    severity = Severity.FAILS if bent_db > TONE_FAILS_DB + ROUNDING else Severity.CARE
    limit_db = TONE_FAILS_DB if severity is Severity.FAILS else TONE_CARE_DB
    ports = reading.rig.ports
    far = [each for each in other_ends(reading.rig, where) if ports[each].plan.gives]
    words = {
        "input": ports[where].label,
        "output": ports[far[0]].label if far else "What comes",
        "bass": _bent(bass_db),
        "treble": _bent(treble_db),
    }
    yield Finding(
        code=CURVE,
        severity=severity,
        where=where,
        what=SENTENCES[how].format(**words),
        why=(
            Compared("bent at 50 Hz", bass_db, limit_db, "dB"),
            Compared("bent at 10 kHz", treble_db, limit_db, "dB"),
        ),
        state=LimitState(limit_db - bent_db, "dB"),
        source="stages that cut or play the curve of records, added along the way of the signal",
        basis="IEC 60098",
        ports=(where, *other_ends(reading.rig, where)),
    )


def _bends_db(reading: Reading, number: int) -> NDArray[np.float64]:
    """How far bass and treble are from 1 kHz behind a stage, by its own filters; (2,). [dB]"""
    shape = reading.solution.graph.shapes.get(number)
    if shape is None or shape.response is None:
        return np.zeros(2)
    gain_db = 20 * np.log10(np.maximum(np.abs(shape.response), 1e-12))
    bent: NDArray[np.float64] = gain_db[[_BASS, _TREBLE]] - gain_db[ONE_KHZ_BAND]
    return bent


def _bent(db: float) -> str:
    return f"{format_level(abs(db), 'dB')} too {'much' if db > 0 else 'little'}"


EXPLAINED: Final = (
    Explained(
        CURVE,
        "Stages on the way of a signal that are cut by the curve of records, against those that "
        "play it back (`curve` in the gear book): one too few is thin and sharp, one too many "
        "boomy and dull, by what the stage itself bends at 50 Hz and 10 kHz.",
        (
            Threshold("bent from which it is care", TONE_CARE_DB, "dB", "IEC 60268-4"),
            Threshold("bent from which it fails", TONE_FAILS_DB, "dB", "ISO 532 (10 phon)"),
        ),
        "IEC 60098: 3180, 318 and 75 us",
    ),
)
