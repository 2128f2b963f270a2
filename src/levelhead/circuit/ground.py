"""The ground network: 0 V of every item, joined by screens and earths, driven by the mains.

Audio copper is drawn as for signals, but every item keeps a 0 V of its own. Each island is then
reduced to what it is between the 0 V of its items (an admittance matrix, no approximation), and
earth conductors, supplies and leakages are added between these few nodes. Node 0 is the main earth
of the building; the neutral is tied to it there.

Conductors are resistances. Above a few kilohertz the inductance of an earth loop lets less flow
than is computed here; what a screen's current does to the signal stays its resistance, because the
cores inside share its induction.

References
----------
.. [1] AES48-2005: screens are bonded to the chassis where they enter.
.. [2] B. Whitlock, "Balanced Lines in Audio Systems: Fact, Fiction, and Transformers", J. Audio
   Eng. Soc. 43 (1995): conversion of common-mode voltage by unequal impedances.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Final, TypeAlias

import numpy as np
from numpy.typing import NDArray

from levelhead.circuit.assembly import draw_rig
from levelhead.circuit.earths import Earths, HumSource, earths_of
from levelhead.circuit.islands import Island, cut
from levelhead.circuit.mains import BODY_OHM, MAINS_230, Mains
from levelhead.circuit.network import GROUND, Network, NetworkBuilder
from levelhead.circuit.sketch import Element, Sketch
from levelhead.circuit.solve import Solved, solve_networks
from levelhead.circuit.stack import by_kind
from levelhead.gear.connectors import CONNECTORS, signal_pins
from levelhead.gear.plan import PathPlan
from levelhead.rig.model import Node, Rig, RigItem, RigPort

__all__ = ["Ground", "GroundIsland", "GroundSketch", "Listening", "solve_ground"]

Complex: TypeAlias = NDArray[np.complex128]

_PROBE_OHM: Final = 1e-3  # through which an island is measured; it is taken off again
_LEAK_S: Final = 1e-12  # so that nothing floats
_MANY_PLUGS: Final = 2


@dataclass(slots=True)
class GroundSketch(Sketch):
    """A sketch in which no two items share their 0 V."""

    def zero_volts(self, item: RigItem) -> int:
        """0 V of an item, earthed or not."""
        return self.place(("0 V", item.id))


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


@dataclass(frozen=True, slots=True, eq=False)
class GroundIsland:
    """An island between the 0 V of its items.

    Attributes
    ----------
    items
        Whose 0 V it joins.
    nodes
        Nodes of the sketch, by node of the network.
    admittance_s : complex, (lines, items, items)
        Current into each 0 V per voltage of each. [S]
    reach : complex, (senses, items, lines)
        Voltage at a sense per voltage of each 0 V. [V/V]
    part_change : complex, (senses, elements, items, lines)
        Change of ``reach`` with the logarithm of each part's value. [V/V]
    """

    items: tuple[str, ...]
    listening: tuple[Listening, ...]
    nodes: Mapping[int, int]
    solved: Solved
    admittance_s: Complex
    reach: Complex
    part_change: Complex


@dataclass(frozen=True, eq=False)
class Ground:
    """A solved ground network.

    Attributes
    ----------
    zero_v : complex, (items, sources, lines)
        Of each item's 0 V against main earth, by each source alone at its typical strength. [V]
    admittance_s : complex, (lines, nodes, nodes)
        Of the whole network, the main earth left out; items come first. [S]
    unstated
        Earthed items of which nobody said on which circuit they hang.
    places
        Node of the sketch at each pin of each cable.
    """

    rig: Rig
    mains: Mains
    items: tuple[str, ...]
    sources: tuple[HumSource, ...]
    unstated: tuple[str, ...]
    islands: tuple[GroundIsland, ...]
    zero_v: Complex
    admittance_s: Complex
    places: Mapping[Node, int]

    @cached_property
    def row_of(self) -> Mapping[str, int]:
        """Row of each item in ``zero_v``."""
        return {item: row for row, item in enumerate(self.items)}

    def volts_between(self, one: str, other: str) -> float:
        """Rms between the 0 V of two items, all sources and lines. [V]"""
        drop = self.zero_v[self.row_of[one]] - self.zero_v[self.row_of[other]]
        return float(np.linalg.norm(drop))

    def touch_a(self, item: str, *, body_ohm: float = BODY_OHM) -> float:
        """Current through a body from the 0 V of an item to main earth at mains frequency. [A]

        It tells of leakages only: a fault of insulation cannot be seen from here.
        """
        row = self.row_of[item]
        injected = np.zeros(len(self.admittance_s[0]), dtype=np.complex128)
        injected[row] = 1.0
        own_ohm = np.linalg.solve(self.admittance_s[0], injected)[row]
        open_v = float(np.linalg.norm(self.zero_v[row, :, 0]))
        return open_v / abs(complex(own_ohm) + body_ohm)


def solve_ground(rig: Rig, mains: Mains = MAINS_230) -> Ground:
    """Solve the ground network of everything that is plugged.

    Examples
    --------
    >>> from levelhead.gear.book import load_book
    >>> from levelhead.rig.build import build_rig
    >>> from levelhead.show.model import Cable, Item, Link, Show
    >>> show = Show(
    ...     "Duo",
    ...     items={"keys": Item("keys", "keyboard-stereo"), "desk": Item("desk", "mixer-compact")},
    ...     links=(
    ...         Link({"a": "keys.out-left", "b": "desk.ch1.line"}, (Cable("cable-jack", 3.0),)),
    ...     ),
    ... )
    >>> ground = solve_ground(build_rig(show, load_book()))
    >>> sorted(ground.items)
    ['desk', 'keys']
    """
    sketch = draw_rig(rig, GroundSketch())
    _bond_bare_ports(sketch, rig)
    _put_drives_to_rest(sketch)
    _listen(sketch, rig)
    shared = {node: item for item, node in _shared_zeros(sketch, rig)}
    pieces = [_Piece.of(island, shared) for island in cut(sketch, frozenset({GROUND, *shared}))]
    pieces = [piece for piece in pieces if piece.terminals]
    islands = _reduced(pieces, shared, mains)
    earths = earths_of(rig, tuple(shared.values()), mains)
    places = {place: node for place, node in sketch.places if place[0] == "cable"}
    return _joined(rig, mains, islands, earths, places)


# --- drawing ---


def _bond_bare_ports(sketch: Sketch, rig: Rig) -> None:
    """A port without a circuit of its own (a digital one) still has its screen on the chassis."""
    for link in rig.links:
        for address in link.ports:
            port = rig.ports[address]
            is_bare = port.plan.circuit is None and port.plan.joined is None
            if is_bare and port.item.plan.earth != "none" and not port.block.plan.parts:
                pin = sketch.pin(address, CONNECTORS[port.plan.socket].ground)
                figure = port.plan.figures["ground"]
                zero = sketch.zero_volts(port.item)
                sketch.resistor(pin, zero, figure.value, tag=f"{address}.ground", figure=figure)


def _put_drives_to_rest(sketch: Sketch) -> None:
    """Outputs that play nothing are their impedances."""
    for drive in sketch.drives:
        sketch.resistor(drive.plus, drive.minus, drive.ohm, tag=drive.tag, figure=drive.figure)
    sketch.drives = []


def _inputs(rig: Rig) -> Iterator[tuple[str, RigPort]]:
    """Every port (with its signal, if stereo) at which a path of an item begins."""
    for item in rig.items.values():
        for block, path in item.paths():
            for name, signal in _starts(path):
                own = name in block.plan.ports
                port = f"{item.id}.{block.address(name) if own else name}"
                yield (port if signal is None else f"{port}.{signal}"), rig.ports[port]


def _starts(path: PathPlan) -> Iterator[tuple[str, str | None]]:
    for origin in path.origins:
        if origin.port is not None:
            yield origin.port.port, origin.port.signal


def _listen(sketch: Sketch, rig: Rig) -> None:
    """Keep the senses of inputs; a balanced one is split into what its legs differ in and share."""
    drawn, sketch.senses = sketch.senses, {}
    for address, port in dict(_inputs(rig)).items():
        if address not in drawn:
            continue
        pins = signal_pins(port.plan.socket)
        if "cmrr" not in port.plan.figures or pins.minus == pins.ground:
            sketch.senses[address] = drawn[address]
            continue
        plus, minus = (sketch.pin(port.address, pin) for pin in (pins.plus, pins.minus))
        zero = sketch.zero_volts(port.item)
        sketch.sense(address, ((plus, 1.0), (minus, -1.0)))
        sketch.sense(_common(address), ((plus, 0.5), (minus, 0.5), (zero, -1.0)))


def _common(address: str) -> str:
    return f"{address}~common"


def _shared_zeros(sketch: Sketch, rig: Rig) -> Iterator[tuple[str, int]]:
    """0 V that hang on the mains, or on more than one plug; others are inside an island."""
    plugs: dict[str, int] = {}
    for link in rig.links:
        for address in link.ports:
            owner = rig.ports[address].item.id
            plugs[owner] = plugs.get(owner, 0) + 1
    for place, node in list(sketch.places):
        if place[0] == "0 V":
            item = rig.items[str(place[1])]
            if item.plan.earth != "none" or plugs.get(item.id, 0) >= _MANY_PLUGS:
                yield item.id, node


# --- islands ---


@dataclass(frozen=True, slots=True, eq=False)
class _Piece:
    """An island as a network whose sources are its shared 0 V."""

    network: Network
    terminals: tuple[int, ...]
    nodes: Mapping[int, int]
    senses: tuple[str, ...]

    @classmethod
    def of(cls, island: Island, shared: Mapping[int, str]) -> _Piece:
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
        return cls(builder.build(), tuple(terminals), numbers, tuple(island.senses))


def _draw(builder: NetworkBuilder, element: Element, a: int, b: int) -> None:
    (builder.resistor, builder.capacitor, builder.inductor)[element.kind](a, b, element.value)


def _reduced(
    pieces: Sequence[_Piece], shared: Mapping[int, str], mains: Mains
) -> tuple[GroundIsland, ...]:
    """Islands between their 0 V; those of equal content are worked out once."""
    solved = solve_networks([piece.network for piece in pieces], mains.lines_hz)
    known: dict[int, tuple[Complex, Complex, Complex]] = {}
    islands = []
    for piece, each in zip(pieces, solved, strict=True):
        if id(each) not in known:
            known[id(each)] = _between_zeros(each)
        items = tuple(shared[terminal] for terminal in piece.terminals)
        rows = tuple(_listening(piece.senses))
        islands.append(GroundIsland(items, rows, piece.nodes, each, *known[id(each)]))
    return tuple(islands)


def _listening(senses: Sequence[str]) -> Iterator[Listening]:
    rows = {address: row for row, address in enumerate(senses)}
    for address, row in rows.items():
        if "~" not in address:
            yield Listening(address, address, row, rows.get(_common(address)))


def _between_zeros(solved: Solved) -> tuple[Complex, Complex, Complex]:
    """Admittance, reach and change of reach of an island, with the probes taken off.

    Through probes ``r`` the currents are ``I = G E`` and the voltages ``V = E - r I``, so that
    ``Y = G (1 - r G)^-1`` and ``E = (1 + r Y) V``.
    """
    through_s = np.moveaxis(solved.source_current, -1, 0)
    one = np.eye(through_s.shape[1])
    admittance_s = through_s @ np.linalg.inv(one - _PROBE_OHM * through_s)
    behind = one + _PROBE_OHM * admittance_s
    reach = np.einsum("stl,ltu->sul", solved.transfer, behind)
    part_change = np.einsum("setl,ltu->seul", _part_changes(solved), behind)
    return admittance_s, reach, part_change


def _part_changes(solved: Solved) -> Complex:
    """``Solved.element_change`` of all senses and sources; (senses, elements, sources, lines)."""
    network = solved.network
    a, b = network.element_nodes.T
    drop = solved.node_transfer[a] - solved.node_transfer[b]
    reach_ohm = solved.transfer_ohm[:, a] - solved.transfer_ohm[:, b]
    changes: Complex = (_fall_s(network, solved.hz) * reach_ohm)[:, :, None] * drop[None]
    return changes


def _fall_s(network: Network, hz: NDArray[np.float64]) -> Complex:
    """How far each admittance falls with the logarithm of its ohm, F or H; (elements, lines)."""
    conductance_s, capacitance_f, inverse_h = by_kind(network.element_kind, network.element_value)
    omega = 2 * np.pi * hz
    fall_s: Complex = conductance_s[:, None] - 1j * np.outer(capacitance_f, omega)
    return fall_s - 1j * np.outer(inverse_h, 1 / omega)


# --- the whole ---


def _joined(
    rig: Rig,
    mains: Mains,
    islands: tuple[GroundIsland, ...],
    earths: Earths,
    places: Mapping[Node, int],
) -> Ground:
    """Islands and earths as one network, solved for every source."""
    items = earths.items
    row_of = {item: row for row, item in enumerate(items)}
    admittance_s = earths.admittance_s(mains.lines_hz)
    for island in islands:
        rows = np.array([row_of[item] for item in island.items])
        admittance_s[:, rows[:, None], rows] += island.admittance_s
    diagonal = np.einsum("lii->li", admittance_s)  # a view
    diagonal += _LEAK_S
    zero_v = np.linalg.solve(admittance_s, earths.injected_a(mains.lines_hz))
    by_source = np.moveaxis(zero_v, 0, -1)[: len(items), earths.branch_of_source]
    return Ground(
        rig=rig,
        mains=mains,
        items=items,
        sources=earths.sources,
        unstated=earths.unstated,
        islands=islands,
        zero_v=by_source * np.array([source.emf_v for source in earths.sources]),
        admittance_s=admittance_s,
        places=places,
    )
