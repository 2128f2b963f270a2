"""From a rig to islands: what is plugged is drawn, then cut where only the common 0 V joins it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field

from levelhead.circuit.cables import draw_link
from levelhead.circuit.network import GROUND, Network, NetworkBuilder, Transformer
from levelhead.circuit.sketch import Drive, Element, Feed, PhantomLoad, Sketch, Winding
from levelhead.circuit.templates import draw_port
from levelhead.gear.connectors import CONNECTORS, signal_pins
from levelhead.gear.plan import BlockInstance, PartPlan
from levelhead.rig.model import Rig, RigItem, RigPort

__all__ = ["Island", "assemble"]


@dataclass(slots=True)
class Island:
    """A passive network between active stages, with the names of its drives and senses.

    Node numbers of its parts are those of the sketch; ``network`` numbers them afresh, so that
    equal islands have equal content.
    """

    elements: list[Element] = field(default_factory=list)
    windings: list[Winding] = field(default_factory=list)
    drives: list[Drive] = field(default_factory=list)
    feeds: list[Feed] = field(default_factory=list)
    loads: list[PhantomLoad] = field(default_factory=list)
    senses: dict[str, dict[int, float]] = field(default_factory=dict)

    @property
    def sense_addresses(self) -> tuple[str, ...]:
        """Addresses of the senses, in the order of the network's."""
        return tuple(self.senses)

    def network(self) -> Network:
        """The island as arrays."""
        builder = NetworkBuilder()
        numbers = {GROUND: GROUND}

        def node(index: int) -> int:
            if index not in numbers:
                numbers[index] = builder.node()
            return numbers[index]

        for drive in self.drives:
            builder.source(node(drive.plus), node(drive.minus), drive.ohm)
        for winding in self.windings:
            plus, minus, other_plus, other_minus = (node(index) for index in winding.nodes)
            builder.transformer((plus, minus), (other_plus, other_minus), winding.figures)
        for element in self.elements:
            draw = (builder.resistor, builder.capacitor, builder.inductor)[element.kind]
            draw(node(element.a), node(element.b), element.value)
        for weights in self.senses.values():
            merged: dict[int, float] = {}
            for index, weight in weights.items():
                merged[node(index)] = merged.get(node(index), 0.0) + weight
            builder.sense(merged)
        return builder.build()


def assemble(rig: Rig) -> list[Island]:
    """Islands of everything that is plugged, in a steady order."""
    sketch = Sketch()
    ports = _live_ports(rig)
    for link in rig.links:
        for one, other in link.contacts:
            sketch.join(one, other)
    for port in ports:
        _join_through(sketch, port)
    boxes = _passive_blocks(ports)
    for item, block in boxes:
        for part in block.plan.parts:
            if part.kind == "wire":
                sketch.join(
                    *(("port", f"{item.id}.{block.address(name)}", pin) for name, pin in part.pins)
                )
    for link in rig.links:
        draw_link(sketch, link)
    for port in ports:
        draw_port(sketch, port)
        _draw_phantom_load(sketch, port)
    for item, block in boxes:
        for part in block.plan.parts:
            _draw_part(sketch, item, block, part)
    return list(_cut(sketch))


def _live_ports(rig: Rig) -> list[RigPort]:
    """Ports that matter: plugged ones, all of a passive box that is plugged, and what they join."""
    live: dict[str, RigPort] = {}

    def add(port: RigPort) -> None:
        if port.address in live:
            return
        live[port.address] = port
        for other in port.block.plan.ports.values():
            is_joined = other.joined == port.plan.name or port.plan.joined == other.name
            if is_joined or port.block.plan.parts:
                add(rig.ports[port.sibling(other.name)])

    for link in rig.links:
        for address in link.ports:
            add(rig.ports[address])
    return list(live.values())


