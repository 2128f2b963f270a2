"""Which loudspeakers hang on which output, by the wires from socket to socket."""

from __future__ import annotations

from collections.abc import Iterator

from levelhead.circuit.drawn.islands import Island
from levelhead.rig.model import Rig, RigLink, RigPort

__all__ = ["leads_between", "loads_on", "reached_from"]


def loads_on(rig: Rig, island: Island, output: RigPort) -> tuple[RigPort, ...]:
    """Loudspeakers that a plug of an output leads to, however many boxes on."""
    items = {rig.ports[each].item.id for each in reached_from(rig, island, output.address)}
    ports = (rig.ports[each] for each in island.pins if each in rig.ports)
    return tuple(each for each in ports if each.plan.is_load and each.item.id in items)


def reached_from(rig: Rig, island: Island, start: str) -> frozenset[str]:
    """Sockets of an island that are plugged to a socket, through others of the same items.

    Within the item of the socket itself only the same wire counts: its other outputs feed others.
    """
    own, by_item = rig.ports[start].item.id, _by_item(rig, island)
    seen, ahead = {start}, [start]
    while ahead:
        port = rig.ports[ahead.pop()]
        is_own = port.item.id == own
        within = _of_one_wire(port) if is_own else by_item.get(port.item.id, ())
        beyond = [end for link in rig.links_at.get(port.address, ()) for end in link.ports]
        fresh = {each for each in (*beyond, *within) if each not in seen}
        seen |= fresh
        ahead += sorted(fresh)
    return frozenset(seen)


def leads_between(rig: Rig, start: str, end: str) -> tuple[RigLink, ...]:
    """Leads from an output to a loudspeaker, by sockets of the same wire; none where none leads."""
    way: dict[str, tuple[RigLink, ...]] = {start: ()}
    ahead = [start]
    for port in ahead:
        for each in _of_one_wire(rig.ports[port]):
            if each not in way:
                way[each] = way[port]
                ahead.append(each)
        for link in rig.links_at.get(port, ()):
            for each in link.ports:
                if each not in way:
                    way[each] = (*way[port], link)
                    ahead.append(each)
    return way.get(end, ())


def _of_one_wire(port: RigPort) -> Iterator[str]:
    wire = port.plan.joined or port.plan.name
    for other in port.block.plan.ports.values():
        if wire in (other.name, other.joined):
            yield port.sibling(other.name)


def _by_item(rig: Rig, island: Island) -> dict[str, list[str]]:
    found: dict[str, list[str]] = {}
    for address in island.pins:
        if address in rig.ports:
            found.setdefault(rig.ports[address].item.id, []).append(address)
    return found
