"""Earth conductors from items to the main earth, potentials in them, leakages of supplies."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Final

import numpy as np
from numpy.typing import NDArray

from levelhead.circuit.ground.mains import Cause, Mains
from levelhead.gear.figures import Figure
from levelhead.rig.model import Rig, RigItem
from levelhead.show.addresses import is_address, item_of

__all__ = ["MAIN_EARTH", "Branch", "Earths", "HumSource", "earths_of"]

MAIN_EARTH: Final = -1  # of the building; the reference of the ground network
_OF_A_PAIR: Final = 1 / math.sqrt(2)  # two independent sources make the difference that is stated


@dataclass(frozen=True, slots=True, eq=False)
class HumSource:
    """What drives hum.

    Attributes
    ----------
    who
        The item, supply or circuit that it belongs to.
    figure
        Its strength; the range holds 95 %. [V or A]
    emf_v : float, (lines,)
        Rms of each line at the typical strength, behind its branch. [V]
    """

    cause: Cause
    who: str
    figure: Figure
    emf_v: NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Branch:
    """A conductor between two nodes, or the capacitance of a supply."""

    a: int
    b: int
    ohm: float
    farad: float | None = None

    def admittance_s(self, hz: NDArray[np.float64]) -> NDArray[np.complex128]:
        """At each line. [S]"""
        impedance_ohm = np.full(len(hz), self.ohm, dtype=np.complex128)
        if self.farad is not None:
            impedance_ohm += 1 / (2j * np.pi * hz * self.farad)
        return 1 / impedance_ohm


@dataclass(slots=True)
class Earths:
    """Branches of the ground network and the sources in them; items are its first nodes."""

    items: tuple[str, ...]
    node_count: int
    branches: list[Branch] = field(default_factory=list)
    found: list[HumSource] = field(default_factory=list)
    branch_of_source: list[int] = field(default_factory=list)
    alone: list[str] = field(default_factory=list)

    @property
    def sources(self) -> tuple[HumSource, ...]:
        """Everything that drives hum."""
        return tuple(self.found)

    @property
    def unstated(self) -> tuple[str, ...]:
        """Items of which nobody said where they hang."""
        return tuple(sorted(self.alone))

    def node(self) -> int:
        """A new node: a strip, or what a breaker feeds."""
        self.node_count += 1
        return self.node_count - 1

    def add(self, branch: Branch, *sources: HumSource) -> None:
        """A branch with the sources in series with it."""
        self.found += sources
        self.branch_of_source += [len(self.branches)] * len(sources)
        self.branches.append(branch)

    def admittance_s(self, hz: NDArray[np.float64]) -> NDArray[np.complex128]:
        """Nodal admittance of all branches, the main earth left out; (lines, nodes, nodes). [S]"""
        nodal_s = np.zeros((len(hz), self.node_count, self.node_count), dtype=np.complex128)
        for branch in self.branches:
            own_s = branch.admittance_s(hz)
            for one, other in ((branch.a, branch.b), (branch.b, branch.a)):
                if one != MAIN_EARTH:
                    nodal_s[:, one, one] += own_s
                    if other != MAIN_EARTH:
                        nodal_s[:, one, other] -= own_s
        return nodal_s

    def injected_a(self, hz: NDArray[np.float64]) -> NDArray[np.complex128]:
        """Current into each node for 1 V in each branch; (lines, nodes, branches). [A]"""
        injected = np.zeros((len(hz), self.node_count, len(self.branches)), dtype=np.complex128)
        for number, branch in enumerate(self.branches):
            own_s = branch.admittance_s(hz)
            for node, sign in ((branch.a, 1), (branch.b, -1)):
                if node != MAIN_EARTH:
                    injected[:, node, number] += sign * own_s
        return injected


def earths_of(rig: Rig, items: Sequence[str], mains: Mains) -> Earths:
    """Earth conductors and leakages of items, which are nodes in this order."""
    rows = {item: row for row, item in enumerate(items)}
    wiring = _Wiring(rig, mains, Earths(tuple(items), len(items)), rows)
    for item in items:
        wiring.connect(rig.items[item])
    return wiring.earths


@dataclass(slots=True)
class _Wiring:
    rig: Rig
    mains: Mains
    earths: Earths
    row_of: dict[str, int]
    strips: dict[str, int] = field(default_factory=dict)
    circuits: dict[str, int] = field(default_factory=dict)

    def connect(self, item: RigItem) -> None:
        """Whatever joins an item to the mains."""
        if item.plan.earth == "mains":
            strip = self._strip_of(item)
            emf = self._potential(Cause.STRIP, item.id, self.mains.strip)
            self.earths.add(Branch(self.row_of[item.id], strip, self.mains.cord.value), emf)
            self._leak_into_earth(item)
            if not self._is_stated(item.supply):
                self.earths.alone.append(item.id)
        elif item.plan.earth == "class-2":
            self._leak_through_windings(item)

    # --- earth conductors ---

    def _strip_of(self, item: RigItem) -> int:
        """The strip that feeds an item; one of its own where that is not stated."""
        key = f"supply {item.supply}" if item.supply is not None else f"item {item.id}"
        if key not in self.strips:
            self.strips[key] = self.earths.node()
            if item.supply is None:
                self._lead(self.strips[key], self._unknown_circuit(), item.id, self.mains.unstated)
            else:
                self._lead_of_supply(self.strips[key], item.supply)
        return self.strips[key]

    def _is_stated(self, name: str | None) -> bool:
        """Whether the show says on which circuit a supply hangs."""
        if name is None:
            return False
        supply = self.rig.show.supplies[name]
        return supply.circuit is not None or self._feeder(name) is not None

    def _feeder(self, name: str) -> int | None:
        """The item that a supply is plugged into, if it is one of these."""
        outlet = self.rig.show.supplies[name].outlet
        return self.row_of.get(item_of(outlet)) if is_address(outlet) else None

    def _lead_of_supply(self, strip: int, name: str) -> None:
        """From a strip to its circuit, or to the item that it is plugged into."""
        feeder, circuit = self._feeder(name), self.rig.show.supplies[name].circuit
        if self.rig.show.supplies[name].earth == "lost":
            return  # the strip ties its items together, and to nothing else
        if feeder is not None:
            self._lead(strip, feeder, name, self.mains.strip)
        elif circuit is None:
            self._lead(strip, self._unknown_circuit(), name, self.mains.unstated)
        else:
            self._lead(strip, self._circuit(circuit), name, self.mains.outlets)

    def _lead(self, strip: int, upstream: int, who: str, potential: Figure) -> None:
        emf = self._potential(Cause.OUTLETS, who, potential)
        self.earths.add(Branch(strip, upstream, self.mains.strip_lead.value), emf)

    def _unknown_circuit(self) -> int:
        """Where nobody said which: the first circuit that is stated, whose doubt is in the lead."""
        stated = (supply.circuit for supply in self.rig.show.supplies.values())
        return self._circuit(min((each for each in stated if each is not None), default=""))

    def _circuit(self, name: str) -> int:
        if name not in self.circuits:
            self.circuits[name] = self.earths.node()
            emf = self._potential(Cause.CIRCUITS, name, self.mains.circuits)
            wire = Branch(self.circuits[name], MAIN_EARTH, self.mains.circuit_wire.value)
            self.earths.add(wire, emf)
        return self.circuits[name]

    def _potential(self, cause: Cause, who: str, between: Figure) -> HumSource:
        """One of two like sources, which together make what stands between two earths."""
        emf_v = between.value * _OF_A_PAIR * self.mains.earth_spectrum
        return HumSource(cause, who, between, emf_v)

    # --- leakages ---

    def _leakage(self, item: RigItem, usual: Figure) -> Figure:
        """What is known of an item's leakage, else what is usual."""
        return self.mains.leakages.get(item.id, item.plan.leakage or usual)

    def _leak_into_earth(self, item: RigItem) -> None:
        """Filter capacitors from the line to the chassis."""
        leakage = self._leakage(item, self.mains.class_1)
        spectrum = self.mains.class_1_spectrum
        farad = self.mains.leakage_farad(leakage.value, spectrum, self.mains.volts)
        emf = HumSource(Cause.CLASS_1, item.id, leakage, self.mains.volts * spectrum)
        self.earths.add(Branch(self.row_of[item.id], MAIN_EARTH, 0.0, farad), emf)

    def _leak_through_windings(self, item: RigItem) -> None:
        """Half the mains, open circuit, through the capacitance of a two-pin supply."""
        leakage = self._leakage(item, self.mains.class_2)
        spectrum, open_v = self.mains.class_2_spectrum, self.mains.volts / 2
        farad = self.mains.leakage_farad(leakage.value, spectrum, open_v)
        whine = self.mains.charger
        self.earths.add(
            Branch(self.row_of[item.id], MAIN_EARTH, 0.0, farad),
            HumSource(Cause.CLASS_2, item.id, leakage, open_v * spectrum),
            HumSource(Cause.CHARGER, item.id, whine, whine.value * self.mains.charger_spectrum),
        )
