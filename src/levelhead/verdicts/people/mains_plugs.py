"""Mains connectors on audio: a lead or a box that goes into an outlet, sooner or later."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from levelhead.gear.connectors import CONNECTORS
from levelhead.quantity.formatting import format_si
from levelhead.rig.model import RigPort
from levelhead.show.model import Link
from levelhead.verdicts.explain import PRACTICE, Explained
from levelhead.verdicts.people.words import STOP
from levelhead.verdicts.read.reading import Reading
from levelhead.verdicts.told.finding import Compared, Finding, Severity
from levelhead.verdicts.told.words import place_words, watts_words

__all__ = ["EXPLAINED", "MAINS_PLUG", "check_mains_plugs"]

MAINS_PLUG: Final = "people.mains-plug"
_SENTENCE: Final = (
    "{what} has a mains connector: sooner or later somebody puts it into an outlet. {then} Take it "
    "out of use now, whatever it is plugged into, until it has loudspeaker connectors that fit "
    "nothing else."
)
_INTO: Final = (
    "Then {volts} stand on {ohms}, {power} where {rated} are rated, and on bare contacts."
)
_BARE: Final = "Then {volts} stand on whatever hangs on it, and on bare contacts."


def check_mains_plugs(reading: Reading) -> Iterator[Finding]:
    """Leads with a mains plug, and audio sockets that are mains connectors."""
    told: set[str] = set()
    for link in reading.rig.show.links:  # one that does not fit is no better
        ports = [reading.rig.ports[each] for each in link.ends.values()]
        if _has_plug(reading, link) or any(map(_is_mains, ports)):
            told.update(link.ends.values())
            yield _finding(reading, f"The lead at {place_words(ports[0].label)}", ports)
    for address, port in reading.rig.ports.items():
        if address not in told and _is_mains(port):
            yield _finding(reading, place_words(port.label), [port])


def _has_plug(reading: Reading, link: Link) -> bool:
    cables = (reading.rig.book.cable(each.type) for each in link.via)
    ends = (socket for cable in cables for socket in cable.ends.values())
    return any(CONNECTORS[each].is_mains for each in ends)


def _is_mains(port: RigPort) -> bool:
    return CONNECTORS[port.plan.socket].is_mains


def _finding(reading: Reading, what: str, ports: Sequence[RigPort]) -> Finding:
    volts = reading.hum.ground.mains.volts
    loaded = next((each for each in ports if "long-term-rating" in each.plan.figures), None)
    then = _BARE.format(volts=format_si(volts, "V"))
    why: tuple[Compared, ...] = ()
    if loaded is not None:
        ohm = loaded.plan.figures["impedance"].value
        power_w = volts**2 / ohm
        rated_w = loaded.plan.figures["long-term-rating"].value ** 2 / ohm
        why = (Compared("power of the mains into the loudspeaker", power_w, rated_w, "W"),)
        then = _INTO.format(
            volts=format_si(volts, "V"),
            ohms=format_si(ohm, "ohm"),
            power=watts_words(power_w),
            rated=watts_words(rated_w),
        )
    addresses = tuple(each.address for each in ports)
    return Finding(
        code=MAINS_PLUG,
        severity=Severity.HARM,
        where=addresses[0],
        what=_SENTENCE.format(what=what, then=then),
        why=why,
        source="connectors of the lead and of its sockets; mains volts over the loudspeaker",
        basis=PRACTICE,
        ports=addresses,
        caution=STOP,
    )


EXPLAINED: Final = (
    Explained(
        MAINS_PLUG,
        "A mains connector on an audio lead or an audio socket: always harm, whatever it is "
        "plugged into. What the mains would put into a loudspeaker is its volts squared over the "
        "nominal impedance.",
    ),
)
