"""The sentences of hum findings, and the warning that goes with each."""

from __future__ import annotations

from typing import Final

from levelhead.chain.noise.hum import ChainHum
from levelhead.circuit.ground.mains import Cause
from levelhead.circuit.hum.sums import HumSum
from levelhead.verdicts.told.severity import Severity
from levelhead.verdicts.told.words import place_words

__all__ = [
    "BESIDE",
    "CAUTION",
    "HEARD",
    "IN_SIGNAL",
    "LOOPS",
    "NEAR",
    "SENTENCES",
    "SUM",
    "WITH_SWITCH",
    "cause_words",
    "range_words",
    "spl_words",
]

HEARD: Final = "hum.heard"
IN_SIGNAL: Final = "hum.in-signal"
SUM: Final = "hum.sum"
BESIDE: Final = "hum.beside"
NEAR: Final = "hum.near"

CAUTION: Final = (
    "Never lift, cut or tape over a mains earth to be rid of hum: it is deadly. With the earth "
    "gone, one fault puts the mains on metal that people hold. Every item keeps its protective "
    "earth; leave work on the mains to an electrician and keep to local rules."
)

SENTENCES: Final = {
    HEARD: {
        Severity.FAILS: "{input} hums: {cause} brings {hum} at 1 m of {loudspeaker} ({range}), "
        "{over}.",
        Severity.CARE: "{input} may hum: {cause} brings {hum} at 1 m of {loudspeaker} ({range}), "
        "{over}; what is over {limit} is heard in the pauses.",
        Severity.FINE: "Hum of {input} is not heard: {hum} at 1 m of {loudspeaker}, where "
        "{limit} would be; {most} at worst.",
    },
    IN_SIGNAL: {
        Severity.FAILS: "{input} hums: {cause} stands only {over} under the signal ({range}).",
        Severity.CARE: "{input} may hum: {cause} stands {over} under the signal ({range}).",
        Severity.FINE: "Hum of {input} stands {over} under the signal ({range}).",
    },
    SUM: {
        Severity.FAILS: "{loudspeaker} hums: many inputs together bring {hum} at 1 m ({range}), "
        "{over}.",
        Severity.CARE: "{loudspeaker} may hum: many inputs together bring {hum} at 1 m ({range}), "
        "{over}; what is over {limit} is heard in the pauses.",
    },
}

WITH_SWITCH: Final = "It works with {control} {position}."

LOOPS: Final = frozenset({Cause.STRIP, Cause.OUTLETS, Cause.CIRCUITS})


def spl_words(level_db: float) -> str:
    """A level that may be far below anything heard.

    >>> spl_words(47.2), spl_words(-20.0)
    ('47 dB(A)', 'less than 1 dB(A)')
    """
    return f"{level_db:.0f} dB(A)" if level_db >= 1 else "less than 1 dB(A)"


def range_words(low_db: float, high_db: float) -> str:
    """The range of a level, told from 0 dB up.

    >>> range_words(31.2, 56.0), range_words(-3.0, 12.0)
    ('31 to 56', '0 to 12')
    """
    return f"{max(low_db, 0.0):.0f} to {max(high_db, 0.0):.0f}"


def cause_words(hum: ChainHum, address: str, power: HumSum) -> str:
    """What makes most of it: a loop of two items, somebody's supply, or a field."""
    cause, who = power.strongest()
    items = hum.ground.rig.items
    if cause is Cause.FIELD:
        return "what fields bring into the cables"
    if cause not in LOOPS:
        return f"the {cause.value} of {place_words(items[who].label)}"
    partner = hum.inputs[address].partner
    if partner is None:
        return f"the voltage between {cause.value}"
    own = hum.ground.rig.items[address.partition(".")[0]]
    loop = f"{place_words(items[partner].label)} and {place_words(own.label)}"
    return f"the voltage between {cause.value} in the loop of {loop}"
