"""From a rig with solved islands to the wiring of its chain.

A stage becomes a way in ``_stages``, an origin is joined in ``sources.joins``, an output
meets its island in ``_crossed``; nothing else adds ways but the crossings of mixers.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from levelhead.chain.copper.passages import Passages
from levelhead.chain.graph.points import UNITS, Through
from levelhead.chain.wired.banks import Bank, banks_of
from levelhead.chain.wired.digital import digital_inputs, digital_ways
from levelhead.chain.wired.lanes import Lane, lanes, leaving
from levelhead.chain.wired.mixing import Strips, crossings
from levelhead.chain.wired.packets import packet_inputs, packet_ways
from levelhead.chain.wired.sources import Starts, add_sources, joins
from levelhead.chain.wired.wiring import (
    NONE,
    PointColumns,
    Whole,
    Wires,
    Wiring,
    unit_of_socket,
    wires,
)
from levelhead.circuit.limits.currents import Driver
from levelhead.gear.figures import Figure
from levelhead.gear.plan import Target
from levelhead.rig.model import Rig

__all__ = ["wire_up"]


@dataclass(slots=True)
class _Numbers:
    """Numbers of names, given as they are asked for."""

    known: dict[str, int] = field(default_factory=dict)

    def of(self, name: str) -> int:
        return self.known.setdefault(name, len(self.known))


class _Joined(NamedTuple):
    """Ways into the first stages of paths, and the gains that inputs have before them, by way."""

    ways: Wires
    figures: dict[int, Figure]


class _Crossed(NamedTuple):
    """Ways through islands, with the island and output of each, and its row among all gains."""

    ways: Wires
    throughs: list[Through]
    rows: Whole


def wire_up(rig: Rig, passages: Sequence[Passages], dead: frozenset[str]) -> Wiring:
    """Wiring of a rig whose islands are solved; items in ``dead`` have no power, pass nothing."""
    sockets = _sockets(rig, passages)
    banks = tuple(banks_of(lanes(rig), len(sockets)))
    controls = _Numbers()
    first_loose = len(sockets) + sum(bank.numbers.size for bank in banks)
    starts = Starts(first_loose)
    joined = _joined(banks, sockets, starts, dead)
    silent = _silent(banks, joined.ways, dead, first_loose)
    drivers = _drivers(banks)
    numbers = digital_ways(rig, drivers, sockets, passages)
    parts = [
        joined.ways,
        *(_stages(bank, sockets, dead) for bank in banks),
        *_mixed(rig, banks, controls, dead),
        _through_air(rig, starts),
        _packets(rig, drivers, sockets),
        wires(numbers.source, numbers.target),
    ]
    crossed = _crossed(drivers, sockets, passages)
    columns = _columns(rig, sockets, banks, starts, controls)
    return Wiring(
        rig=rig,
        sockets=sockets,
        banks=banks,
        drivers=drivers,
        silent=np.pad(silent, (0, len(starts.points))),
        loose=tuple(starts.points),
        ears=starts.ears,
        columns=columns,
        ways=Wires.together([*parts, crossed.ways]),
        controls=tuple(controls.known),
        first_through=sum(len(part) for part in parts),
        throughs=crossed.throughs,
        through_row=crossed.rows,
        digital=numbers,
        origin_figures=joined.figures,
        components=tuple(starts.components),
        entries=tuple(starts.entries),
    )


def _sockets(rig: Rig, passages: Iterable[Passages]) -> dict[str, int]:
    """Numbers of what is sensed on islands: the first points, then channels of digital inputs."""
    addresses = [address for island in passages for address in island.senses]
    addresses += digital_inputs(rig)
    addresses += packet_inputs(rig)
    return {address: number for number, address in enumerate(addresses)}


def _mixed(
    rig: Rig, banks: Sequence[Bank], controls: _Numbers, dead: frozenset[str]
) -> Iterator[Wires]:
    """Ways into the sums of every item that has power."""
    strips = Strips(banks)
    for item in rig.items.values():
        if item.id not in dead:
            yield from crossings(rig, item, strips, controls.of)


def _through_air(rig: Rig, starts: Starts) -> Wires:
    """Ways from what sounds to what hears it."""
    air = np.array(list(add_sources(rig, starts)), dtype=np.float64).reshape(-1, 4).T
    return wires(air[0], air[1], factor=air[2], delay_ns=air[3])


def _packets(rig: Rig, drivers: Mapping[Driver, int], sockets: Mapping[str, int]) -> Wires:
    """Ways of channels over a network or USB."""
    ways = np.array(list(packet_ways(rig, drivers, sockets)), dtype=np.int64).reshape(-1, 2)
    return wires(*ways.T)


def _joined(
    banks: Sequence[Bank], sockets: Mapping[str, int], starts: Starts, dead: frozenset[str]
) -> _Joined:
    """Ways into the first stage of every path that has power."""
    found = [
        (join, first)
        for bank in banks
        for lane, first in zip(bank.lanes, bank.numbers[:, 0].tolist(), strict=True)
        if _has_power(lane, dead)
        for join in joins(lane, sockets, starts)
    ]
    ways = wires(
        [join.source for join, _ in found],
        [first for _, first in found],
        factor=[join.factor for join, _ in found],
        is_stage=True,
    )
    figures = {n: join.figure for n, (join, _) in enumerate(found) if join.figure is not None}
    return _Joined(ways, figures)


def _has_power(lane: Lane, dead: frozenset[str]) -> bool:
    """Whether a path passes anything; a cone is driven by the signal itself."""
    return lane.item.id not in dead or lane.path.to_air


def _stages(bank: Bank, sockets: Mapping[str, int], dead: frozenset[str]) -> Wires:
    """From each stage to the next. A response, or a delay, of a stage belongs to these ways."""
    is_live = [_has_power(lane, dead) for lane in bank.lanes]
    before = bank.numbers[:, :-1].copy()
    for column, stage in enumerate(bank.path.stages):
        if stage.insert is not None and column:
            before[:, column - 1] = _returning(bank, stage.insert.back, column - 1, sockets)
    return wires(before[is_live], bank.numbers[is_live, 1:], is_stage=True)


def _returning(bank: Bank, back: Target, column: int, sockets: Mapping[str, int]) -> list[int]:
    """What feeds a stage with an insert: what comes back at its socket, else the stage before."""
    before = zip(bank.lanes, bank.numbers[:, column].tolist(), strict=True)
    return [sockets.get(lane.sensed_at(back), number) for lane, number in before]


def _silent(
    banks: Sequence[Bank], joined: Wires, dead: frozenset[str], points: int
) -> NDArray[np.bool_]:
    """Stages of paths without power, or that begin with nothing; a sum begins with the mix."""
    begins = np.zeros(points, dtype=bool)
    begins[joined.target] = True
    silent = np.zeros(points, dtype=bool)
    for bank in banks:
        is_live = begins[bank.numbers[:, 0]]
        if any(origin.kind == "mix" for origin in bank.path.origins):
            is_live = np.array([_has_power(lane, dead) for lane in bank.lanes])
        silent[bank.numbers] = ~is_live[:, None]
    return silent


def _drivers(banks: Iterable[Bank]) -> dict[Driver, int]:
    """Stage that drives each port by which a path leaves: its last one, or one with an insert."""
    found: dict[Driver, int] = {}
    for bank in banks:
        for target, column in leaving(bank.path):
            for lane, number in zip(bank.lanes, bank.numbers[:, column].tolist(), strict=True):
                found[Driver(lane.port_of(target), lane.signal_of(target))] = number
    return found


def _crossed(
    drivers: Mapping[Driver, int], sockets: Mapping[str, int], passages: Sequence[Passages]
) -> _Crossed:
    """From every output of an island to everything that is sensed on it."""
    found: list[tuple[int, int, int]] = []
    throughs: list[Through] = []
    row = 0
    for number, island in enumerate(passages):
        for sense in island.senses:
            for driver in island.drivers:
                if driver in drivers:
                    found.append((drivers[driver], sockets[sense], row))
                    throughs.append(Through(number, *driver))
                row += 1
    columns = np.array(found, dtype=np.int64).reshape(-1, 3)
    return _Crossed(wires(columns[:, 0], columns[:, 1]), throughs, columns[:, 2])


def _columns(
    rig: Rig,
    sockets: Mapping[str, int],
    banks: Sequence[Bank],
    starts: Starts,
    controls: _Numbers,
) -> PointColumns:
    """Fixed figures of all points: sockets, stages, loose ones."""
    count, loose = len(sockets), len(starts.points)
    noises = [np.zeros((3, count)), *(bank.noises() for bank in banks), np.zeros((3, loose))]
    noise, ein_v, self_noise_pa = np.concatenate(noises, axis=1)
    loose_units = np.array([UNITS.index(point.unit) for point in starts.points], dtype=np.int8)
    plugs = np.array([UNITS.index(unit_of_socket(rig, each)) for each in sockets], dtype=np.int8)
    units = [plugs, *(bank.units() for bank in banks), loose_units]
    clips = np.array(list(_clips(rig, sockets)), dtype=np.float64)
    ceilings = [clips, *(bank.ceilings() for bank in banks), np.full(loose, np.inf)]
    gains = [np.ones(count), *(bank.fixed_gains() for bank in banks), np.ones(loose)]
    control = np.full(len(noise), NONE)
    for bank in banks:
        for number, name in bank.controls():
            control[number] = controls.of(name)
    return PointColumns(
        unit=np.concatenate(units),
        ceiling=np.concatenate(ceilings),
        noise=noise,
        ein_v=ein_v,
        ein_current_a=_input_currents(banks, sockets, len(noise)),
        self_noise_pa=self_noise_pa,
        fixed_gain=np.concatenate(gains),
        control=control,
    )


def _input_currents(
    banks: Sequence[Bank], sockets: Mapping[str, int], points: int
) -> NDArray[np.float64]:
    """Noise current that is part of the published noise of the first stage which has such."""
    current_a = np.zeros(points)
    for bank in banks:
        inputs = [column for column, stage in enumerate(bank.path.stages) if stage.ein is not None]
        if inputs:
            found = [lane.input_current_a(sockets) for lane in bank.lanes]
            current_a[bank.numbers[:, inputs[0]]] = found
    return current_a


def _clips(rig: Rig, sockets: Iterable[str]) -> Iterator[float]:
    """Where each input clips; ``inf`` for one that does not."""
    for address in sockets:
        port = rig.ports.get(address) or rig.ports[address.rpartition(".")[0]]
        clip = port.plan.figures.get("clip")
        yield np.inf if clip is None else clip.value