def _join_through(sketch: Sketch, port: RigPort) -> None:
    """A through socket is the same copper: pins of one name are one node."""
    if port.plan.joined is None:
        return
    other = port.sibling(port.plan.joined)
    own = CONNECTORS[port.plan.socket]
    joined = CONNECTORS[port.block.plan.ports[port.plan.joined].socket]
    same_pins = set(own.pins) & set(joined.pins)
    if same_pins:
        for pin in sorted(same_pins):
            sketch.join(("port", other, pin), ("port", port.address, pin))
        return
    here, there = signal_pins(own.name), signal_pins(joined.name)
    for pin, met in zip(
        (here.plus, here.minus, here.ground), (there.plus, there.minus, there.ground), strict=True
    ):
        sketch.join(("port", other, met), ("port", port.address, pin))


def _passive_blocks(ports: Iterable[RigPort]) -> list[tuple[RigItem, BlockInstance]]:
    """Blocks with parts, each once."""
    found = {
        (port.item.id, port.block.name): (port.item, port.block)
        for port in ports
        if port.block.plan.parts
    }
    return list(found.values())


def _draw_part(sketch: Sketch, item: RigItem, block: BlockInstance, part: PartPlan) -> None:
    nodes = [sketch.pin(f"{item.id}.{block.address(name)}", pin) for name, pin in part.pins]
    tag = f"{item.id}.{part.kind}"
    if part.kind == "transformer":
        values = {name: figure.value for name, figure in part.figures.items()}
        figures = Transformer(
            turns_ratio=values["ratio"],
            magnetising_h=values["magnetising"],
            leakage_h=values.get("leakage", 0.0),
            primary_ohm=values.get("primary", 1.0),
            secondary_ohm=values.get("secondary", 1.0),
        )
        a, b, c, d = nodes
        sketch.windings.append(Winding((a, b, c, d), figures, tag, part.figures))
    elif part.kind != "wire":
        figure = part.figures["value"]
        draw = sketch.resistor if part.kind == "resistor" else sketch.capacitor
        draw(nodes[0], nodes[1], figure.value, tag=tag, figure=figure)


def _draw_phantom_load(sketch: Sketch, port: RigPort) -> None:
    for power in port.item.plan.powered_by:
        if power.kind == "phantom" and power.port == port.plan.name:
            assert power.current is not None
            assert power.minimum is not None
            pins = signal_pins(port.plan.socket)
            sketch.loads.append(
                PhantomLoad(
                    port.item.id,
                    port.address,
                    (sketch.pin(port.address, pins.plus), sketch.pin(port.address, pins.minus)),
                    sketch.pin(port.address, pins.ground),
                    power.current,
                    power.minimum,
                )
            )


def _cut(sketch: Sketch) -> Iterator[Island]:
    """Parts that are joined by any node but the common 0 V, together."""
    parent: dict[int, int] = {}

    def find(node: int) -> int:
        parent.setdefault(node, node)
        while parent[node] != node:
            parent[node] = parent[parent[node]]
            node = parent[node]
        return node

    def unite(*nodes: int) -> None:
        inner = [find(node) for node in nodes if node != GROUND]
        for node in inner[1:]:
            parent[find(node)] = find(inner[0])

    def home(*nodes: int) -> Island:
        root = next(find(node) for node in nodes if node != GROUND)
        return islands.setdefault(root, Island())

    for element in sketch.elements:
        unite(element.a, element.b)
    for winding in sketch.windings:
        unite(*winding.nodes)
    for drive in sketch.drives:
        unite(drive.plus, drive.minus)
    for load in sketch.loads:
        unite(*load.legs, load.ground)
    for weights in sketch.senses.values():
        unite(*weights)
    islands: dict[int, Island] = {}
    for drive in sketch.drives:
        home(drive.plus, drive.minus).drives.append(drive)
    for winding in sketch.windings:
        home(*winding.nodes).windings.append(winding)
    for element in sketch.elements:
        home(element.a, element.b).elements.append(element)
    for feed in sketch.feeds:
        home(feed.node).feeds.append(feed)
    for load in sketch.loads:
        home(*load.legs).loads.append(load)
    for address, weights in sketch.senses.items():
        if any(node != GROUND for node in weights):
            home(*weights).senses[address] = weights
    yield from islands.values()
