"""Phantom power: the same copper at direct current.

IEC 61938: 48 V through 6.8 kohm in each leg, back through the screen. What lives on it takes its
current from both legs alike, draws it while it has its least volts, and is like a resistance below.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from levelhead.circuit.direct.net import DirectLoad, DirectNet, wire_ohm
from levelhead.circuit.drawn.islands import Island
from levelhead.circuit.drawn.sketch import Drive, Element, Feed, PhantomLoad
from levelhead.circuit.network import Kind

__all__ = [
    "BackFed",
    "Charged",
    "FeedLeg",
    "PhantomArrival",
    "PhantomFlow",
    "direct_resistance_ohm",
    "phantom_flow",
    "solve_phantom",
    "touched",
]

PROTECTION_OHM: Final = 10.0  # behind the blocking capacitor of an input, from memory
CONTACT_OHM: Final = 0.1  # of a plug that slides over a contact, from memory

Real = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class PhantomArrival:
    """What a phantom-powered item gets: volts from its legs to its ground pin, and current.

    ``is_fed`` says whether a supply is switched on somewhere on its island.
    """

    item: str
    port: str
    volts: float
    current_a: float
    needed_v: float
    is_fed: bool


@dataclass(frozen=True, slots=True)
class BackFed:
    """Direct current that is driven back into a leg of an output, and the volts it stands at."""

    port: str
    signal: str | None
    volts: float
    current_a: float


@dataclass(frozen=True, slots=True)
class FeedLeg:
    """What a leg of a phantom supply gives, and the volts at its pin."""

    port: str
    volts: float
    current_a: float


@dataclass(frozen=True, slots=True)
class Charged:
    """A capacitor that phantom power has charged, by its number among an island's elements."""

    island: Island = field(repr=False)
    number: int
    farad: float
    volts: float

    @property
    def tag(self) -> str:
        """Which figure of which port it is."""
        return self.island.elements[self.number].tag

    @property
    def joule(self) -> float:
        """Energy that it lets go into whatever shorts it: half of C U^2. [J]"""
        return self.farad * self.volts**2 / 2


@dataclass(frozen=True, slots=True)
class PhantomFlow:
    """All that phantom power does in an island: direct currents, and charge that is stored.

    ``node_v`` are volts by node of the sketch; ``winding_a`` the currents of each transformer, in
    its primary and in its secondary.
    """

    arrivals: tuple[PhantomArrival, ...]
    back_fed: tuple[BackFed, ...]
    legs: tuple[FeedLeg, ...]
    island: Island = field(repr=False)
    node_v: Mapping[int, float]
    winding_a: tuple[tuple[float, float], ...]

    @property
    def charged(self) -> tuple[Charged, ...]:
        """Capacitors with the volts that they hold."""
        return tuple(
            Charged(self.island, number, value, self.node_v[element.a] - self.node_v[element.b])
            for number, (element, value) in enumerate(_valued(self.island))
            if element.kind is Kind.CAPACITOR
        )


def direct_resistance_ohm(islands: Iterable[Island], one: int, other: int) -> float:
    """Between two nodes of a sketch, as a meter reads it with all feeds off. [ohm]

    Infinite between nodes of different islands, or where nothing hangs on one of them.
    """
    for island in islands:
        if {one, other} <= island.numbers.keys():
            return DirectNet(island).resistance_ohm(one, other)
    return math.inf


def solve_phantom(island: Island) -> list[PhantomArrival]:
    """Volts and current at every item of the island that wants phantom power."""
    return list(phantom_flow(island).arrivals) if island.loads else []


def phantom_flow(island: Island) -> PhantomFlow:
    """Every direct current of an island: into loads, back into outputs, out of supplies."""
    net = DirectNet(island)
    loads = [net.load(load) for load in island.loads]
    at = _settled(net, loads)
    node_v: dict[int, float] = dict(zip(net.numbers, at.tolist(), strict=True))

    def volts(node: int, other: int) -> float:
        return node_v[node] - node_v[other]

    return PhantomFlow(
        arrivals=tuple(
            _arrival(load, numbered.volts(at), island)
            for load, numbered in zip(island.loads, loads, strict=True)
        ),
        back_fed=tuple(_back_fed(drive, volts(drive.plus, drive.minus)) for drive in island.drives),
        legs=tuple(_feed_leg(feed, volts(feed.node, feed.zero)) for feed in island.feeds),
        island=island,
        node_v={node: at_v for node, at_v in node_v.items() if node >= 0},
        winding_a=tuple(
            (volts(one, other) / primary_ohm, volts(third, fourth) / secondary_ohm)
            for (one, other, third, fourth), (primary_ohm, secondary_ohm) in (
                (winding.nodes, wire_ohm(winding)) for winding in island.windings
            )
        ),
    )


def touched(island: Island, held: Mapping[int, float]) -> PhantomFlow:
    """Currents at the moment when some legs of the supplies are held by charged capacitors.

    Parameters
    ----------
    held
        Volts by node: of a leg its capacitor's, 0 for one that a plug's contact grounds. The feeds
        themselves give next to nothing beside them, nor do loads take anything.
    """
    feeds = [
        replace(feed, volts=held[feed.node], ohm=PROTECTION_OHM if held[feed.node] else CONTACT_OHM)
        for feed in island.feeds
        if feed.node in held
    ]
    return phantom_flow(replace(island, feeds=feeds, loads=[]))


def _settled(net: DirectNet, loads: Sequence[DirectLoad]) -> Real:
    """Voltage of every node.

    Each load is either starved, and then a resistance, or draws its current. Which ones are
    starved is found by Newton's method: current never falls with voltage and bends one way only,
    so that from "all are starved" each round frees some loads for good.
    """
    is_starved = np.ones(len(loads), dtype=np.bool_)
    while True:
        at = net.voltages(loads, is_starved=is_starved)
        is_enough = np.array([load.volts(at) >= load.minimum_v for load in loads], dtype=np.bool_)
        if not (is_starved & is_enough).any():
            return at
        is_starved &= ~is_enough


def _back_fed(drive: Drive, volts: float) -> BackFed:
    """What reaches an output itself: nothing behind a coupling capacitor."""
    return BackFed(drive.port, drive.signal, volts, volts / drive.ohm)


def _feed_leg(feed: Feed, volts: float) -> FeedLeg:
    return FeedLeg(feed.port, volts, (feed.volts - volts) / feed.ohm)


def _arrival(load: PhantomLoad, volts: float, island: Island) -> PhantomArrival:
    share = min(1.0, max(volts, 0.0) / load.minimum.value)
    return PhantomArrival(
        item=load.item,
        port=load.port,
        volts=volts,
        current_a=load.current.value * share,
        needed_v=load.minimum.value,
        is_fed=bool(island.feeds),
    )


def _valued(island: Island) -> Iterator[tuple[Element, float]]:
    """Its elements as they were drawn, with the values that they have here."""
    return zip(island.drawn, island.element_values, strict=True)
