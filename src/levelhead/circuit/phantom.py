"""Phantom power: the same copper at direct current.

IEC 61938: 48 V through 6.8 kohm in each leg, back through the screen. Loads draw a constant current
while they have their minimum volts and behave like a resistance below.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

from levelhead.circuit.assembly import Island
from levelhead.circuit.network import GROUND, Kind

__all__ = ["PhantomArrival", "solve_phantom"]

_LEAK_S: Final = 1e-12  # to the reference, so that nothing floats
_SHORT_OHM: Final = 0.1  # winding or coil whose own resistance is not known
_STEPS: Final = 60
_SETTLED_V: Final = 1e-9


@dataclass(frozen=True, slots=True)
class PhantomArrival:
    """What a phantom-powered item gets: volts between its legs and its ground pin, and current."""

    item: str
    port: str
    volts: float
    current_a: float
    needed_v: float
    is_fed: bool  # a supply is switched on somewhere on this island


class _Direct:
    """Conductances and currents between numbered nodes."""

    def __init__(self) -> None:
        self.numbers = {GROUND: GROUND}
        self.branches: list[tuple[int, int, float]] = []
        self.injections: list[tuple[int, float]] = []

    def node(self, index: int) -> int:
        return self.numbers.setdefault(index, len(self.numbers))

    def resistor(self, a: int, b: int, ohm: float) -> None:
        self.branches.append((self.node(a), self.node(b), 1 / ohm))

    def feed(self, node: int, zero: int, volts: float, ohm: float) -> None:
        """A voltage behind a resistance, as a current beside it."""
        self.resistor(node, zero, ohm)
        self.injections.append((self.node(node), volts / ohm))
        self.injections.append((self.node(zero), -volts / ohm))

    def voltages(self, extra: list[tuple[int, int, float]]) -> np.ndarray:
        size = len(self.numbers)
        conductance_s = np.zeros((size, size))
        current_a = np.zeros(size)
        for a, b, siemens in [*self.branches, *extra]:
            conductance_s[[a, b], [a, b]] += siemens
            conductance_s[[a, b], [b, a]] -= siemens
        for node, ampere in self.injections:
            current_a[node] += ampere
        inner = conductance_s[1:, 1:] + np.eye(size - 1) * _LEAK_S
        return np.concatenate([[0.0], np.linalg.solve(inner, current_a[1:])])


def _direct(island: Island) -> _Direct:
    net = _Direct()
    feed_tags = {f"{feed.port}.phantom-feed" for feed in island.feeds}
    for element in island.elements:
        if element.kind is Kind.RESISTOR and element.tag not in feed_tags:
            net.resistor(element.a, element.b, element.value)
        elif element.kind is Kind.INDUCTOR:
            net.resistor(element.a, element.b, _SHORT_OHM)
    for winding in island.windings:
        plus, minus, other_plus, other_minus = winding.nodes
        net.resistor(plus, minus, max(winding.figures.primary_ohm, _SHORT_OHM))
        net.resistor(other_plus, other_minus, max(winding.figures.secondary_ohm, _SHORT_OHM))
    for drive in island.drives:
        if drive.direct:
            net.resistor(drive.plus, drive.minus, drive.ohm)
    for feed in island.feeds:
        net.feed(feed.node, feed.zero, feed.volts, feed.ohm)
    return net


def solve_phantom(island: Island) -> list[PhantomArrival]:
    """Volts and current at every item of the island that wants phantom power.

    Each load is a resistance that takes its current at the volts it has; the resistances are
    found by repetition, which settles because a falling voltage draws no more current.
    """
    if not island.loads:
        return []
    net = _direct(island)
    terminals = [
        (*(net.node(leg) for leg in load.legs), net.node(load.ground)) for load in island.loads
    ]
    volts = np.array([max((feed.volts for feed in island.feeds), default=0.0)] * len(island.loads))
    for _ in range(_STEPS):
        extra = []
        for load, (plus, minus, ground), arriving in zip(
            island.loads, terminals, volts, strict=True
        ):
            leg_s = _load_siemens(load.current.value, load.minimum.value, float(arriving)) / 2
            extra += [(plus, ground, leg_s), (minus, ground, leg_s)]
        at = net.voltages(extra)
        settled = np.array([(at[p] + at[m]) / 2 - at[g] for p, m, g in terminals])
        if np.allclose(settled, volts, rtol=0, atol=_SETTLED_V):
            break
        volts = settled
    return [
        PhantomArrival(
            item=load.item,
            port=load.port,
            volts=float(arriving),
            current_a=float(arriving)
            * _load_siemens(load.current.value, load.minimum.value, float(arriving)),
            needed_v=load.minimum.value,
            is_fed=bool(island.feeds),
        )
        for load, arriving in zip(island.loads, volts, strict=True)
    ]


def _load_siemens(current_a: float, minimum_v: float, volts: float) -> float:
    """Conductance that takes the current at these volts; below the minimum that at the minimum."""
    return current_a / max(volts, minimum_v)
