"""Contacts of sockets: what is joined while a hole is empty, and which plugs stand half in.

A switch in a socket parts when a plug is pushed home: the normal of an insert, the left socket that
carries both sides while the right one is empty, the normals of a patch bay. Here it is only found
out which of them are closed; what follows from that is left to the copper.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping

from levelhead.errors import ShowError
from levelhead.gear.circuits import INSERT
from levelhead.gear.connectors import half_in
from levelhead.gear.plan import BlockInstance, ContactPlan
from levelhead.rig.model import Contact, Rig, RigItem, RigLink, RigPort
from levelhead.show.model import Link

__all__ = ["closed_contacts", "end_half_in", "holes_pushed", "insert_wirings", "ports_in_contact"]


def holes_pushed(ports: Iterable[RigPort], links: Iterable[RigLink]) -> frozenset[str]:
    """Addresses of holes into which a plug is pushed home."""
    half = {link.half for link in links}
    return frozenset(
        port.sibling(port.plan.hole)
        for port in ports
        if port.link is not None and port.address not in half
    )


def closed_contacts(
    items: Iterable[RigItem], ports: Mapping[str, RigPort], pushed: Collection[str]
) -> Iterator[Contact]:
    """Contacts that are closed, in blocks that have a plug somewhere: nothing else matters.

    Parameters
    ----------
    ports
        With the links that are plugged into them.
    pushed
        Holes into which a plug is pushed home.
    """
    plugged = [port for port in ports.values() if port.link is not None]
    live = {(port.item.id, port.block.name) for port in plugged}
    for item in items:
        for block in item.plan.blocks:
            if block.plan.contacts and (item.id, block.name) in live:
                yield from _closed_in(item, block, pushed)


def _closed_in(item: RigItem, block: BlockInstance, pushed: Collection[str]) -> Iterator[Contact]:
    """Contacts of one strip that no plug opens."""
    for contact in block.plan.contacts:
        if not any(_hole(item, block, name) in pushed for name in contact.empty):
            yield _placed(item, block, contact)


def _hole(item: RigItem, block: BlockInstance, name: str) -> str:
    return f"{item.id}.{block.address(block.plan.ports[name].hole)}"


def _placed(item: RigItem, block: BlockInstance, contact: ContactPlan) -> Contact:
    """A contact between the pins of ports by their addresses."""
    (one, its_pin), (other, other_pin) = contact.pins
    return (
        ("port", f"{item.id}.{block.address(one)}", its_pin),
        ("port", f"{item.id}.{block.address(other)}", other_pin),
    )


def ports_in_contact(contacts: Iterable[Contact]) -> Mapping[str, frozenset[str]]:
    """By the address of a port, those that closed contacts join to it, itself among them."""
    found: dict[str, frozenset[str]] = {}
    for one, other in contacts:
        pair = frozenset({str(one[1]), str(other[1])})
        for address in pair:
            found[address] = found.get(address, frozenset()) | pair
    return found


def end_half_in(link: Link, ports: Mapping[str, RigPort], *, where: str) -> str | None:
    """Address of the socket in which a link's jack stands at its first click; none when home.

    That is its insert socket, else its first three-pole jack socket.

    Raises
    ------
    ShowError
        It is said to be half in, and no end of it is such a socket.
    """
    if link.plugged == "full":
        return None
    found = [each for each in link.ends.values() if half_in(ports[each].plan.socket, "jack-ts")]
    inserts = [each for each in found if ports[each].plan.circuit == INSERT]
    if not found:
        raise ShowError(
            "no jack of this link can stand half in",
            where=where,
            expected="a three-pole 6.35 mm jack socket at one end: an insert, a patch bay",
            remedy="Leave 'plugged' out, or name the insert.",
        )
    return (*inserts, *found)[0]


def insert_wirings(rig: Rig) -> Mapping[str, bool]:
    """Switches that say how inserts are wired, and whether anything is plugged into one of those.

    Nobody sees on a socket whether tip or ring sends: it counts as unknown until it is told.
    """
    found: dict[str, bool] = {}
    for port in rig.ports.values():
        if port.plan.wiring is not None:
            control = rig.control_of(port.item, port.block, port.plan.wiring)
            found[control] = found.get(control, False) or port.link is not None
    return found
