"""Direct current at one port: volts, current through what is behind it, and what charge can do.

Phantom power and plug-in power are the supplies. A coil between two fed legs carries nothing while
both stand alike; with a leg lost or grounded its wire is all that limits the current. Behind each
leg of a phantom-fed input stands a capacitor that holds the leg's volts. Where a plug grounds one
leg before the other (hot plugging a jack, a patch bay) it lets them go through whatever lies
between the legs, in some milliseconds.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field, replace
from functools import cached_property

from levelhead.circuit.direct.phantom import PhantomArrival, PhantomFlow, phantom_flow, touched
from levelhead.circuit.drawn.islands import Island
from levelhead.circuit.network import GROUND

__all__ = ["IslandDirect", "PortDirect"]


@dataclass(frozen=True)
class PortDirect:
    """Direct current at a port, or at one signal of it.

    Attributes
    ----------
    volts
        Between its signal pins. [V]
    common_v
        Mean of both, against its ground pin. [V]
    current_a
        Largest current through what is behind the port: driven back into an output, through a
        coil or a winding, drawn by what lives on it; of an input that feeds, what it gives. [A]
    let_go_j, let_go_c
        Energy and charge of the largest blocking capacitor that could let go here. [J, C]
    """

    at: str
    volts: float
    common_v: float
    current_a: float
    let_go_j: float
    let_go_c: float
    _surge_a: Callable[[], float] = field(repr=False, compare=False)

    @cached_property
    def surge_a(self) -> float:
        """Peak current through what is behind the port when a leg is grounded first. [A]

        Worked out when somebody asks: it takes the island solved again for each leg.
        """
        return self._surge_a()


@dataclass(frozen=True, eq=False)
class IslandDirect:
    """Direct current in an island, worked out when somebody asks, and kept with the island."""

    island: Island
    _known: dict[str, PortDirect] = field(default_factory=dict)

    @cached_property
    def flow(self) -> PhantomFlow:
        """Every direct current of the island."""
        return phantom_flow(self.island)

    @property
    def arrivals(self) -> tuple[PhantomArrival, ...]:
        """Volts and current at every item of the island that wants phantom power."""
        return self.flow.arrivals if self.island.loads else ()

    @cached_property
    def touches(self) -> tuple[PhantomFlow, ...]:
        """Each moment when one leg of a supply is grounded and another one holds its volts."""
        return tuple(_touches(self.island, self.flow))

    def at(self, address: str) -> PortDirect:
        """Direct current at one of its ports, or one signal of it."""
        if address not in self._known:
            self._known[address] = _port_direct(self, address)
        return self._known[address]

    def by_supply(self) -> dict[str, IslandDirect]:
        """What each supply does with the volts of the others taken away, by its port."""
        ports = dict.fromkeys(feed.port for feed in self.island.feeds)
        return {port: IslandDirect(_fed_by(self.island, port)) for port in ports}

    def surge_a(self, address: str) -> float:
        """Peak current through what is behind a port when a leg is grounded first. [A]"""
        currents = (_behind_a(self.island, each, address) for each in self.touches)
        return max(currents, default=0.0)


def _fed_by(island: Island, port: str) -> Island:
    """An island with one supply on; the resistors of the others stay."""
    feeds = [each if each.port == port else replace(each, volts=0.0) for each in island.feeds]
    return replace(island, feeds=feeds)


def _port_direct(direct: IslandDirect, address: str) -> PortDirect:
    """Direct current at a port (or ``port.signal``) of an island.

    References
    ----------
    Ohm's law in the island's network; energy and charge of a capacitor, ``C U^2 / 2`` and ``C U``.
    """
    island, flow = direct.island, direct.flow
    plus, minus, ground = (flow.node_v.get(node, 0.0) for node in island.pins[address])
    largest = max(_blocked(island, flow), key=lambda held: held[0] * held[1] ** 2, default=(0, 0))
    farad, held_v = largest
    return PortDirect(
        at=address,
        volts=plus - minus,
        common_v=(plus + minus) / 2 - ground,
        current_a=_current_a(island, flow, address),
        let_go_j=farad * held_v**2 / 2,
        let_go_c=farad * held_v,
        _surge_a=lambda: direct.surge_a(address),
    )


def _blocked(island: Island, flow: PhantomFlow) -> Iterator[tuple[float, float]]:
    """Blocking capacitors of fed legs, each with the volts that it holds."""
    for feed, leg in zip(island.feeds, flow.legs, strict=True):
        if feed.blocking_f > 0:
            yield feed.blocking_f, leg.volts


def _touches(island: Island, flow: PhantomFlow) -> Iterator[PhantomFlow]:
    """The moment when one leg of a supply is grounded and another one still holds its volts."""
    legs = list(zip(island.feeds, flow.legs, strict=True))
    for charged, leg in legs:
        others = [
            feed.node for feed, _ in legs if feed.port == charged.port and feed.node != charged.node
        ]
        if charged.blocking_f > 0 and others:
            yield touched(island, {charged.node: leg.volts, **dict.fromkeys(others, 0.0)})


def _current_a(island: Island, flow: PhantomFlow, address: str) -> float:
    """Current through what is behind a port, or that it gives."""
    drawn = [each.current_a for each in flow.arrivals if each.port == address]
    given = sum(leg.current_a for leg in flow.legs if leg.port == address)
    return max([_behind_a(island, flow, address), given, *drawn])


def _behind_a(island: Island, flow: PhantomFlow, address: str) -> float:
    """Largest current through the emfs of an output, or through a winding at the port's pins."""
    driven = [
        abs(each.current_a)
        for each in flow.back_fed
        if address in (each.port, f"{each.port}.{each.signal}")
    ]
    plus, minus, ground = island.pins[address]
    ends = {plus, minus} - {GROUND, ground}
    wound = [
        abs(current_a)
        for winding, both in zip(island.windings, flow.winding_a, strict=True)
        for nodes, current_a in zip((winding.nodes[:2], winding.nodes[2:]), both, strict=True)
        if ends & set(nodes)
    ]
    wire = [
        abs(flow.node_v[island.drawn[each].a] - flow.node_v[island.drawn[each].b])
        / island.element_values[each]
        for each in _tagged(island, address, "winding-resistance")
    ]
    return max([0.0, *driven, *wound, *wire])


def _tagged(island: Island, address: str, figure: str) -> Iterator[int]:
    """Numbers of the elements that stand for a figure of a port."""
    for number, element in enumerate(island.drawn):
        is_such = element.tag.endswith(f".{figure}")
        if is_such and island.elements[number].tag == f"{address}.{figure}":
            yield number
