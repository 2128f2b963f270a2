"""Volts that a meter showed between two items: what they drive through a body.

A meter that loads what it measures shows what a body would get. A usual one shows what harmless
leakage charges and what a lost earth puts there, alike: then it stays open, and people stay away.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Final

from levelhead.circuit.ground.mains import FELT_A
from levelhead.gear.figures import Figure, measured, read_figure
from levelhead.show.measured import Volts
from levelhead.verdicts.explain import Explained, Threshold
from levelhead.verdicts.people.shock import LET_GO_A, WET_OHM
from levelhead.verdicts.people.words import STOP
from levelhead.verdicts.read.reading import Reading
from levelhead.verdicts.told.finding import Compared, Finding, Severity
from levelhead.verdicts.told.limit_state import Doubt, LimitState
from levelhead.verdicts.told.words import place_words

__all__ = ["EXPLAINED", "MEASURED_VOLTS", "check_measured_volts"]

MEASURED_VOLTS: Final = "people.measured-volts"
_OPEN: Final = "open"

_SENTENCES: Final = {
    Severity.HARM: "{volts} stand between {one} and {other}, by a meter under load: {current} "
    "through wet hands and lips, where {let_go} are not let go of any more. A protective earth is "
    "missing or a supply is faulty.",
    Severity.CARE: "{volts} stand between {one} and {other}, by a meter under load: {current} "
    "through wet hands and lips, where {felt} are felt. It is on the way to a fault; an "
    "electrician looks where it comes from before anybody plays.",
    Severity.FINE: "{volts} stand between {one} and {other}, by a meter under load: {current} "
    "through wet hands and lips, less than is felt.",
    _OPEN: "{volts} stand between {one} and {other}, by a meter that draws no current: that can be "
    "leakage that tingles, or a lost earth that kills ({current} through wet hands and lips at "
    "worst). Nobody touches both until an electrician has measured under load.",
}
_ASK: Final = "An electrician measures it again under load."


def check_measured_volts(reading: Reading) -> Iterator[Finding]:
    """Everything that the show tells of a meter between two items."""
    for each in reading.rig.show.measured.values():
        yield _finding(reading, each)


def _finding(reading: Reading, told: Volts) -> Finding:
    figure = read_figure(measured(told.volts), unit="V", source="measured", where=told.id)
    current_a = figure.value / WET_OHM
    is_loaded = told.meter == "low-impedance"
    limit_a = LET_GO_A if is_loaded and current_a > FELT_A else FELT_A
    state = LimitState(20 * math.log10(limit_a / current_a), "dB", lambda: _doubts(told, figure))
    severity = _severity(current_a, is_loaded=is_loaded)
    is_open = not is_loaded and severity is not Severity.FINE
    one, other = (place_words(reading.rig.items[each].label) for each in told.between)
    return Finding(
        code=MEASURED_VOLTS,
        severity=severity,
        where=told.between[0],
        what=_SENTENCES[_OPEN if is_open else severity].format(
            volts=told.volts,
            one=one,
            other=other,
            current=_milliamperes(current_a),
            let_go=_milliamperes(LET_GO_A),
            felt=_milliamperes(FELT_A),
        ),
        why=(
            Compared("current through a body of 1 kohm", 1e3 * current_a, 1e3 * LET_GO_A, "mA"),
            Compared("the same, felt", 1e3 * current_a, 1e3 * FELT_A, "mA"),
        ),
        state=state,
        assumed=() if is_loaded else ("the meter draws no current: volts by leakage show, too",),
        source="what a meter showed, over a wet body",
        basis="IEC TS 60479-1",
        ports=reading.plugs(*told.between),
        caution=None if severity is Severity.FINE else STOP,
    )


def _severity(current_a: float, *, is_loaded: bool) -> Severity:
    """What a body gets; a usual meter tells no more than that it is not nothing."""
    if current_a <= FELT_A:
        return Severity.FINE
    return Severity.HARM if is_loaded and current_a > LET_GO_A else Severity.CARE


def _doubts(told: Volts, figure: Figure) -> Iterator[Doubt]:
    yield Doubt(f"volts between {' and '.join(told.between)}", "fact", figure, -1.0, ask=_ASK)


def _milliamperes(ampere: float) -> str:
    return f"{1e3 * ampere:.2g} mA"


EXPLAINED: Final = (
    Explained(
        MEASURED_VOLTS,
        "Volts that a meter showed between two items (`measured`), over a wet body of 1 kohm. A "
        "meter of high impedance shows what leakage charges, too: what is felt at worst is care "
        "then. No edit is offered: an electrician.",
        (
            Threshold("current that is felt: care", 0.5, "mA", "IEC TS 60479-1"),
            Threshold(
                "current that a hand cannot let go of, under load: harm",
                10.0,
                "mA",
                "IEC TS 60479-1",
            ),
        ),
        "IEC TS 60479-1",
    ),
)
