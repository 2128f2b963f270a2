"""A solved rig: nominal, peak, ceiling and floor at every point, phantom power, and the paths."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Final

import numpy as np
from numpy.typing import NDArray

from levelhead.chain.graph import Edge, Graph, Point, build_graph
from levelhead.chain.noise import a_weights, own_noise_power
from levelhead.chain.propagate import Carried, Injection, carry
from levelhead.circuit.assembly import Island, assemble
from levelhead.circuit.phantom import PhantomArrival, solve_phantom
from levelhead.circuit.solve import Solved, solve_networks
from levelhead.errors import SolveError
from levelhead.quantity.bands import mid_hz
from levelhead.quantity.levels import DBU_REFERENCE_V, P_REFERENCE_PA
from levelhead.quantity.peaks import SINE_CREST_DB
from levelhead.quantity.spectra import band_levels_db
from levelhead.rig.model import Rig

__all__ = [
    "CREST_OF_MANY_DB",
    "PointLevels",
    "Solution",
    "decibels",
    "most_current_a_per_v",
    "solve",
]

Real = NDArray[np.float64]

CREST_OF_MANY_DB: Final = 12.5  # peak-to-rms of a sum of many independent sources, common practice
REFERENCE_OF_UNIT: Final[Mapping[str, tuple[float, str]]] = {
    "V": (DBU_REFERENCE_V, "dBu"),
    "FS": (1.0, "dBFS"),
    "Pa": (P_REFERENCE_PA, "dB SPL"),
}
_ONE_KHZ_BAND: Final = 17
_SILENT: Final = 1e-10  # rms below this is a leak of the model, not a signal
_CROSSTALK: Final = 0.01  # 40 dB down: a shared ground, not a way for the signal


def decibels(rms: float, unit: str) -> float | None:
    """Level of an rms number of a point's unit; ``None`` for silence and for no limit."""
    if not 0 < rms < math.inf:
        return None
    return 20 * math.log10(rms / REFERENCE_OF_UNIT[unit][0])


@dataclass(frozen=True, slots=True)
class PointLevels:
    """Levels of a point in dBu, dBFS or dB SPL; ``None`` where there is nothing or no limit.

    ``peak`` is the level of the sine with the same peak, so it compares with ``ceiling``.
    """

    at: str
    unit: str
    nominal: float | None
    peak: float | None
    ceiling: float | None
    floor: float | None
    floor_a: float | None

    @property
    def headroom(self) -> float | None:
        """Ceiling less peak. [dB]"""
        return None if self.ceiling is None or self.peak is None else self.ceiling - self.peak

    def to_json(self) -> dict[str, str | float | None]:
        """As docs/formats.md prints it, in hundredths of a decibel."""
        return {
            "at": self.at,
            "unit": self.unit,
            "nominal": _hundredths(self.nominal),
            "peak": _hundredths(self.peak),
            "ceiling": _hundredths(self.ceiling),
            "floor": _hundredths(self.floor),
            "headroom": _hundredths(self.headroom),
        }


def _hundredths(level: float | None) -> float | None:
    return None if level is None else round(level, 2) + 0.0


