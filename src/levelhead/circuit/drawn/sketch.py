"""A circuit being drawn: nodes by place, parts for signals and direct current, and their figures.

The rig is drawn once as a whole, then cut where only the common 0 V joins two parts.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from levelhead.circuit.drawn.values import is_above_zero
from levelhead.circuit.network import GROUND, Kind, Transformer
from levelhead.gear.figures import Figure
from levelhead.rig.model import Node, RigItem

__all__ = [
    "Drive",
    "Element",
    "Feed",
    "NoiseCurrent",
    "PhantomLoad",
    "Sketch",
    "Stretch",
    "Winding",
]


@dataclass(frozen=True, slots=True)
class Element:
    """A two-ended part. ``tag`` and ``figure`` say which figure of the gear book it comes from.

    A resistance that stands behind capacitors too large to matter for signals is not ``direct``:
    no direct current passes it. What is part of a cable says of which ``stretch``.
    """

    kind: Kind
    a: int
    b: int
    value: float
    tag: str
    figure: Figure | None
    direct: bool = True
    stretch: Stretch | None = None


@dataclass(frozen=True, slots=True)
class Stretch:
    """A length of cable of which a part is: its value is ``fixed + per_m * length``."""

    link: int
    segment: int
    fixed: float
    per_m: float

    def at(self, length_m: float) -> float:
        """Value of the part at this length. [ohm or F]"""
        return self.fixed + self.per_m * length_m


@dataclass(frozen=True, slots=True)
class Winding:
    """A transformer between two pairs of nodes."""

    nodes: tuple[int, int, int, int]
    figures: Transformer
    tag: str
    spread: Mapping[str, Figure]


@dataclass(frozen=True, slots=True)
class Drive:
    """An emf: ``weight`` times what the stage behind the port delivers.

    ``zero`` is the 0 V from which each end of a driven pair may swing half of the ceiling; an emf
    whose ends swing as they like, or stand on 0 V, has none.
    """

    port: str
    signal: str | None
    plus: int
    minus: int
    ohm: float
    weight: float
    tag: str
    figure: Figure | None
    zero: int | None = None


@dataclass(frozen=True, slots=True)
class NoiseCurrent:
    """A noise current of an input, which makes volts at whatever is plugged to it. [A/sqrt(Hz)]"""

    a: int
    b: int
    a_per_rthz: float


@dataclass(frozen=True, slots=True)
class Feed:
    """A feed resistor of one leg of an input, for phantom power or bias.

    ``blocking_f`` is the capacitor between the leg and the input's amplifier; 0 where it is small.
    """

    port: str
    node: int
    zero: int
    volts: float
    ohm: float
    blocking_f: float = 0.0


@dataclass(frozen=True, slots=True)
class PhantomLoad:
    """An item that draws current from its signal legs, back through the ground pin.

    Phantom power comes by both legs; bias by one, which then stands twice.
    """

    item: str
    port: str
    legs: tuple[int, int]
    ground: int
    current: Figure
    minimum: Figure


@dataclass(slots=True)
class Sketch:
    """Parts between places. Places joined without resistance are one node."""

    elements: list[Element] = field(default_factory=list)
    windings: list[Winding] = field(default_factory=list)
    drives: list[Drive] = field(default_factory=list)
    feeds: list[Feed] = field(default_factory=list)
    loads: list[PhantomLoad] = field(default_factory=list)
    noises: list[NoiseCurrent] = field(default_factory=list)
    senses: dict[str, dict[int, float]] = field(default_factory=dict)
    pins: dict[str, tuple[int, int, int]] = field(default_factory=dict)
    rejections: dict[str, Figure] = field(default_factory=dict)
    _index: dict[Node, int] = field(default_factory=dict)
    _parent: list[int] = field(default_factory=lambda: [GROUND])

    # --- nodes ---

    def place(self, key: Node) -> int:
        """Node of a place; a new one when the place is new."""
        index = self._index.get(key)
        if index is None:
            index = self._index[key] = self.inner_node()
        return self.root(index)

    def pin(self, address: str, pin: str) -> int:
        """Node of a pin of a port."""
        return self.place(("port", address, pin))

    def zero_volts(self, item: RigItem) -> int:
        """0 V of an item: the common reference for earthed items, its own node for others."""
        return GROUND if item.plan.earth == "mains" else self.place(("0 V", item.id))

    def inner_node(self) -> int:
        """A node that has no place."""
        self._parent.append(len(self._parent))
        return len(self._parent) - 1

    def join(self, one: Node, other: Node) -> None:
        """Make two places one node. All joining is done before anything is drawn."""
        first, second = self.place(one), self.place(other)
        self._parent[max(first, second)] = min(first, second)

    def root(self, index: int) -> int:
        """The node that stands for all that are joined with this one."""
        parent = self._parent
        while parent[index] != index:
            parent[index] = parent[parent[index]]
            index = parent[index]
        return index

    @property
    def places(self) -> Iterable[tuple[Node, int]]:
        """Every place with its node."""
        return ((key, self.root(index)) for key, index in self._index.items())

    # --- parts ---

    def resistor(
        self, a: int, b: int, ohm: float, *, tag: str, figure: Figure | None, direct: bool = True
    ) -> None:
        """A resistance for signals, and for direct current unless it is said not to be."""
        if a != b:
            self.elements.append(Element(Kind.RESISTOR, a, b, ohm, tag, figure, direct))

    def cable_part(
        self,
        kind: Kind,
        nodes: tuple[int, int],
        stretch: Stretch,
        length_m: float,
        *,
        tag: str,
        figure: Figure | None,
    ) -> None:
        """A resistance or a capacitance that grows with the length of a cable."""
        value = stretch.at(length_m)
        if nodes[0] != nodes[1] and (kind is Kind.RESISTOR or is_above_zero(value)):
            element = Element(kind, *nodes, value, tag, figure, stretch=stretch)
            self.elements.append(element)

    def capacitor(self, a: int, b: int, farad: float, *, tag: str, figure: Figure | None) -> None:
        """A capacitance: an open circuit for direct current."""
        if a != b and is_above_zero(farad):
            self.elements.append(Element(Kind.CAPACITOR, a, b, farad, tag, figure))

    def inductor(self, a: int, b: int, henry: float, *, tag: str, figure: Figure | None) -> None:
        """An inductance: a short circuit for direct current."""
        if a != b:
            self.elements.append(Element(Kind.INDUCTOR, a, b, henry, tag, figure))

    def emf(self, drive: Drive) -> None:
        """An emf driven by a port's signal, behind a resistance."""
        self.drives.append(drive)

    def phantom_feed(self, feed: Feed, *, tag: str, figure: Figure) -> None:
        """A leg of a phantom supply; for signals its resistor goes to 0 V."""
        self.feeds.append(feed)
        self.resistor(feed.node, feed.zero, feed.ohm, tag=tag, figure=figure, direct=False)

    def noise_current(self, a: int, b: int, a_per_rthz: float) -> None:
        """A noise current between two nodes. [A/sqrt(Hz)]"""
        if a != b and is_above_zero(a_per_rthz):
            self.noises.append(NoiseCurrent(a, b, a_per_rthz))

    def sense(
        self, address: str, weights: Iterable[tuple[int, float]], cmrr: Figure | None = None
    ) -> None:
        """A voltage that is known by an address; pins that are one node cancel one another.

        ``cmrr`` is the figure by which weights are off those of a perfect difference.
        """
        if cmrr is not None:
            self.rejections[address] = cmrr
        summed: dict[int, float] = {}
        for node, weight in weights:
            summed[node] = summed.get(node, 0.0) + weight
        self.senses[address] = summed

    def has_sense(self, address: str) -> bool:
        """Whether this address is already sensed."""
        return address in self.senses
