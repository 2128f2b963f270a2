"""How plugs meet sockets along a link."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from levelhead.gear.connectors import CONNECTORS, half_in, mates
from levelhead.gear.plan import CablePlan
from levelhead.rig.model import Misfit, Node, Segment
from levelhead.show.model import Link

__all__ = ["Joined", "join_link"]

_XLR_PAIR: Final = {"xlr-f", "xlr-m"}


@dataclass(frozen=True, slots=True)
class Joined:
    """Contacts of a link that goes together, or the first plug that does not."""

    contacts: tuple[tuple[Node, Node], ...]
    misfit: Misfit | None


Contacts = list[tuple[Node, Node]]


@dataclass(frozen=True, slots=True)
class _End:
    """One end of a cable, or a port: its connector, whether it takes plugs, and its node.

    A plug goes ``half`` into a socket that it is only pushed into to its first click. The plug of
    an item's own lead goes into sockets; a cable to it stands for that lead.
    """

    connector: str
    is_socket: bool
    node: Node
    is_half: bool = False
    is_own_lead: bool = False

    def meets(self, other: _End) -> Contacts | None:
        """Contacts of the two ends put together; ``None`` when one does not go into the other."""
        for socket, plug in ((self, other), (other, self)):
            if socket.is_socket and (plug.is_own_lead or not plug.is_socket):
                pins = _touching(socket, plug)
                if pins is None:
                    return None
                pairs = [((*socket.node, a), (*plug.node, b)) for a, b in pins]
                return pairs if socket is self else [(b, a) for a, b in pairs]
        return self._meets_as_pair(other)

    def _meets_as_pair(self, other: _End) -> Contacts | None:
        """Cable ends of XLR are plug and socket by their sex, without being told so."""
        if {self.connector, other.connector} != _XLR_PAIR:
            return None
        pins = CONNECTORS[self.connector].pins
        return [((*self.node, pin), (*other.node, pin)) for pin in pins]


def _touching(socket: _End, plug: _End) -> tuple[tuple[str, str], ...] | None:
    """Pins of a socket and of the plug in it that touch; ``None`` when it won't go in."""
    if socket.is_half:
        return half_in(socket.connector, plug.connector)
    pins = mates(socket.connector, plug.connector)
    return None if pins is None else tuple(pins.items())


def join_link(
    number: int,
    link: Link,
    segments: Sequence[Segment],
    sockets: Mapping[str, str],
    half: str | None = None,
    own_leads: Collection[str] = (),
) -> Joined:
    """Contacts along a link.

    Parameters
    ----------
    sockets
        Connector of each end's port, by the name of the end.
    half
        Address of the socket in which its jack stands at the first click.
    own_leads
        Ends that are the plug of an item's own lead.
    """
    ends = {
        end: _End(
            sockets[end],
            is_socket=True,
            node=("port", address),
            is_half=address == half,
            is_own_lead=end in own_leads,
        )
        for end, address in link.ends.items()
    }
    if set(ends) == {"a", "b"}:
        return _join_run(number, link, segments, ends)
    return _join_fan(number, link, segments[0], ends)


def _cable_end(number: int, segment: Segment, end: str) -> _End:
    node: Node = ("cable", number, segment.number, end)
    return _End(segment.cable.ends[end], end in segment.cable.sockets, node)


def _misfit(number: int, link: Link, plug: str, socket: str, at: str) -> Joined:
    return Joined((), Misfit(number, link, plug, socket, at))


def _join_fan(number: int, link: Link, segment: Segment, ends: Mapping[str, _End]) -> Joined:
    """A lead of three or more ends, which carry the names that the link uses."""
    contacts: Contacts = []
    for end, port in ends.items():
        plug = _cable_end(number, segment, end)
        met = port.meets(plug)
        if met is None:
            return _misfit(number, link, plug.connector, port.connector, link.ends[end])
        contacts += met
    return Joined(tuple(contacts), None)


def _join_run(
    number: int, link: Link, segments: Sequence[Segment], ends: Mapping[str, _End]
) -> Joined:
    """Cables in a row between two ports, each turned round where that makes it fit."""
    contacts: Contacts = []
    at, place = ends["a"], link.ends["a"]
    for segment, onward in zip(segments, [*segments[1:], None], strict=True):
        goals = [ends["b"]] if onward is None else _ends_of(number, onward)
        turned = _turned(number, segment, at, goals)
        if turned is None:
            plug = next(iter(segment.cable.ends.values()))
            return _misfit(number, link, plug, at.connector, place)
        met, at = turned
        contacts += met
        place = segment.cable.label
    last = at.meets(ends["b"])
    if last is None:
        return _misfit(number, link, at.connector, ends["b"].connector, link.ends["b"])
    return Joined((*contacts, *last), None)


def _ends_of(number: int, segment: Segment) -> list[_End]:
    return [_cable_end(number, segment, end) for end in segment.cable.ends]


def _turned(
    number: int, segment: Segment, at: _End, goals: Sequence[_End]
) -> tuple[Contacts, _End] | None:
    """A cable put on where we are: contacts and its far end, which meets a goal if it can."""
    found: list[tuple[Contacts, _End]] = []
    for near, far in _orientations(segment.cable):
        met = at.meets(_cable_end(number, segment, near))
        if met is not None:
            found.append((met, _cable_end(number, segment, far)))
    for met, far_end in found:
        if any(far_end.meets(goal) is not None for goal in goals):
            return met, far_end
    return found[0] if found else None


def _orientations(cable: CablePlan) -> tuple[tuple[str, str], tuple[str, str]]:
    near, far = list(cable.ends)[:2]
    return (near, far), (far, near)