@dataclass(frozen=True, eq=False)
class Solution:
    """Everything that was computed of a rig. Arrays have one entry a point of the graph."""

    rig: Rig
    islands: tuple[Island, ...]
    solved: tuple[Solved, ...]
    phantom: tuple[PhantomArrival, ...]
    dead: frozenset[str]
    graph: Graph
    carried: Carried
    loops: tuple[str, ...]
    nominal: Real
    crest_db: Real
    ceiling: Real
    floor: Real
    floor_a: Real

    def point(self, address: str) -> Point:
        """A point by its address."""
        return self.graph.points[self.number(address)]

    def number(self, address: str) -> int:
        """Row of a point in the arrays; ``SolveError`` when there is none."""
        if address not in self.graph.index:
            raise SolveError(
                f"no point '{address}'",
                where=self.rig.show.name,
                expected="a stage, a plugged port or a source",
                remedy="List them with: levelhead levels SHOW",
            )
        return self.graph.index[address]

    def levels(self, address: str) -> PointLevels:
        """Levels of one point."""
        row = self.number(address)
        unit = self.graph.points[row].unit
        peak = float(self.nominal[row]) * 10 ** ((float(self.crest_db[row]) - SINE_CREST_DB) / 20)
        return PointLevels(
            at=address,
            unit=REFERENCE_OF_UNIT[unit][1],
            nominal=decibels(float(self.nominal[row]), unit),
            peak=decibels(peak, unit),
            ceiling=decibels(float(self.ceiling[row]), unit),
            floor=decibels(float(self.floor[row]), unit),
            floor_a=decibels(float(self.floor_a[row]), unit),
        )

    def live_points(self) -> Iterator[PointLevels]:
        """Levels of every point that carries a signal, in signal order."""
        listed: set[str] = set()
        for path in self.paths:
            for address in path:
                if address not in listed:
                    listed.add(address)
                    yield self.levels(address)

    @cached_property
    def paths(self) -> tuple[tuple[str, ...], ...]:
        """Ways of each signal from where it enters to where it ends, strongest first at each fork."""
        follow: dict[int, list[int]] = {}
        for number, edge in enumerate(self.graph.edges):
            if self.nominal[edge.source] > 0 and not self.is_crosstalk(edge):
                follow.setdefault(edge.source, []).append(number)
        starts = dict.fromkeys(entry.point for entry in self.graph.entries)
        found: dict[tuple[str, ...], None] = {}
        for start in starts:
            for path in self._walk(start, follow, frozenset()):
                addresses = tuple(
                    self.graph.points[point].address
                    for point in path
                    if not self.graph.points[point].is_hidden
                )
                found[addresses] = None
        return tuple(path for path in found if len(path) > 1)

    def _walk(
        self, point: int, follow: Mapping[int, Sequence[int]], seen: frozenset[int]
    ) -> Iterator[tuple[int, ...]]:
        """Ways on from a point; a port beside the way (an output's own socket) is part of it."""
        beside, onward = [], []
        for number in follow.get(point, ()):
            target = self.graph.edges[number].target
            if target in follow or self.graph.edges[number].island is None:
                onward.append(target)
            elif not self._is_through(self.graph.points[target].address):
                beside.append(target)
        lead = (point, *beside) if onward else (point,)
        ends = onward or beside
        if not ends:
            yield lead
        for target in ends:
            if target not in seen:
                for rest in self._walk(target, follow, seen | {point}):
                    yield (*lead, *rest)

    def _is_through(self, address: str) -> bool:
        """Whether the point is a through socket: the same copper as another port."""
        port = self.rig.ports.get(address)
        return port is not None and port.plan.joined is not None

    def is_crosstalk(self, edge: Edge) -> bool:
        """Whether what comes this way through copper is a trace beside what is there."""
        if edge.island is None:
            return False
        arriving = self.nominal[edge.source] * abs(np.asarray(edge.gain)[_ONE_KHZ_BAND])
        return bool(arriving <= _CROSSTALK * self.nominal[edge.target])

    def phantom_at(self, item: str) -> PhantomArrival | None:
        """What a phantom-powered item gets."""
        return next((each for each in self.phantom if each.item == item), None)


def solve(rig: Rig, previous: Solution | None = None) -> Solution:
    """Solve a rig.

    Islands whose content equals one of ``previous`` are taken from there: moving a fader solves
    no circuit.
    """
    islands = assemble(rig)
    solved = _solve_islands(islands, previous)
    phantom = tuple(arrival for island in islands for arrival in solve_phantom(island))
    dead = _without_power(rig, phantom)
    graph = build_graph(rig, islands, solved, dead)
    injections = [
        Injection(
            entry.point,
            entry.component,
            _amplitude(entry.rms, graph.components[entry.component].spectrum),
        )
        for entry in graph.entries
    ]
    carried, closing = carry(
        graph.edges, own_noise_power(graph.points), injections, len(graph.components)
    )
    noise = carried.noise_total()
    signal = carried.signal_power(len(graph.points)).sum(axis=1)
    ceiling = _ceilings(rig, graph, islands, solved)
    return Solution(
        rig=rig,
        islands=tuple(islands),
        solved=tuple(solved),
        phantom=phantom,
        dead=dead,
        graph=graph,
        carried=carried,
        loops=tuple(graph.points[graph.edges[number].target].address for number in closing),
        nominal=np.where(signal > _SILENT**2, np.sqrt(signal), 0.0),
        crest_db=_crests_db(graph, carried),
        ceiling=ceiling,
        floor=np.sqrt(noise.sum(axis=1)),
        floor_a=np.sqrt((noise * a_weights()).sum(axis=1)),
    )


