"""Islands: a sketch cut where only the common 0 V joins two parts, each as a network of its own."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from levelhead.circuit.drawn.sketch import (
    Drive,
    Element,
    Feed,
    NoiseCurrent,
    PhantomLoad,
    Sketch,
    Winding,
)
from levelhead.circuit.network import GROUND, Kind, Network, NetworkBuilder
from levelhead.gear.figures import Figure

__all__ = ["Conducting", "Island", "cut"]


class Conducting(NamedTuple):
    """Elements that pass direct current: their rows, both ends as numbered, and which are coils."""

    rows: NDArray[np.int64]
    ends: NDArray[np.int64]
    is_coil: NDArray[np.bool_]


@dataclass(frozen=True, eq=False)
class Island:
    """A passive network between active stages, with the names of its drives and senses.

    Node numbers of its parts are those of the sketch; ``network`` numbers them afresh, so that
    equal islands have equal content. An island ``like`` another one differs from it in names and
    in the values of its elements. ``pins`` are the nodes of plus, minus and ground of each signal
    of a port; ``rejections`` how well balanced inputs reject what both their pins share.
    """

    elements: Sequence[Element]
    windings: Sequence[Winding]
    drives: Sequence[Drive]
    feeds: Sequence[Feed]
    loads: Sequence[PhantomLoad]
    noises: Sequence[NoiseCurrent]
    senses: Mapping[str, Mapping[int, float]]
    pins: Mapping[str, tuple[int, int, int]]
    rejections: Mapping[str, Figure]
    like: Island | None = None
    values: NDArray[np.float64] | None = None  # of the elements, if they are not those of ``like``

    @classmethod
    def of(cls, parts: Sketch) -> Island:
        """What of a sketch hangs together."""
        return cls(
            parts.elements,
            parts.windings,
            parts.drives,
            parts.feeds,
            parts.loads,
            parts.noises,
            parts.senses,
            parts.pins,
            parts.rejections,
        )

    @property
    def sense_addresses(self) -> tuple[str, ...]:
        """Addresses of the senses, in the order of the network's."""
        return tuple(self.senses)

    @property
    def drawn(self) -> Sequence[Element]:
        """Its elements as they were drawn: perhaps with the names and values of another piece.

        They cost nothing, where ``elements`` makes those of a placed island one by one.
        """
        return self.elements if self.like is None else self.like.drawn

    @cached_property
    def element_values(self) -> Sequence[float]:
        """Values of its own elements, in their order. [ohm, F or H]"""
        if self.values is not None:
            values: list[float] = self.values.tolist()
            return values
        if self.like is not None:
            return self.like.element_values
        return [element.value for element in self.elements]

    @cached_property
    def numbers(self) -> Mapping[int, int]:
        """Number that ``network`` gives to each node of the sketch, in the order of mention."""
        if self.like is not None:
            return self.like.numbers
        found = {GROUND: GROUND}
        for nodes in _nodes_of(self):
            for node in nodes:
                found.setdefault(node, len(found))
        return found

    @cached_property
    def conducting(self) -> Conducting:
        """Its elements that pass direct current."""
        if self.like is not None:
            return self.like.conducting
        passes = [
            (row, self.numbers[each.a], self.numbers[each.b], each.kind is Kind.INDUCTOR)
            for row, each in enumerate(self.elements)
            if each.kind is Kind.INDUCTOR or (each.kind is Kind.RESISTOR and each.direct)
        ]
        found = np.array(passes, dtype=np.int64).reshape(-1, 4)
        return Conducting(found[:, 0], found[:, 1:3], found[:, 3].astype(bool))

    @cached_property
    def tried(self) -> dict[Hashable, NDArray[np.complex128]]:
        """What was worked out of it besides, by what was asked: an island never changes."""
        return {}

    def network(self) -> Network:
        """The island as arrays."""
        return self._network

    @cached_property
    def _network(self) -> Network:
        if self.like is None:
            return self._built()
        same = self.like.network()
        return same if self.values is None else same.revalued(self.values)

    def _built(self) -> Network:
        builder, at = NetworkBuilder(), self.numbers
        for _ in range(len(at) - 1):
            builder.node()
        for drive in self.drives:
            builder.source(at[drive.plus], at[drive.minus], drive.ohm)
        for winding in self.windings:
            plus, minus, other_plus, other_minus = (at[node] for node in winding.nodes)
            builder.transformer((plus, minus), (other_plus, other_minus), winding.figures)
        for element in self.elements:
            draw = (builder.resistor, builder.capacitor, builder.inductor)[element.kind]
            draw(at[element.a], at[element.b], element.value)
        for noise in self.noises:
            builder.noise_current(at[noise.a], at[noise.b], noise.a_per_rthz)
        for weights in self.senses.values():
            builder.sense({at[node]: weight for node, weight in weights.items()})
        return builder.build()


