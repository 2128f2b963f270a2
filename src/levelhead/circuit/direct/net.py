"""What of an island passes direct current: conductances and currents between numbered nodes."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final

import numpy as np
from numpy.typing import NDArray

from levelhead.circuit.drawn.islands import Island
from levelhead.circuit.drawn.sketch import PhantomLoad, Winding

__all__ = ["DirectLoad", "DirectNet", "wire_ohm"]

_LEAK_S: Final = 1e-12  # to the reference, so that nothing floats
_SHORT_OHM: Final = 0.1  # winding or coil whose own resistance is not known
_JOINED_OHM: Final = 0.01  # from a leg to where both meet in a load: a centre tap, from memory

Real = NDArray[np.float64]
Branch = tuple[int, int, float]  # both ends, and the conductance between them [S]
Injection = tuple[int, float]  # a node, and the current that flows into it [A]


@dataclass(frozen=True, slots=True)
class DirectLoad:
    """A load between numbered nodes: the tap where its legs meet, and its ground pin."""

    tap: int
    ground: int
    legs: tuple[int, int]
    current_a: float
    minimum_v: float

    @property
    def siemens(self) -> float:
        """Conductance below the least volts: at them it draws its current."""
        return self.current_a / self.minimum_v

    def volts(self, at: Real) -> float:
        """From both legs to the ground pin."""
        return float((at[self.legs[0]] + at[self.legs[1]]) / 2 - at[self.ground])


class DirectNet:
    """Conductances and currents between numbered nodes; only ``load`` adds to what is drawn."""

    def __init__(self, island: Island) -> None:
        conducting = island.conducting
        values = np.asarray(island.element_values)[conducting.rows]
        self._ends = conducting.ends
        self._siemens: Real = 1 / np.where(conducting.is_coil, _SHORT_OHM, values)
        self._numbers = dict(island.numbers)
        self._branches: list[Branch] = []
        self._injections: list[Injection] = []
        for winding in island.windings:
            plus, minus, other_plus, other_minus = winding.nodes
            primary_ohm, secondary_ohm = wire_ohm(winding)
            self._resistor(plus, minus, primary_ohm)
            self._resistor(other_plus, other_minus, secondary_ohm)
        for drive in island.drives:
            self._resistor(drive.plus, drive.minus, drive.ohm)
        for feed in island.feeds:
            self._feed(feed.node, feed.zero, feed.volts, feed.ohm)

    @property
    def numbers(self) -> Mapping[int, int]:
        """Number of each node of the sketch, in their order; nodes that no sketch has are below 0.

        A view: it cannot be written.
        """
        return MappingProxyType(self._numbers)

    def node(self, index: int) -> int:
        """Number of a node of the sketch."""
        return self._numbers.setdefault(index, len(self._numbers))

    def load(self, load: PhantomLoad) -> DirectLoad:
        """A load, whose legs meet at a node that no sketch has: those count down."""
        tap = self.node(-len(self._numbers))
        legs = (self.node(load.legs[0]), self.node(load.legs[1]))
        self._branches += [(leg, tap, 1 / _JOINED_OHM) for leg in legs]
        ground = self.node(load.ground)
        return DirectLoad(tap, ground, legs, load.current.value, load.minimum.value)

    def _resistor(self, a: int, b: int, ohm: float) -> None:
        """A resistance between two nodes of the sketch."""
        self._branches.append((self.node(a), self.node(b), 1 / ohm))

    def _feed(self, node: int, zero: int, volts: float, ohm: float) -> None:
        """A voltage behind a resistance, as a current beside it."""
        self._resistor(node, zero, ohm)
        self._injections.append((self.node(node), volts / ohm))
        self._injections.append((self.node(zero), -volts / ohm))

    def voltages(self, loads: Sequence[DirectLoad], *, is_starved: NDArray[np.bool_]) -> Real:
        """Voltage of every node, each load taken as a resistance or as a current."""
        starved = [load for load, is_low in zip(loads, is_starved, strict=True) if is_low]
        fed = [load for load, is_low in zip(loads, is_starved, strict=True) if not is_low]
        drawn = [(load.tap, -load.current_a) for load in fed]
        returned = [(load.ground, load.current_a) for load in fed]
        resistors = [(each.tap, each.ground, each.siemens) for each in starved]
        return self._solved([*self._injections, *drawn, *returned], resistors)

    def resistance_ohm(self, one: int, other: int) -> float:
        """Between two nodes of the sketch, as a meter reads it with all feeds off. [ohm]"""
        a, b = self.node(one), self.node(other)
        at = self._solved([(a, 1.0), (b, -1.0)], ())
        return float(at[a] - at[b])

    def _solved(self, injections: Iterable[Injection], resistors: Sequence[Branch]) -> Real:
        """Voltage of every node with some currents flowing in, and more resistors between."""
        current_a = np.zeros(len(self._numbers))
        for node, ampere in injections:
            current_a[node] += ampere
        inner = self._conductance_s(resistors)[1:, 1:]
        inner.flat[:: len(inner) + 1] += _LEAK_S
        return np.concatenate([[0.0], np.linalg.solve(inner, current_a[1:])])

    def _conductance_s(self, loads: Sequence[Branch]) -> Real:
        """Conductance matrix of all branches; (nodes, nodes). [S]"""
        size = len(self._numbers)
        a, b, siemens = self._columns([*self._branches, *loads])
        places = np.concatenate([a * (size + 1), b * (size + 1), a * size + b, b * size + a])
        weights = np.concatenate([siemens, siemens, -siemens, -siemens])
        conductance_s: Real = np.zeros(size**2)
        conductance_s += np.bincount(places, weights, minlength=size**2)
        return conductance_s.reshape(size, size)

    def _columns(
        self, branches: Sequence[Branch]
    ) -> tuple[NDArray[np.int64], NDArray[np.int64], Real]:
        """First ends, second ends and conductances of elements and branches."""
        a, b = self._ends.T
        if not branches:
            return a, b, self._siemens
        others = np.array(branches)
        ends = others[:, :2].astype(np.int64)
        return (
            np.concatenate([a, ends[:, 0]]),
            np.concatenate([b, ends[:, 1]]),
            np.concatenate([self._siemens, others[:, 2]]),
        )


def wire_ohm(winding: Winding) -> tuple[float, float]:
    """What direct current meets in the two windings of a transformer."""
    figures = winding.figures
    return max(figures.primary_ohm, _SHORT_OHM), max(figures.secondary_ohm, _SHORT_OHM)