def _solve_islands(islands: Sequence[Island], previous: Solution | None) -> list[Solved]:
    networks = [island.network() for island in islands]
    keys = [network.key for network in networks]
    known = {} if previous is None else {each.network.key: each for each in previous.solved}
    fresh = {key: network for key, network in zip(keys, networks, strict=True) if key not in known}
    solved = solve_networks(list(fresh.values()), mid_hz())
    known |= dict(zip(fresh, solved, strict=True))
    return [known[key] for key in keys]


def _amplitude(rms: float, spectrum: str) -> NDArray[np.complex128]:
    return (rms * 10 ** (band_levels_db(spectrum) / 20)).astype(np.complex128)


def _without_power(rig: Rig, phantom: Sequence[PhantomArrival]) -> frozenset[str]:
    """Items that are fed by nothing: no battery, no mains, and too little phantom power."""
    arriving = {arrival.item: arrival for arrival in phantom}
    dead = set()
    for item in rig.items.values():
        ways = item.plan.powered_by
        has_own = any(way.kind != "phantom" for way in ways)
        if not ways or has_own:
            continue
        arrival = arriving.get(item.id)
        if arrival is None or arrival.volts < arrival.needed_v:
            dead.add(item.id)
    return frozenset(dead)


def _crests_db(graph: Graph, carried: Carried) -> Real:
    """Peak-to-rms at each point.

    One performance keeps its own; a sum moves to that of many as more of like strength come
    together. Their number is ``(sum p)^2 / sum p^2``, which is 1 for one and n for n equal ones.
    """
    origins = {
        name: row for row, name in enumerate(dict.fromkeys(c.origin for c in graph.components))
    }
    power = np.zeros((len(graph.points), max(len(origins), 1)))
    crest_db = np.full(max(len(origins), 1), CREST_OF_MANY_DB)
    origin_of = np.zeros(max(carried.first_noise, 1), dtype=np.int64)
    for number, component in enumerate(graph.components):
        origin_of[number] = origins[component.origin]
        crest_db[origins[component.origin]] = component.peak_to_rms_db.value
    signal = carried.component < carried.first_noise
    np.add.at(
        power,
        (carried.point[signal], origin_of[carried.component[signal]]),
        carried.power[signal].sum(axis=1),
    )
    total = power.sum(axis=1)
    with np.errstate(divide="ignore", invalid="ignore"):
        alone = (power**2).sum(axis=1) / total**2
        own_db = (power * crest_db).sum(axis=1) / total
    mixed: Real = np.where(total > 0, alone * own_db + (1 - alone) * CREST_OF_MANY_DB, 0.0)
    return mixed


def _ceilings(rig: Rig, graph: Graph, islands: Sequence[Island], solved: Sequence[Solved]) -> Real:
    """Largest clean sine at each point; an output also ends where its current does."""
    ceiling = np.array([point.ceiling for point in graph.points])
    leaving = [edge for edge in graph.edges if edge.drive is not None and edge.island is not None]
    for edge in leaving:
        assert edge.drive is not None
        assert edge.island is not None
        limit_a = rig.ports[edge.drive[0]].plan.figure("current")
        if limit_a is not None:
            most = most_current_a_per_v(islands[edge.island], solved[edge.island], *edge.drive)
            emf_v = limit_a / math.sqrt(2) / max(most, 1e-30)
            ceiling[edge.source] = min(ceiling[edge.source], emf_v)
    strongest = np.zeros(len(graph.points))
    through = [float(abs(np.asarray(edge.gain)[_ONE_KHZ_BAND])) for edge in leaving]
    for edge, factor in zip(leaving, through, strict=True):
        strongest[edge.target] = max(strongest[edge.target], factor)
    for edge, factor in zip(leaving, through, strict=True):
        if factor > _CROSSTALK * strongest[edge.target]:
            ceiling[edge.target] = min(ceiling[edge.target], ceiling[edge.source] * factor)
    return ceiling


def most_current_a_per_v(island: Island, solved: Solved, port: str, signal: str | None) -> float:
    """Largest rms current of any leg of an output, in any band, for 1 V of its own signal. [A]"""
    legs = [
        (number, drive.weight)
        for number, drive in enumerate(island.drives)
        if (drive.port, drive.signal) == (port, signal)
    ]
    most = 0.0
    for leg, _ in legs:
        current = sum(weight * solved.source_current[leg, other] for other, weight in legs)
        most = max(most, float(np.abs(current).max()))
    return most
