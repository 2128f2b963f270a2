"""Islands: a sketch cut where only the common 0 V joins two parts, each as a network of its own."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field

from levelhead.circuit.network import GROUND, Network, NetworkBuilder
from levelhead.circuit.sketch import Drive, Element, Feed, PhantomLoad, Sketch, Winding

__all__ = ["Island", "cut"]


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


class _Groups:
    """Nodes that belong together, whatever the common 0 V joins."""

    def __init__(self) -> None:
        self._parent: dict[int, int] = {}

    def find(self, node: int) -> int:
        parent = self._parent
        parent.setdefault(node, node)
        while parent[node] != node:
            parent[node] = parent[parent[node]]
            node = parent[node]
        return node

    def unite(self, nodes: Iterable[int]) -> None:
        inner = [self.find(node) for node in nodes if node != GROUND]
        for node in inner[1:]:
            self._parent[self.find(node)] = self.find(inner[0])

    def of(self, nodes: Iterable[int]) -> int:
        return next(self.find(node) for node in nodes if node != GROUND)


def cut(sketch: Sketch) -> Iterator[Island]:
    """Parts that are joined by any node but the common 0 V, together."""
    groups = _Groups()
    for nodes in _joined_nodes(sketch):
        groups.unite(nodes)
    islands: dict[int, Island] = {}

    def home(*nodes: int) -> Island:
        return islands.setdefault(groups.of(nodes), Island())

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


def _joined_nodes(sketch: Sketch) -> Iterator[Iterable[int]]:
    """Nodes of each part."""
    for element in sketch.elements:
        yield element.a, element.b
    for winding in sketch.windings:
        yield winding.nodes
    for drive in sketch.drives:
        yield drive.plus, drive.minus
    for load in sketch.loads:
        yield *load.legs, load.ground
    yield from sketch.senses.values()
