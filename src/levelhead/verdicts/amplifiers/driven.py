"""Loudspeakers behind the outputs that drive them, as the rules on both read them."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Set
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from levelhead.chain.graph.points import Edge
from levelhead.chain.limits.ceilings import NO_CURRENT_A_PER_V
from levelhead.circuit.drawn.islands import Island
from levelhead.circuit.limits.currents import Driver, leg_current_a_per_v
from levelhead.circuit.loads.loading import Output, terminal_response
from levelhead.circuit.solving.solved import Solved
from levelhead.gear.figures import Figure
from levelhead.quantity.bands import ONE_KHZ_BAND
from levelhead.rig.model import RigPort
from levelhead.verdicts.amplifiers.reached import reached_from
from levelhead.verdicts.read.doubts import strongest_way
from levelhead.verdicts.read.reading import Reading

__all__ = [
    "CAUTION",
    "TOUCHABLE_V",
    "Driven",
    "driven",
    "fed_by",
    "input_of",
    "loudspeaker_outputs",
]

TOUCHABLE_V: Final = 25.0  # rms, above, terminals count as hazardous; limits differ by local code
CAUTION: Final = (
    "Loudspeaker outputs of amplifiers carry voltages that can shock and start fires. Switch the "
    "amplifier off before any plug on that side is touched; fixed lines of 70 and 100 V are work "
    "for those licensed for it. Keep to local rules."
)


@dataclass(frozen=True, slots=True)
class Driven:
    """A loudspeaker, the socket by which it is fed, and the output that drives it most.

    Attributes
    ----------
    load, entry
        The loudspeaker itself, and the plugged socket of its item: often the same.
    output
        The plugged socket of the amplifier.
    row
        The stage behind it, which may be inside: before the transformer of a 100 V output.
    ceiling_v
        Largest sine of the stage behind it, by its volts. [V rms]
    ceiling
        The figure that says so.
    at_output, at_entry, at_load : complex, (bands,)
        Volts at each for 1 V of that stage.
    current_ends_v : (bands,)
        Volts of that stage at which its current ends; ``inf`` without a figure. [V rms]
    is_joined
        Whether another output drives the same wires: what a lead loses cannot be told then.
    """

    load: RigPort
    entry: RigPort
    output: RigPort
    row: int
    ceiling_v: float
    ceiling: Figure | None
    at_output: NDArray[np.complex128]
    at_entry: NDArray[np.complex128]
    at_load: NDArray[np.complex128]
    current_ends_v: NDArray[np.float64]
    is_joined: bool = False

    @property
    def current_ends_at_load_v(self) -> NDArray[np.float64]:
        """Volts at the loudspeaker at which the current of the amplifier ends, (bands,). [V rms]"""
        size = np.abs(self.at_load)
        return np.where(size > 0, self.current_ends_v * size, np.inf)

    @property
    def caution(self) -> str | None:
        """What to say where somebody is sent to these terminals."""
        return CAUTION if self.ceiling_v * abs(self.at_output[ONE_KHZ_BAND]) > TOUCHABLE_V else None


def fed_by(reading: Reading, each: Driven) -> tuple[Edge, ...]:
    """The way into the item that drives a loudspeaker, backwards from its output to its input.

    The last edge begins at the plugged socket; nothing where no signal comes.
    """
    solution, item = reading.solution, each.output.item.id
    way: list[Edge] = []
    for edge in reversed(strongest_way(solution, solution.number(each.load.address)).edges):
        source = solution.graph.points[edge.source]
        way.append(edge)
        port = reading.rig.ports.get(source.address)
        if port is not None and port.item.id == item and port.plan.role == "in":
            return tuple(way)
    return ()


def input_of(reading: Reading, each: Driven) -> tuple[str, ...]:
    """The socket by which a signal comes into the item that drives a loudspeaker, if one does."""
    way = fed_by(reading, each)
    return (reading.solution.graph.points[way[-1].source].address,) if way else ()


def loudspeaker_outputs(reading: Reading) -> Iterator[tuple[Island, Solved, RigPort]]:
    """Plugged outputs that are made for loudspeakers, each with its island."""
    for island, solved in zip(reading.solution.islands, reading.solution.solved, strict=True):
        for address in island.pins:
            port = reading.rig.ports.get(address)
            if port is not None and port.plan.role == "loudspeaker" and port.link is not None:
                yield island, solved, port


def driven(reading: Reading) -> Iterator[Driven]:
    """Every loudspeaker on an output made for loudspeakers."""
    ceilings = reading.own_ceilings_v
    found: dict[str, Driven] = {}
    reached: dict[str, frozenset[str]] = {}
    for island, solved, output in loudspeaker_outputs(reading):
        reached[output.address] = reached_from(reading.rig, island, output.address)
        for driver in dict.fromkeys((each.port, each.signal) for each in island.drives):
            if driver in ceilings and reading.rig.ports[driver[0]].item.id == output.item.id:
                for each in _on(reading, island, solved, output, driver, ceilings[driver]):
                    known = found.get(each.load.address)
                    if known is None or _rank(known, reached) < _rank(each, reached):
                        found[each.load.address] = each
    yield from found.values()


def _rank(each: Driven, reached: Mapping[str, Set[str]]) -> tuple[float, bool]:
    """By the volts that it brings; of taps of one winding (100 V and 4 ohm) by the wire."""
    volts = each.ceiling_v * float(np.abs(each.at_load).max())
    return volts, each.entry.address in reached[each.output.address]


def _on(
    reading: Reading,
    island: Island,
    solved: Solved,
    output: RigPort,
    driver: Output,
    ceiling_v: float,
) -> Iterator[Driven]:
    ports = [reading.rig.ports[each] for each in island.pins if each in reading.rig.ports]
    at_output = terminal_response(island, solved, driver, output.address)
    row = reading.solution.graph.wiring.drivers[Driver(*driver)]
    ceiling = reading.solution.graph.points[row].ceiling_figure
    ends_v = _current_ends_v(reading, island, solved, Driver(*driver))
    is_joined = len({each.port for each in island.drives}) > 1
    for load in ports:
        if not load.plan.is_load:
            continue
        own = [each for each in ports if each.item.id == load.item.id and each.link is not None]
        own.sort(key=lambda each: (each.plan.role != "in", each.address))
        if own:
            entry = load if load in own else own[0]
            at_entry = terminal_response(island, solved, driver, entry.address)
            at_load = terminal_response(island, solved, driver, load.address)
            yield Driven(
                load,
                entry,
                output,
                row,
                ceiling_v,
                ceiling,
                at_output,
                at_entry,
                at_load,
                ends_v,
                is_joined,
            )


def _current_ends_v(
    reading: Reading, island: Island, solved: Solved, driver: Driver
) -> NDArray[np.float64]:
    """Rms of the sine of each band at which the weakest leg of an output runs out of current.

    Where somebody has given the ceiling of an amplifier and not its current, the most that the
    type may have counts: less would make a loudspeaker look safe that is not.
    """
    current = reading.rig.ports[driver.port].plan.figures.get("current")
    row = reading.solution.graph.wiring.drivers[driver]
    ceiling = reading.solution.graph.points[row].ceiling_figure
    legs = np.abs(leg_current_a_per_v(island, solved, driver, driver)).max(axis=0)
    if current is None:
        return np.full(legs.shape, np.inf)
    is_known = ceiling is None or ceiling.source != "measured"
    most_a = current.value if is_known else current.high
    ends: NDArray[np.float64] = most_a / math.sqrt(2) / np.maximum(legs, NO_CURRENT_A_PER_V)
    return ends
