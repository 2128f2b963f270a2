"""How plugs meet sockets along a link, and which cable is the usual one between two sockets."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from levelhead.gear.book import GearBook
from levelhead.gear.connectors import CONNECTORS, mates
from levelhead.gear.plan import CablePlan
from levelhead.rig.model import Misfit, Node, Segment
from levelhead.show.model import Link

__all__ = ["Joined", "join_link", "usual_cable"]


@dataclass(frozen=True, slots=True)
class Joined:
    """Contacts of a link that goes together, or the first plug that does not."""

    contacts: tuple[tuple[Node, Node], ...]
    misfit: Misfit | None


def _touch(socket: str, plug: str, at: Node, cable: Node) -> list[tuple[Node, Node]] | None:
    """Contacts between a socket whose node starts with ``at`` and a plug of a cable."""
    pins = mates(socket, plug)
    if pins is None:
        return None
    return [((*at, own), (*cable, other)) for own, other in pins.items()]


def _couple(one: str, other: str, at: Node, further: Node) -> list[tuple[Node, Node]] | None:
    """Contacts between two cable ends: one of them must be a socket to the other."""
    pins = mates(one, other)
    if pins is not None:
        return [((*at, own), (*further, met)) for own, met in pins.items()]
    pins = mates(other, one)
    if pins is None:
        return None
    return [((*at, met), (*further, own)) for own, met in pins.items()]


def join_link(
    number: int, link: Link, segments: Sequence[Segment], sockets: Mapping[str, str]
) -> Joined:
    """Contacts along a link.

    Parameters
    ----------
    sockets
        Connector of each end's port, by the name of the end.
    """
    if set(link.ends) == {"a", "b"}:
        return _join_run(number, link, segments, sockets)
    return _join_fan(number, link, segments, sockets)


def _misfit(number: int, link: Link, plug: str, socket: str, at: str) -> Joined:
    return Joined((), Misfit(number, link, plug, socket, at))


def _join_fan(
    number: int, link: Link, segments: Sequence[Segment], sockets: Mapping[str, str]
) -> Joined:
    """A lead of three or more ends: its ends carry the names that the link uses."""
    cable = segments[0].cable
    contacts: list[tuple[Node, Node]] = []
    for end, address in link.ends.items():
        plug = cable.ends.get(end)
        if plug is None:
            return _misfit(number, link, f"no end '{end}' on {cable.label}", sockets[end], address)
        touched = _touch(
            sockets[end], plug, ("port", address), ("cable", number, segments[0].number, end)
        )
        if touched is None:
            return _misfit(number, link, plug, sockets[end], address)
        contacts += touched
    return Joined(tuple(contacts), None)


def _orientations(cable: CablePlan) -> tuple[tuple[str, str], tuple[str, str]]:
    near, far = list(cable.ends)[:2]
    return (near, far), (far, near)


def _join_run(
    number: int, link: Link, segments: Sequence[Segment], sockets: Mapping[str, str]
) -> Joined:
    """Cables in a row between two ports, each turned round where that makes it fit."""
    contacts: list[tuple[Node, Node]] = []
    at: Node = ("port", link.ends["a"])
    connector, behind_port, place = sockets["a"], True, link.ends["a"]
    for position, segment in enumerate(segments):
        is_last = position == len(segments) - 1
        best = None
        for near, far in _orientations(segment.cable):
            here: Node = ("cable", number, segment.number, near)
            plug = segment.cable.ends[near]
            touched = (
                _touch(connector, plug, at, here)
                if behind_port
                else _couple(connector, plug, at, here)
            )
            if touched is None:
                continue
            ends_well = not is_last or mates(sockets["b"], segment.cable.ends[far]) is not None
            if best is None or ends_well:
                best = (touched, near, far)
            if ends_well:
                break
        if best is None:
            return _misfit(number, link, next(iter(segment.cable.ends.values())), connector, place)
        touched, _, far = best
        contacts += touched
        at, connector, behind_port = (
            ("cable", number, segment.number, far),
            segment.cable.ends[far],
            False,
        )
        place = segment.cable.label
    last = _touch(sockets["b"], connector, ("port", link.ends["b"]), at)
    if last is None:
        return _misfit(number, link, connector, sockets["b"], link.ends["b"])
    return Joined((*contacts, *last), None)


def usual_cable(book: GearBook, from_socket: str, to_socket: str) -> CablePlan | None:
    """The two-ended cable whose plugs are the most natural ones for both sockets.

    A socket names the plugs that fit it, its own kind first. Of cables that suit alike, the book
    lists the usual one first: straight cables before leads that change connectors.
    """
    best: tuple[int, CablePlan] | None = None
    for type_id in book.ids:
        if book.entry(type_id).ends is None:
            continue
        cable = book.cable(type_id)
        strangeness = _strangeness(cable, from_socket, to_socket)
        if strangeness is not None and (best is None or strangeness < best[0]):
            best = (strangeness, cable)
    return None if best is None else best[1]


def _strangeness(cable: CablePlan, from_socket: str, to_socket: str) -> int | None:
    """How far down their sockets' lists the plugs of a cable stand; ``None`` when they don't fit."""
    if len(cable.ends) != 2:
        return None
    from_fits, to_fits = CONNECTORS[from_socket].fits, CONNECTORS[to_socket].fits
    sums = [
        from_fits.index(cable.ends[near]) + to_fits.index(cable.ends[far])
        for near, far in _orientations(cable)
        if cable.ends[near] in from_fits and cable.ends[far] in to_fits
    ]
    return min(sums, default=None)
