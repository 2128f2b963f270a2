"""From a rig with solved islands to the graph of its chain."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import numpy as np

from levelhead.chain.graph import Edge, Graph, Point, Through
from levelhead.chain.lanes import add_stages, lanes
from levelhead.chain.mixing import add_crossings
from levelhead.chain.sources import add_sources, enter_lane
from levelhead.circuit.assembly import Island
from levelhead.circuit.solve import Solved
from levelhead.quantity.bands import BANDS
from levelhead.rig.model import Rig

__all__ = ["build_graph"]

Driver = tuple[str, str | None]  # an output, and which of its signals


def build_graph(
    rig: Rig, islands: Sequence[Island], solved: Sequence[Solved], dead: frozenset[str]
) -> Graph:
    """Graph of a rig whose islands are solved; items in ``dead`` have no power and pass nothing."""
    graph = Graph()
    for island in islands:
        for address in island.sense_addresses:
            graph.add(_port_point(rig, address))
    _add_lanes(graph, rig, dead)
    for item in rig.items.values():
        if item.id not in dead:
            add_crossings(graph, rig, item)
    drivers = _drivers(graph, rig)
    for number, (island, solution) in enumerate(zip(islands, solved, strict=True)):
        for edge in _island_edges(graph, drivers, number, island, solution):
            graph.join(edge)
    add_sources(graph, rig)
    return graph


def _port_point(rig: Rig, address: str) -> Point:
    port = rig.ports.get(address) or rig.ports[address.rpartition(".")[0]]
    clip = port.plan.figures.get("clip")
    ceiling = math.inf if clip is None else clip.value
    return Point(address, "V", port.item.id, label=port.label, ceiling=ceiling, ceiling_figure=clip)


def _add_lanes(graph: Graph, rig: Rig, dead: frozenset[str]) -> None:
    for lane in lanes(rig):
        is_dead = lane.item.id in dead
        numbers = add_stages(graph, lane, is_dead=is_dead)
        if numbers and not is_dead:
            enter_lane(graph, lane, numbers[0])


def _drivers(graph: Graph, rig: Rig) -> dict[Driver, int]:
    """Last stage of each path that leaves by a port."""
    found: dict[Driver, int] = {}
    for lane in lanes(rig):
        target = lane.path.to_port
        if target is not None and lane.path.stages:
            last = lane.point_of(lane.path.stages[-1])
            found[lane.port_of(target), target.signal] = graph.index[last]
    return found


def _island_edges(
    graph: Graph,
    drivers: dict[Driver, int],
    number: int,
    island: Island,
    solved: Solved,
) -> Iterator[Edge]:
    """From every output of an island to everything that is sensed on it."""
    columns_of = _columns_by_driver(island)
    for row, address in enumerate(island.sense_addresses):
        target = graph.index[address]
        graph.points[target].thermal_v2_per_hz = solved.noise_v2_per_hz[row]
        for driver, columns in columns_of.items():
            if driver in drivers:
                gain = np.zeros(BANDS, dtype=np.complex128)
                for column in columns:
                    gain += island.drives[column].weight * solved.transfer[row, column]
                yield Edge(drivers[driver], target, gain, through=Through(number, *driver))


def _columns_by_driver(island: Island) -> dict[Driver, list[int]]:
    """Emfs of each output: a balanced one has two."""
    found: dict[Driver, list[int]] = {}
    for column, drive in enumerate(island.drives):
        found.setdefault((drive.port, drive.signal), []).append(column)
    return found
