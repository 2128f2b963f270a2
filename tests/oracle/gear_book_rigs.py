"""Random rigs from the gear book: an output, a cable that fits, an input, maybe a box between."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

import numpy as np

from levelhead.circuit.network import Network
from levelhead.circuit.placed.assembly import assemble
from levelhead.gear.book import GearBook
from levelhead.gear.connectors import mates
from levelhead.gear.plan import PortPlan
from levelhead.rig.build import build_rig
from levelhead.show.model import Cable, Item, Link, Show

GIVING = {"out", "through", "loudspeaker"}
LARGEST = 40  # nodes; beyond that a network is a stage full of boxes


class Socket(NamedTuple):
    """A port of a type, by its address below the item."""

    type_id: str
    port: str
    plan: PortPlan


def sockets(book: GearBook, roles: set[str]) -> list[Socket]:
    """Every port of the book with one of these roles, of repeated strips the first only."""
    found = []
    for type_id in book.ids:
        entry = book.entry(type_id)
        if entry.ends is None and entry.air is None:
            for block in book.plan(type_id, {}, {}).blocks:
                is_first = block.name in {f"{block.block}1", block.block}
                if is_first or not block.name or "-" in block.name:
                    found += [
                        Socket(type_id, block.address(name), plan)
                        for name, plan in block.plan.ports.items()
                        if plan.role in roles
                    ]
    return found


def fitting(book: GearBook, start: Socket, end: Socket) -> list[str]:
    """Two-ended cables of the book that go from one socket into the other."""
    cables = [book.cable(each) for each in book.ids if book.entry(each).ends is not None]
    return [
        cable.type_id
        for cable in cables
        if len(cable.ends) == 2
        and any(
            mates(start.plan.socket, near) and mates(end.plan.socket, far)
            for near, far in (tuple(cable.ends.values()), tuple(cable.ends.values())[::-1])
        )
    ]


def _random_switches(
    book: GearBook, item: str, type_id: str, rng: np.random.Generator
) -> dict[str, str]:
    controls = book.entry(type_id).controls
    return {
        f"{item}.{name}": str(rng.choice(list(control.options)))
        for name, control in controls.items()
        if control.options
    }


def random_show(book: GearBook, rng: np.random.Generator) -> Show | None:
    """A show of two items (three with a box between) joined by cables of random length."""
    outputs, inputs = sockets(book, GIVING), sockets(book, {"in"})
    boxes = [each for each in inputs if book.entry(each.type_id).parts]
    start = outputs[rng.integers(len(outputs))]
    hops = [start]
    if boxes and rng.random() < 0.4:
        box_in = boxes[rng.integers(len(boxes))]
        leaving = [each for each in outputs if each.type_id == box_in.type_id]
        hops += [box_in, leaving[rng.integers(len(leaving))]] if leaving else []
    hops.append(inputs[rng.integers(len(inputs))])
    names = ["item-0", "item-1", "item-1", "item-2"] if len(hops) == 4 else ["item-0", "item-1"]
    items = {name: Item(name, hop.type_id) for name, hop in zip(names, hops, strict=True)}
    links = []
    for near in range(0, len(hops), 2):
        cables = fitting(book, hops[near], hops[near + 1])
        if not cables:
            return None
        ends = {
            "a": f"{names[near]}.{hops[near].port}",
            "b": f"{names[near + 1]}.{hops[near + 1].port}",
        }
        length_m = float(np.round(10 ** rng.uniform(0, 2), 1))
        links.append(Link(ends, (Cable(str(rng.choice(cables)), length_m),)))
    settings = {
        address: option
        for name, item in items.items()
        for address, option in _random_switches(book, name, item.type, rng).items()
    }
    return Show("random", items=items, links=tuple(links), settings=settings)


def is_grounded(network: Network) -> bool:
    """Whether everything hangs on the reference by more than the leak of 1e12 ohm.

    A lifted box leaves a side that only a transformer couples to the rest. Its common voltage is
    rounding in either program (40-digit elimination: ours 0.35 %, ngspice 0.09 % off); in a venue
    stray capacitance settles it.
    """
    groups = list(range(network.node_count))

    def root(node: int) -> int:
        while groups[node] != node:
            node = groups[node]
        return node

    windings = network.transformer_nodes.reshape(-1, 2)
    for one, other in np.concatenate([network.element_nodes, network.source_nodes, windings]):
        groups[root(int(one))] = root(int(other))
    return len({root(node) for node in range(network.node_count)}) == 1


def random_rig_networks(book: GearBook, rng: np.random.Generator, count: int) -> Iterator[Network]:
    """Networks of random rigs that have a source in them."""
    made = 0
    while made < count:
        show = random_show(book, rng)
        if show is None:
            continue
        for island in assemble(build_rig(show, book)):
            network = island.network()
            is_fit = len(network.source_ohm) > 0 and 2 < network.node_count <= LARGEST
            if made < count and is_fit and is_grounded(network):
                made += 1
                yield network