class _Groups:
    """Nodes that belong together, whatever shared nodes join."""

    def __init__(self, shared: frozenset[int]) -> None:
        self._shared = shared
        self._parent: dict[int, int] = {}

    def find(self, node: int) -> int:
        parent = self._parent
        parent.setdefault(node, node)
        while parent[node] != node:
            parent[node] = parent[parent[node]]
            node = parent[node]
        return node

    def unite(self, nodes: Iterable[int]) -> None:
        inner = [self.find(node) for node in nodes if node not in self._shared]
        for node in inner[1:]:
            self._parent[self.find(node)] = self.find(inner[0])

    def of(self, nodes: Iterable[int]) -> int:
        return next(self.find(node) for node in nodes if node not in self._shared)


def cut(sketch: Sketch, shared: frozenset[int] = frozenset({GROUND})) -> Iterator[Island]:
    """Parts that are joined by any node but the ``shared`` ones (the common 0 V), together."""
    groups = _Groups(shared)
    for nodes in _joined_nodes(sketch):
        groups.unite(nodes)
    homes: dict[int, Sketch] = {}

    def home(*nodes: int) -> Sketch:
        return homes.setdefault(groups.of(nodes), Sketch())

    for drive in sketch.drives:
        home(drive.plus, drive.minus).drives.append(drive)
    for winding in sketch.windings:
        home(*winding.nodes).windings.append(winding)
    for element in sketch.elements:
        home(element.a, element.b).elements.append(element)
    for noise in sketch.noises:
        home(noise.a, noise.b).noises.append(noise)
    _deal_direct(sketch, home)
    for address, weights in sketch.senses.items():
        if any(node not in shared for node in weights):
            _deal_sense(sketch, address, home(*weights))
    yield from map(Island.of, homes.values())


def _deal_sense(sketch: Sketch, address: str, own: Sketch) -> None:
    """What is sensed at an address, with all that is known of it."""
    own.senses[address] = sketch.senses[address]
    if address in sketch.pins:
        own.pins[address] = sketch.pins[address]
    if address in sketch.rejections:
        own.rejections[address] = sketch.rejections[address]


def _deal_direct(sketch: Sketch, home: Callable[..., Sketch]) -> None:
    """What only direct current sees."""
    for feed in sketch.feeds:
        home(feed.node).feeds.append(feed)
    for load in sketch.loads:
        home(*load.legs).loads.append(load)


def _joined_nodes(sketch: Sketch) -> Iterator[Iterable[int]]:
    """Nodes of each part, and of each load."""
    yield from _nodes_of(sketch)
    for load in sketch.loads:
        yield *load.legs, load.ground


def _nodes_of(parts: Sketch | Island) -> Iterator[Iterable[int]]:
    """Nodes of each part that signals see, and of each sense."""
    for drive in parts.drives:
        yield drive.plus, drive.minus
    for winding in parts.windings:
        yield winding.nodes
    for element in parts.elements:
        yield element.a, element.b
    yield from parts.senses.values()
