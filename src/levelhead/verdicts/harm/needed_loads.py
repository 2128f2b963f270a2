"""Outputs that must not play without their load: valve amplifiers and their loudspeakers."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import Final

from levelhead.circuit.drawn.islands import Island
from levelhead.circuit.limits.currents import Driver, columns_of
from levelhead.circuit.solving.solved import Solved
from levelhead.gear.figures import Figure
from levelhead.quantity.bands import ONE_KHZ_BAND
from levelhead.quantity.formatting import format_si
from levelhead.rig.model import Rig, RigPort
from levelhead.verdicts.explain import Explained, Threshold
from levelhead.verdicts.read.reading import Reading
from levelhead.verdicts.told.finding import Compared, Finding, Severity
from levelhead.verdicts.told.limit_state import Doubt, LimitState
from levelhead.verdicts.told.words import place_words

__all__ = ["EXPLAINED", "NO_LOAD", "SENTENCES", "check_loads"]

NO_LOAD: Final = "harm.no-load"
BARE: Final = "bare"
SENTENCES: Final = {
    Severity.HARM: "{output} sees {load}; it needs its loudspeaker, {limit} at most. Without it "
    "the transformer makes voltages that destroy it.",
    Severity.CARE: "{output} sees {load}, close to the {limit} that its transformer stands at "
    "most. It works if this one stands as much; a loudspeaker of fewer ohms is safe.",
    Severity.FINE: "{output} has its load, {load}.",
    BARE: "Nothing is plugged into {output}. It must have its loudspeaker, {limit} at most, "
    "whenever {item} is on: without it the transformer makes voltages that destroy it.",
}
_CAUTION: Final = (
    "Switch the amplifier off before any plug on that side is touched. A mains earth is never "
    "lifted to get rid of this: it protects lives."
)
_NOTHING_A: Final = 1e-9


def check_loads(reading: Reading) -> Iterator[Finding]:
    """Outputs that must not play without their load: what do they see at 1 kHz?

    Volts at the output over its current, in the network.
    """
    yield from _bare(reading)
    copper = reading.solution.copper
    for island, solved in zip(copper.islands, copper.solved, strict=True):
        for driver in columns_of(island):
            port = reading.rig.ports[driver.port]
            most = port.plan.figures.get("max-load")
            is_plugged = bool(_plugged(reading.rig, port))
            if most is not None and driver.port in island.senses and is_plugged:
                yield _judge_load(reading.rig, port, _load_ohm(island, solved, driver), most)


def _bare(reading: Reading) -> Iterator[Finding]:
    """Such stages of items that are in use, with nothing in any socket around them.

    An output with a socket of its own is another thing: a loudspeaker that is built in hangs there
    until a plug goes in.
    """
    if reading.is_excerpt:
        return
    ports = reading.rig.ports.values()
    used = {each.item.id for each in ports if each.link is not None}
    for port in ports:
        most = port.plan.figures.get("max-load")
        if most is None or port.plan.role != "inside":
            continue
        sockets = [reading.rig.ports[each] for each in _sockets(reading.rig, port)]
        if port.item.id in used and all(each.link is None for each in sockets):
            yield _bare_finding(port, sockets, most)


def _bare_finding(port: RigPort, sockets: Sequence[RigPort], most: Figure) -> Finding:
    words = {
        "output": port.label
        if len(sockets) == 1
        else f"any loudspeaker socket of {port.item.label}",
        "limit": format_si(most.value, "ohm"),
        "item": port.item.label,
    }
    return Finding(
        code=NO_LOAD,
        severity=Severity.HARM,
        where=port.address,
        what=SENTENCES[BARE].format(**words),
        why=(Compared("plugs in its loudspeaker sockets", 0.0, 1.0, ""),),
        source="what is plugged, against an output that has a largest load",
        basis=most.source,
        ports=tuple(each.address for each in sockets),
        caution=_CAUTION,
    )


def _load_ohm(island: Island, solved: Solved, driver: Driver) -> float:
    """Modulus of what hangs on an output at 1 kHz. [ohm]"""
    column = columns_of(island)[driver][0]
    row = island.sense_addresses.index(driver.port)
    ampere = abs(solved.source_current[column, column, ONE_KHZ_BAND])
    return float(abs(solved.transfer[row, column, ONE_KHZ_BAND]) / max(ampere, _NOTHING_A))


def _sockets(rig: Rig, port: RigPort) -> tuple[str, ...]:
    """Sockets that a load may be plugged into: of a stage inside, the outputs around it."""
    if port.plan.role != "inside":
        return (port.address,)
    return tuple(
        other.address
        for other in rig.ports.values()
        if other.item.id == port.item.id and other.plan.role == "loudspeaker"
    )


def _plugged(rig: Rig, port: RigPort) -> tuple[str, ...]:
    """Those of them that have a plug."""
    return tuple(each for each in _sockets(rig, port) if rig.ports[each].link is not None)


def _judge_load(rig: Rig, port: RigPort, load_ohm: float, most: Figure) -> Finding:
    state = LimitState(
        20 * math.log10(most.value / load_ohm),
        "dB",
        lambda: [Doubt(f"largest load of {place_words(port.label)}", "fact", most, +1.0)],
    )
    severity = state.severity(ample=math.inf)
    if state.margin < 0:
        severity = Severity.HARM
    words = {
        "output": port.label,
        "load": format_si(load_ohm, "ohm"),
        "limit": format_si(most.value, "ohm"),
    }
    return Finding(
        code=NO_LOAD,
        severity=severity,
        where=port.address,
        what=SENTENCES[severity].format(**words),
        why=(Compared("load at 1 kHz", load_ohm, most.value, "ohm"),),
        state=state,
        source="volts over current of the output in the network, against its largest load",
        basis=most.source,
        ports=_plugged(rig, port),
        caution=None if severity is Severity.FINE else _CAUTION,
    )


EXPLAINED: Final = (
    Explained(
        NO_LOAD,
        "Volts over current of an output at 1 kHz, against the largest load that it may be left "
        "with: valve amplifiers need their loudspeaker. Care where that figure may be passed.",
        (Threshold("load over the largest", 0.0, "dB", "figure `max-load` of the output"),),
    ),
)
