"""Pieces of the copper of a rig: what hangs together by plugs, boxes and a 0 V that has no earth.

No piece knows of another, so that each is drawn and solved by itself; pieces of one shape are drawn
once (``placing``). What joins two ports must be told in ``beside``, else a piece is cut.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

from levelhead.rig.model import Contact, Rig, RigLink, RigPort

__all__ = ["Piece", "beside", "live_ports", "pieces_by_content", "pieces_of"]


@dataclass(frozen=True, eq=False)
class Piece:
    """Links that hang together, all ports that matter to them, and contacts closed between them."""

    links: tuple[RigLink, ...]
    ports: tuple[RigPort, ...]
    contacts: tuple[Contact, ...] = ()

    def __repr__(self) -> str:
        return f"Piece({', '.join(port.address for port in self.ports)})"

    @classmethod
    def of(cls, rig: Rig, links: Sequence[RigLink]) -> Piece:
        """The piece of these links."""
        ports = tuple(live_ports(rig, links))
        live = {port.address for port in ports}
        contacts = (each for each in rig.contacts if each[0][1] in live)
        return cls(tuple(links), ports, tuple(contacts))

    @cached_property
    def lengths_m(self) -> tuple[float, ...]:
        """Length of every cable."""
        return tuple(each.length_m for link in self.links for each in link.segments)

    @cached_property
    def names(self) -> tuple[str | int, ...]:
        """What this piece calls its ports, items and links."""
        addresses = [port.address for port in self.ports]
        items = [port.item.id for port in self.ports]
        return (*addresses, *items, *(link.number for link in self.links))

    @cached_property
    def shape(self) -> Hashable:
        """All that a drawing follows from, but names and lengths.

        Equal plans are one object for as long as a piece of this shape is kept.
        """
        rows = {port.address: row for row, port in enumerate(self.ports)}
        items: dict[str, int] = {}
        blocks: dict[tuple[str, str], int] = {}
        ports = tuple(
            (
                id(port.plan),
                id(port.block.plan),
                port.item.plan.earth,
                port.item.plan.powered_by,
                items.setdefault(port.item.id, len(items)),
                blocks.setdefault((port.item.id, port.block.name), len(blocks)),
                port.link is None,
            )
            for port in self.ports
        )
        links = tuple(
            (
                tuple((end, rows[address]) for end, address in link.link.ends.items()),
                tuple((id(each.cable), each.length_m > 0) for each in link.segments),
                link.changes,
                rows.get(link.half or ""),
            )
            for link in self.links
        )
        contacts = tuple(
            tuple((rows[str(address)], pin) for _, address, pin in each) for each in self.contacts
        )
        return ports, links, contacts


def beside(rig: Rig, port: RigPort) -> Iterator[RigPort]:
    """Ports on the same copper as a port: through sockets, a passive box, closed contacts."""
    for address in rig.in_contact.get(port.address, ()):
        yield rig.ports[address]
    for other in port.block.plan.ports.values():
        is_joined = other.joined == port.plan.name or port.plan.joined == other.name
        if is_joined or port.block.plan.parts:
            yield rig.ports[port.sibling(other.name)]


def live_ports(rig: Rig, links: Iterable[RigLink]) -> list[RigPort]:
    """Ports that matter: plugged ones, all of a passive box that is plugged, and what they join."""
    live: dict[str, RigPort] = {}

    def add(port: RigPort) -> None:
        if port.address not in live:
            live[port.address] = port
            for other in beside(rig, port):
                add(other)

    for link in links:
        for address in link.ports:
            add(rig.ports[address])
    return list(live.values())


def pieces_of(rig: Rig) -> Iterator[Piece]:
    """Every piece of a rig, in the order of its first link."""
    plugged = _Plugged.of(rig)
    done: set[int] = set()
    for link in rig.links:
        if link.number not in done:
            links = plugged.hanging_on(link)
            done.update(each.number for each in links)
            ports = {port.address: port for each in links for port in plugged.reached[each.number]}
            contacts = (each for each in rig.contacts if each[0][1] in ports)
            yield Piece(tuple(links), tuple(ports.values()), tuple(contacts))


def pieces_by_content(rig: Rig) -> dict[Hashable, Piece]:
    """Every piece by all that its copper follows from, and what it calls its parts."""
    return {(each.shape, each.lengths_m, each.names): each for each in pieces_of(rig)}


@dataclass(frozen=True, slots=True)
class _Plugged:
    """Links by the ports, and by the items without earth, that they are plugged to.

    ``reached`` are the ports that matter to each link, by its number.
    """

    at_port: Mapping[str, RigLink]
    at_item: Mapping[str, list[RigLink]]
    reached: Mapping[int, list[RigPort]]

    @classmethod
    def of(cls, rig: Rig) -> _Plugged:
        at_port = {address: link for link in rig.links for address in link.ports}
        at_item: dict[str, list[RigLink]] = {}
        for address, link in at_port.items():
            item = rig.ports[address].item
            if item.plan.earth != "mains":
                at_item.setdefault(item.id, []).append(link)
        return cls(at_port, at_item, {link.number: live_ports(rig, [link]) for link in rig.links})

    def hanging_on(self, first: RigLink) -> list[RigLink]:
        """A link and all that hang together with it, in their order."""
        found = {first.number: first}
        waiting = [first]
        while waiting:
            for port in self.reached[waiting.pop().number]:
                for link in (*self.at_item.get(port.item.id, ()), self.at_port.get(port.address)):
                    if link is not None and link.number not in found:
                        found[link.number] = link
                        waiting.append(link)
        return [found[number] for number in sorted(found)]
