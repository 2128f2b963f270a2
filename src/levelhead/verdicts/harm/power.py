"""Power outputs on inputs, line outputs on loudspeakers: not broken, and not right either."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Final

from levelhead.quantity.decibels import DBU_REFERENCE_V
from levelhead.quantity.formatting import format_si
from levelhead.rig.model import RigPort
from levelhead.verdicts.explain import PRACTICE, Explained, Threshold
from levelhead.verdicts.read.delivered import Delivered
from levelhead.verdicts.read.reading import Reading
from levelhead.verdicts.read.strips import clip_level_dbu
from levelhead.verdicts.told.finding import Compared, Finding, Severity
from levelhead.verdicts.told.limit_state import Doubt, LimitState
from levelhead.verdicts.told.words import place_words

__all__ = [
    "EXPLAINED",
    "LEAST_OF_RATED_DB",
    "SENTENCES",
    "check_loudspeakers_have_an_amplifier",
    "check_power",
]

POWER, NO_AMPLIFIER = "harm.power-output", "harm.no-amplifier"
LEAST_OF_RATED_DB: Final = -20.0  # a hundredth of the power that it takes, common practice
SENTENCES: Final = {
    "over": "{output} drives loudspeakers; it can deliver {volts} into {input}, which clips at "
    "{clip}. Nothing breaks, and it works while it is played below that.",
    "under": "{output} is no amplifier: it brings {volts} to {input} at most, which takes {limit}; "
    "and it pulls down everything else on that line. Nothing breaks, hardly anything is heard.",
}


def check_power(reading: Reading) -> Iterator[Finding]:
    """Outputs made for loudspeakers on inputs that are not: do they pass the input's clip level?

    A line output that can clip an input is ordinary. A power output that does is one turn of a
    knob from it, and its level is set for a loudspeaker.
    """
    for address, most in reading.arriving.items():
        port, giving = reading.rig.ports[address], reading.rig.ports[most.strongest]
        is_load = port.plan.is_load
        if giving.plan.role == "loudspeaker" and port.plan.role == "in" and not is_load:
            clip_dbu = clip_level_dbu(reading.solution, address)
            clip_v = DBU_REFERENCE_V * 10 ** (clip_dbu / 20)
            damage_v = port.plan.figure("damage") or math.inf
            if clip_v < most.total_v <= damage_v:  # beyond it is worse, and told as that
                yield _over(port, giving, most, clip_v)


def _over(port: RigPort, giving: RigPort, most: Delivered, clip_v: float) -> Finding:
    return Finding(
        code=POWER,
        severity=Severity.CARE,
        where=port.address,
        what=SENTENCES["over"].format(
            output=giving.label,
            input=port.label,
            volts=format_si(most.total_v, "V"),
            clip=format_si(clip_v, "V"),
        ),
        why=(Compared("volts that can arrive", most.total_v, clip_v, "V"),),
        state=LimitState(
            20 * math.log10(clip_v / most.total_v),
            "dB",
            lambda: (
                []
                if most.ceiling is None
                else [Doubt(f"ceiling of {place_words(giving.label)}", "fact", most.ceiling, -1.0)]
            ),
        ),
        source="ceiling of the output through the network, against the input at its lowest gain",
        basis="common practice",
        ports=(port.address, giving.address),
    )


def check_loudspeakers_have_an_amplifier(reading: Reading) -> Iterator[Finding]:
    """Loudspeakers on outputs that are not made for them: how much can come?"""
    for address, most in reading.arriving.items():
        port, giving = reading.rig.ports[address], reading.rig.ports[most.strongest]
        figures = port.plan.figures
        rated = figures.get("long-term-rating") or figures.get("damage")
        is_load = port.plan.is_load and giving.plan.role == "out"
        if is_load and rated is not None and _share_db(most, rated.value) < LEAST_OF_RATED_DB:
            yield _under(port, giving, most, rated.value)


def _share_db(most: Delivered, rated_v: float) -> float:
    return 20 * math.log10(most.total_v / rated_v)


def _under(port: RigPort, giving: RigPort, most: Delivered, rated_v: float) -> Finding:
    words = {
        "output": giving.label,
        "input": port.label,
        "volts": format_si(most.total_v, "V"),
        "limit": format_si(rated_v, "V"),
    }
    return Finding(
        code=NO_AMPLIFIER,
        severity=Severity.FAILS,
        where=port.address,
        what=SENTENCES["under"].format(**words),
        why=(
            Compared(
                "most that arrives, against what the loudspeaker takes",
                _share_db(most, rated_v),
                LEAST_OF_RATED_DB,
                "dB",
            ),
        ),
        state=LimitState(_share_db(most, rated_v) - LEAST_OF_RATED_DB, "dB"),
        source="ceiling of the output through the network, against the loudspeaker's volts",
        basis="common practice",
        ports=(port.address, giving.address),
    )


EXPLAINED: Final = (
    Explained(
        POWER,
        "Volts that a loudspeaker output can bring to an input, against the ceiling of the input's "
        "first stage at its lowest gain.",
        (Threshold("spare below which it is care", 0.0, "dB", PRACTICE),),
    ),
    Explained(
        NO_AMPLIFIER,
        "Volts that an output which is no amplifier can bring to a loudspeaker, against those that "
        "the loudspeaker takes.",
        (Threshold("of what it takes: hardly heard", LEAST_OF_RATED_DB, "dB", PRACTICE),),
    ),
)
