"""Harm by level: what an output can deliver, against what an input survives."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace
from typing import Final

from levelhead.chain.solution import Solution
from levelhead.gear.figures import Figure
from levelhead.quantity.bands import ONE_KHZ_BAND
from levelhead.quantity.formatting import format_si
from levelhead.rig.model import RigPort
from levelhead.verdicts.amplifiers.driven import TOUCHABLE_V, driven
from levelhead.verdicts.read.delivered import Delivered
from levelhead.verdicts.read.places import At, by_place
from levelhead.verdicts.read.reading import Reading
from levelhead.verdicts.told.finding import Compared, Finding, Severity
from levelhead.verdicts.told.limit_state import Doubt, LimitState
from levelhead.verdicts.told.words import place_words

__all__ = ["AMPLE_DB", "SENTENCES", "check_level_harm"]

AMPLE_DB: Final = 6.0  # twice the voltage: the spread of damage figures is less, common practice
PROGRAMME_OF_SINE: Final = 10 ** (-9 / 20)  # rms of programme with a crest of 12 dB, full
_LARGEST_DRIVER_OHM: Final = 600.0  # headphones have less, line inputs more: common practice
SENTENCES: Final = {
    Severity.HARM: "{output} can deliver {volts} into {input}, which survives {limit}: it will be "
    "damaged.",
    Severity.CARE: "{output} can deliver {volts}, close to the {limit} that {input} survives.",
    Severity.FINE: "{output} can deliver {volts} at most; {input} survives {limit}.",
}
OVERLOADS: Final = (
    "{output} has {volts} for {input}, which survives {limit}. It has not the current for "
    "them: that ends at {given}, and one of the two will be damaged."
)
_CAUTION: Final = (
    "Loudspeaker outputs of amplifiers carry voltages that can shock and start fires. Switch the "
    "amplifier off before any plug on that side is touched, and keep to local rules."
)


def _places(reading: Reading, where: str | None) -> Iterator[At[tuple[str, Delivered]]]:
    """Ports that stand so much and no more, with the most that can arrive there."""
    for address, delivered in reading.arriving.items():
        if where in (None, address) and "damage" in reading.rig.ports[address].plan.figures:
            yield At(address, (address, delivered), (reading.stamps.gear, delivered))


@by_place(_places, is_local=True)
def check_level_harm(reading: Reading, at: tuple[str, Delivered]) -> Iterator[Finding]:
    """Inputs with a damage figure: can anything that is plugged to them exceed it?

    Judged at the ceiling of each output, controls up; several outputs add in the worst phase.
    """
    address, delivered = at
    port = reading.rig.ports[address]
    is_made = _is_made_for(reading.rig.ports[delivered.strongest], port)
    heating_v = delivered.total_v * (PROGRAMME_OF_SINE if is_made else 1.0)
    damage = port.plan.figures["damage"]
    yield _judge(reading, port, damage, replace(delivered, total_v=heating_v))


def _is_made_for(giving: RigPort, port: RigPort) -> bool:
    """A headphone output on headphones: they are heated by programme, not by a full sine."""
    load_ohm = port.plan.figure("impedance")
    is_driver = load_ohm is not None and load_ohm < _LARGEST_DRIVER_OHM
    is_headphones = giving.plan.role == "out" and giving.plan.figure("min-load") is not None
    return is_driver and is_headphones


def _judge(reading: Reading, port: RigPort, damage: Figure, arriving: Delivered) -> Finding:
    state = LimitState(
        20 * math.log10(damage.value / arriving.total_v),
        "dB",
        lambda: _doubts(reading.solution, port, damage, arriving),
    )
    severity = state.severity(ample=AMPLE_DB)
    if severity is Severity.FAILS:
        severity = Severity.HARM
    is_hazardous = arriving.total_v > TOUCHABLE_V and severity is Severity.HARM
    return Finding(
        code="harm.level",
        severity=severity,
        where=port.address,
        what=_sentence(reading, port, damage, arriving, severity),
        why=(
            Compared("volts that can arrive", arriving.total_v, damage.value, "V"),
            *_power(port, damage, arriving),
        ),
        state=state,
        assumed=_assumed(port, damage),
        source="ceiling of the output through the network, against the input's damage level",
        basis=damage.source,
        ports=(port.address, arriving.strongest),
        caution=_CAUTION if is_hazardous else None,
    )


def _sentence(
    reading: Reading, port: RigPort, damage: Figure, arriving: Delivered, severity: Severity
) -> str:
    given_v = _given_v(reading, port) if severity is Severity.HARM else math.inf
    sentence = OVERLOADS if given_v < damage.value else SENTENCES[severity]
    return sentence.format(
        output=reading.rig.ports[arriving.strongest].label,
        input=port.label,
        volts=format_si(arriving.total_v, "V"),
        limit=format_si(damage.value, "V"),
        given=format_si(min(given_v, 1e6), "V"),
    )


def _given_v(reading: Reading, port: RigPort) -> float:
    """Volts at which the current of the amplifier behind a loudspeaker ends; ``inf`` without."""
    if not port.plan.is_load:
        return math.inf
    ends = (each for each in driven(reading) if each.load.address == port.address)
    volts = (float(each.current_ends_at_load_v[ONE_KHZ_BAND]) for each in ends)
    return min(volts, default=math.inf)


def _power(port: RigPort, damage: Figure, arriving: Delivered) -> Iterator[Compared]:
    """What these volts ask of a loudspeaker or headphones, at their nominal impedance."""
    load_ohm = port.plan.figure("impedance")
    if load_ohm is not None and load_ohm < _LARGEST_DRIVER_OHM and port.plan.role != "out":
        asked_w, stands_w = arriving.total_v**2 / load_ohm, damage.value**2 / load_ohm
        yield Compared("power that they ask", asked_w, stands_w, "W")


def _doubts(
    solution: Solution, port: RigPort, damage: Figure, arriving: Delivered
) -> Iterator[Doubt]:
    yield Doubt(f"damage level of {place_words(port.label)}", "fact", damage, +1.0)
    if arriving.ceiling is not None:
        output = solution.rig.ports[arriving.strongest].label
        yield Doubt(f"ceiling of {place_words(output)}", "fact", arriving.ceiling, -1.0)


def _assumed(port: RigPort, damage: Figure) -> tuple[str, ...]:
    if damage.source in {"measured", "standard"}:
        return ()
    return (f"damage level of {port.label}: {format_si(damage.value, 'V')} ({damage.source})",)
