"""Four-pole plugs and sockets of the two orders: ground where the microphone should be."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations
from typing import Final

from levelhead.gear.connectors import CONNECTORS
from levelhead.gear.plan import PinPlace
from levelhead.gear.wiring import pieces_of_copper
from levelhead.rig.model import Node, RigLink
from levelhead.verdicts.explain import Explained
from levelhead.verdicts.read.places import kept_while, plugged
from levelhead.verdicts.read.reading import Reading
from levelhead.verdicts.told.finding import Compared, Finding, Severity

__all__ = ["EXPLAINED", "POLES", "SENTENCES", "check_poles"]

POLES: Final = "wiring.poles"
SENTENCES: Final = {
    POLES: {
        Severity.FAILS: "{one} and {other} have ground and microphone the other way round: both "
        "sides return through the microphone, so that voices cancel and the rest is thin, and the "
        "microphone is dead. The adaptor that exchanges the two contacts, or gear of one order, "
        "mends it; no setting does."
    },
}


@kept_while(plugged)
def check_poles(reading: Reading) -> Iterator[Finding]:
    """Links between sockets with a microphone pole: does the ground of each meet that pole?"""
    for link in reading.rig.links:
        for one, other in combinations(link.ports, 2):
            plans = [reading.rig.ports[each].plan for each in (one, other)]
            if all(CONNECTORS[plan.socket].microphone for plan in plans):
                yield from _exchanged(reading, link, one, other)


def _exchanged(reading: Reading, link: RigLink, one: str, other: str) -> Iterator[Finding]:
    copper = _copper_of(link)
    ground, pole = _contacts(reading, one)
    ground_there, pole_there = _contacts(reading, other)
    met = {frozenset(pair) for pair in ((ground, pole_there), (pole, ground_there))}
    if not all(_is_joined(copper, *pair) for pair in met):
        return
    first, second = (reading.rig.ports[each].label for each in (one, other))
    yield Finding(
        code=POLES,
        severity=Severity.FAILS,
        where=other,
        what=SENTENCES[POLES][Severity.FAILS].format(one=first, other=second),
        why=(Compared("grounds that meet a microphone's contact", 2.0, 0.0, ""),),
        source="contacts of the plug and of the socket, followed through the copper of the lead",
        basis="common practice",
        ports=tuple(each for at in (one, other) for each in _in_one_hole(reading, at)),
    )


def _in_one_hole(reading: Reading, port: str) -> tuple[str, ...]:
    """A port and what shares its socket: the microphone pole of a headset."""
    own = reading.rig.ports[port]
    beside = own.block.plan.ports.values()
    return (
        port,
        *(
            own.sibling(each.name)
            for each in beside
            if each.hole == own.plan.hole and each.name != own.plan.name
        ),
    )


def _contacts(reading: Reading, port: str) -> tuple[PinPlace, PinPlace]:
    """Ground and microphone pole of a socket."""
    connector = CONNECTORS[reading.rig.ports[port].plan.socket]
    return (port, connector.ground), (port, connector.microphone or connector.ground)


def _is_joined(copper: dict[PinPlace, int], one: PinPlace, other: PinPlace) -> bool:
    return one in copper and copper[one] == copper.get(other)


def _copper_of(link: RigLink) -> dict[PinPlace, int]:
    """Pins of a link's sockets and plugs by the piece of copper that they are on."""
    moved = {
        (_cable(each.segment, each.end), each.pin): each for each in link.changes if not each.is_tie
    }
    joins = [(_place(one), _place(other)) for one, other in link.contacts]
    for segment in link.segments:
        for pair in segment.cable.joins:
            ends = []
            for end, pin in pair:
                place = (_cable(segment.number, end), pin)
                change = moved.get(place)
                to = pin if change is None else change.to or f"{pin}, loose"
                ends.append((place[0], to))
            joins.append((ends[0], ends[1]))
    return pieces_of_copper(joins)


def _cable(segment: int, end: str) -> str:
    return f"~{segment}.{end}"


def _place(node: Node) -> PinPlace:
    """A place on the copper, as a pin: of a socket, or of a plug of the link."""
    if node[0] == "port":
        return str(node[1]), str(node[2])
    return _cable(int(node[2]), str(node[3])), str(node[4])


EXPLAINED: Final = (
    Explained(
        POLES,
        "Four-pole plugs and sockets: does the ground of each end meet the microphone contact of "
        "the other? There are two orders of the poles.",
    ),
)
