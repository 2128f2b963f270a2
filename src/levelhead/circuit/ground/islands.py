"""Islands of the ground network, each reduced to what it is between the 0 V of its items."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Final, TypeAlias

import numpy as np
from numpy.typing import NDArray

from levelhead.circuit.drawn.islands import Island
from levelhead.circuit.drawn.sketch import Element
from levelhead.circuit.ground.sketch import common_of
from levelhead.circuit.network import GROUND, Kind, Network, NetworkBuilder
from levelhead.circuit.placed.likeness import Names
from levelhead.circuit.solving.solve import solve_networks
from levelhead.circuit.solving.solved import Solved
from levelhead.circuit.solving.stack import by_kind

__all__ = ["BetweenZeros", "GroundIsland", "Listening", "Reduced", "reduced"]

Complex: TypeAlias = NDArray[np.complex128]
Real: TypeAlias = NDArray[np.float64]

_PROBE_OHM: Final = 1e-3  # through which an island is measured; it is taken off again

# Unlikeness of parts that should be equal, standard deviation. Common practice: 1 % for film
# resistors, 20 % for electrolytics, of which half between two of one batch.
RESISTOR_SPREAD: Final = 0.01
CAPACITOR_SPREAD: Final = 0.1


@dataclass(frozen=True, slots=True)
class Listening:
    """An input as hum sees it: rows of the island's senses.

    Attributes
    ----------
    between
        What the input takes as signal.
    common
        What both legs of a balanced input share, against its 0 V.
    """

    address: str
    port: str
    between: int
    common: int | None


@dataclass(frozen=True, eq=False)
class BetweenZeros:
    """A solved island with its probes taken off, worked out as far as somebody asks.

    Through probes ``r`` the currents are ``I = G E`` and the voltages ``V = E - r I``, so that
    ``Y = G (1 - r G)^-1`` and ``E = (1 + r Y) V``. Names and shapes as in ``GroundIsland``.
    """

    solved: Solved

    def __repr__(self) -> str:
        return f"BetweenZeros({self.solved!r})"

    @cached_property
    def admittance_s(self) -> Complex:
        """Current into each 0 V per voltage of each. [S]"""
        through_s = np.moveaxis(self.solved.source_current, -1, 0)
        one = np.eye(through_s.shape[1])
        admittance_s: Complex = through_s @ np.linalg.inv(one - _PROBE_OHM * through_s)
        return admittance_s

    @cached_property
    def _behind(self) -> Complex:
        """Emf before each probe per voltage behind each; (lines, items, items)."""
        return np.eye(self.admittance_s.shape[1]) + _PROBE_OHM * self.admittance_s

    @cached_property
    def reach(self) -> Complex:
        """Voltage at a sense per voltage of each 0 V. [V/V]"""
        reach: Complex = np.einsum("stl,ltu->sul", self.solved.transfer, self._behind)
        return reach

    def unlike(self, senses: tuple[int, ...]) -> Mapping[int, Complex]:
        """What parts that are off by their spreads make of the potentials, for some senses.

        Mean squares ``sum |c v|^2`` over the parts are ``v* (sum c* c) v``: one small matrix for
        all of them, of the potentials against the first; (items - 1, items - 1, lines). What each
        part does by itself is much larger, and let go.
        """
        if senses not in self._unlike:
            changes = np.einsum("setl,ltu->seul", _part_changes(self.solved), self._behind)
            spread = _spreads(self.solved.network)[:, None, None]
            self._unlike[senses] = {each: _form(changes[each, :, 1:] * spread) for each in senses}
        return self._unlike[senses]

    @cached_property
    def _unlike(self) -> dict[tuple[int, ...], Mapping[int, Complex]]:
        return {}


@dataclass(frozen=True, slots=True, eq=False)
class GroundIsland:
    """An island between the 0 V of its items.

    Attributes
    ----------
    items
        Whose 0 V it joins.
    nodes
        Nodes of the network, by node of the sketch.
    couples
        Whether anything flows through it: between two 0 V, or to the main earth.
    key
        Of the content of its network.
    between
        What it is between the 0 V of its items; shared by islands of equal content.
    """

    items: tuple[str, ...]
    listening: tuple[Listening, ...]
    nodes: Mapping[int, int]
    couples: bool
    key: bytes
    between: BetweenZeros

    def __repr__(self) -> str:
        return f"GroundIsland({', '.join(self.items)})"

    @property
    def solved(self) -> Solved:
        """Its network, solved."""
        return self.between.solved

    @property
    def admittance_s(self) -> Complex:
        """Current into each 0 V per voltage of each, (lines, items, items). [S]"""
        return self.between.admittance_s

    @property
    def reach(self) -> Complex:
        """Voltage at a sense per voltage of each 0 V, (senses, items, lines). [V/V]"""
        return self.between.reach

    def unlike(self, place: Listening) -> Complex:
        """Form of what parts that are off by their spreads bring to an input, as ``BetweenZeros``.

        (items - 1, items - 1, lines)
        """
        return self.between.unlike(tuple(each.between for each in self.listening))[place.between]


@dataclass(frozen=True, slots=True, eq=False)
class Reduced:
    """An island as a network whose sources are its shared 0 V."""

    network: Network
    nodes: Mapping[int, int]
    senses: tuple[str, ...]
    items: tuple[str, ...]
    couples: bool

    @classmethod
    def of(cls, island: Island, shared: Mapping[int, str]) -> Reduced:
        """The network of an island; ``shared`` are the items by the node of their 0 V."""
        builder = NetworkBuilder()
        numbers = {GROUND: GROUND}
        terminals: list[int] = []

        def node(index: int) -> int:
            if index not in numbers:
                numbers[index] = builder.node()
                if index in shared:
                    terminals.append(index)
            return numbers[index]

        for winding in island.windings:
            plus, minus, other_plus, other_minus = (node(index) for index in winding.nodes)
            builder.transformer((plus, minus), (other_plus, other_minus), winding.figures)
        for element in island.elements:
            _draw(builder, element, node(element.a), node(element.b))
        for weights in island.senses.values():
            builder.sense({node(index): weight for index, weight in weights.items()})
        for terminal in terminals:
            builder.source(numbers[terminal], GROUND, _PROBE_OHM)
        items = tuple(shared[terminal] for terminal in terminals)
        couples = len(items) > 1 or _is_earthed(island)
        return cls(builder.build(), numbers, tuple(island.senses), items, couples)

    def placed(self, names: Names, value: Real | None) -> Reduced:
        """The same in a piece of this shape, with values of its elements if they are others."""
        return replace(
            self,
            network=self.network if value is None else self.network.revalued(value),
            senses=tuple(_renamed(address, names) for address in self.senses),
            items=tuple(names.items[item] for item in self.items),
        )


def _renamed(sense: str, names: Names) -> str:
    """A sense of a port, or of what its legs share, in another piece."""
    common = common_of("")
    return names.sense(sense.removesuffix(common)) + (common if sense.endswith(common) else "")


def _is_earthed(island: Island) -> bool:
    """Whether a part of it leads to the main earth."""
    ends = (end for each in island.elements for end in (each.a, each.b))
    windings = (end for each in island.windings for end in each.nodes)
    return GROUND in ends or GROUND in windings


def _draw(builder: NetworkBuilder, element: Element, a: int, b: int) -> None:
    (builder.resistor, builder.capacitor, builder.inductor)[element.kind](a, b, element.value)


def reduced(
    pieces: Iterable[Iterable[Reduced]],
    hz: Real,
    before: Iterable[GroundIsland] = (),
) -> list[tuple[GroundIsland, ...]]:
    """Islands of each piece between their shared 0 V; one without any is left out.

    Those of equal content are worked out once; those that were worked out ``before`` at the same
    frequencies are taken from there.
    """
    joined = [[(each, each.network.key) for each in piece if each.items] for piece in pieces]
    known = {each.key: each.between for each in before}
    fresh = {key: one.network for piece in joined for one, key in piece if key not in known}
    solved = solve_networks(list(fresh.values()), hz, keeps_reach=True)  # fields act on it
    known |= {key: BetweenZeros(each) for key, each in zip(fresh, solved, strict=True)}
    return [tuple(_between(each, key, known[key]) for each, key in piece) for piece in joined]


def _between(one: Reduced, key: bytes, between: BetweenZeros) -> GroundIsland:
    listening = tuple(_listening(one.senses))
    return GroundIsland(one.items, listening, one.nodes, one.couples, key, between)


def _listening(senses: Sequence[str]) -> Iterator[Listening]:
    rows = {address: row for row, address in enumerate(senses)}
    for address, row in rows.items():
        if "~" not in address:
            yield Listening(address, address, row, rows.get(common_of(address)))


def _part_changes(solved: Solved) -> Complex:
    """``Solved.element_change`` of all senses and sources; (senses, elements, sources, lines)."""
    network = solved.network
    a, b = network.element_nodes.T
    drop = solved.node_transfer[a] - solved.node_transfer[b]
    reach_ohm = solved.transfer_ohm[:, a] - solved.transfer_ohm[:, b]
    changes: Complex = (_fall_s(network, solved.hz) * reach_ohm)[:, :, None] * drop[None]
    return changes


def _spreads(network: Network) -> Real:
    """How far each part may be off, as a share of its value; (elements,)."""
    is_capacitor = network.element_kind == Kind.CAPACITOR
    return np.where(is_capacitor, CAPACITOR_SPREAD, RESISTOR_SPREAD)


def _form(change: Complex) -> Complex:
    """``sum c* c`` of (parts, items, lines); (items, items, lines)."""
    form: Complex = np.einsum("etl,eul->tul", change.conj(), change)
    return form


def _fall_s(network: Network, hz: Real) -> Complex:
    """How far each admittance falls with the logarithm of its ohm, F or H; (elements, lines)."""
    conductance_s, capacitance_f, inverse_h = by_kind(network.element_kind, network.element_value)
    omega = 2 * np.pi * hz
    fall_s: Complex = conductance_s[:, None] - 1j * np.outer(capacitance_f, omega)
    return fall_s - 1j * np.outer(inverse_h, 1 / omega)
