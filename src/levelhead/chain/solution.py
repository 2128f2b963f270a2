"""A solved rig: nominal, peak, ceiling and floor at every point, phantom power, and the paths."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

from levelhead.chain.as_set.graph import Graph, factor_at_1_khz
from levelhead.chain.carrying.carried import Carried
from levelhead.chain.carrying.crests import CREST_OF_MANY_DB
from levelhead.chain.carrying.loops import Round
from levelhead.chain.carrying.playing import spectra_at_points
from levelhead.chain.copper.of_rig import Copper
from levelhead.chain.graph.points import UNITS, Edge, Point
from levelhead.chain.levels import PointLevels, decibels, levels_of
from levelhead.chain.limits.ceilings import CROSSTALK
from levelhead.chain.limits.cores import CoreCeiling
from levelhead.chain.stages.limiting import Limited, Limiter, moved_db
from levelhead.chain.ways import Strongest, signal_ways
from levelhead.circuit.direct.at_port import PortDirect
from levelhead.circuit.direct.phantom import PhantomArrival
from levelhead.circuit.lazily import Lazily
from levelhead.circuit.limits.currents import columns_of, load_ohm
from levelhead.circuit.placed.assembly import Island
from levelhead.circuit.solving.solved import Solved
from levelhead.errors import SolveError
from levelhead.quantity.bands import BANDS
from levelhead.quantity.peaks import SINE_CREST_DB
from levelhead.rig.model import Rig

__all__ = ["CREST_OF_MANY_DB", "PointLevels", "Solution", "decibels"]

Real = NDArray[np.float64]
Complex = NDArray[np.complex128]

_MAY_REACH_DB: Final = 15.0  # three spreads of a singer's level: nearer peaks may reach a limiter


@dataclass(frozen=True, eq=False)
class Solution:
    """Everything that was computed of a rig. Arrays have one entry a point of the graph.

    Attributes
    ----------
    copper
        Islands, their solutions, and the phantom power that arrives.
    dead
        Items that are fed by nothing.
    loops
        Points where a signal comes round to itself.
    loop_gain_db
        Largest gain once round; from 0 dB on the loops ring, and were left open. [dB]
    rounds
        Loops that share points, each lot with its own gain.
    nominal, ceiling, floor, floor_a : (points,)
        Rms in the unit of each point.
    crest_db : (points,)
        Peak-to-rms of the signal. [dB]
    cores
        By the number of each point behind a transformer's core, what the core lets pass.
    """

    rig: Rig
    copper: Copper
    dead: frozenset[str]
    graph: Graph
    carried: Carried
    loops: tuple[str, ...]
    loop_gain_db: float
    rounds: tuple[Round, ...]
    nominal: Real
    crest_db: Real
    ceiling: Real
    floor: Real
    floor_a: Real
    cores: Mapping[int, CoreCeiling]

    def __repr__(self) -> str:
        return f"Solution({self.rig.show.name!r}, {len(self.nominal)} points)"

    @property
    def islands(self) -> tuple[Island, ...]:
        """Passive networks between active stages."""
        return self.copper.islands

    @property
    def solved(self) -> tuple[Solved, ...]:
        """Solutions of the islands, in their order."""
        return self.copper.solved

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

    @cached_property
    def in_air(self) -> frozenset[str]:
        """Addresses of the points whose level is a sound pressure."""
        wiring = self.graph.wiring
        numbers = np.flatnonzero(wiring.columns.unit == UNITS.index("Pa")).tolist()
        return frozenset(wiring.addresses[number] for number in numbers)

    def levels(self, address: str) -> PointLevels:
        """Levels of one point."""
        return self._levels[self.number(address)]

    @cached_property
    def _levels(self) -> Sequence[PointLevels]:
        return Lazily(len(self.nominal), self._levels_of)

    def _levels_of(self, number: int) -> PointLevels:
        wiring = self.graph.wiring
        columns = (self.nominal, self.ceiling, self.floor, self.floor_a)
        nominal, ceiling, floor, floor_a = (float(column[number]) for column in columns)
        return levels_of(
            wiring.addresses[number],
            wiring.unit(number),
            (nominal, ceiling, floor, floor_a),
            crest_db=float(self.crest_db[number]),
        )

    def core_at(self, address: str) -> CoreCeiling | None:
        """The core that sets the ceiling of a point; ``None`` where something else does."""
        row = self.number(address)
        core = self.cores.get(row)
        power = self._signal_power[row]
        is_it = core is not None and core.of_spectrum(power) <= self.ceiling[row]
        return core if is_it else None

    def ceiling_by_band(self, address: str) -> Real:
        """Rms of the largest clean sine of each band at a point, (bands,)."""
        row = self.number(address)
        core = self.cores.get(row)
        flat = np.full(BANDS, np.inf if self.core_at(address) else self.ceiling[row])
        return flat if core is None else np.minimum(flat, core.by_band)

    def power_at(self, address: str) -> Real:
        """Mean square of what plays at a point, in each band and its unit; (bands,)."""
        power: Real = self._signal_power[self.number(address)]
        return power

    @cached_property
    def _signal_power(self) -> Real:
        return self.carried.signal_power()

    @cached_property
    def spectra(self) -> tuple[str, ...]:
        """Name of the spectrum of what plays at each point, as it left its source."""
        return spectra_at_points(self.carried, self.graph.components, len(self.nominal))

    def dc_at(self, address: str) -> PortDirect | None:
        """Direct current at a plugged port, or one signal of it; ``None`` where nothing is plugged.

        What it may be stands at the port: figures ``dc-tolerance`` and ``back-fed``.
        """
        island = self.copper.direct_at.get(address)
        return None if island is None else island.at(address)

    def load_at(self, address: str) -> Complex | None:
        """What an output sees beyond its own impedance, (bands,); ``None`` where none is plugged.

        Address of an output, or ``port.signal`` of a stereo one; complex. [ohm]
        """
        for island, solved in zip(self.islands, self.solved, strict=True):
            for driver in columns_of(island):
                if address in (driver.port, f"{driver.port}.{driver.signal}"):
                    return load_ohm(island, solved, driver)
        return None

    def live_points(self) -> Iterator[PointLevels]:
        """Levels of every point that carries a signal, in signal order."""
        addresses = (address for path in self.paths for address in path)
        return (self.levels(address) for address in dict.fromkeys(addresses))

    @cached_property
    def paths(self) -> tuple[tuple[str, ...], ...]:
        """Ways of each signal from where it enters to its end, strongest first at each fork."""
        columns = self.graph.columns
        is_beside = self._arriving_rms <= CROSSTALK * self.nominal[columns.target]
        is_trace = self.graph.is_leak | (self.graph.is_through & is_beside)
        carrying = np.flatnonzero((self.nominal[columns.source] > 0) & ~is_trace)
        rank = np.argsort(-self._arriving_rms[carrying], kind="stable")
        return signal_ways(self.rig, self.graph, carrying[rank])

    @cached_property
    def strongest_edges(self) -> Mapping[int, Edge]:
        """By the number of each point, the edge that brings it most; none where it is silent."""
        columns, arriving = self.graph.columns, self._arriving_rms
        rank = np.lexsort((-np.arange(len(arriving)), arriving))  # the last one of a point counts
        strongest = np.full(len(self.nominal), -1)
        strongest[columns.target[rank]] = np.where(arriving[rank] > 0, rank, -1)
        return Strongest(strongest, self.graph.edges)

    @cached_property
    def _arriving_rms(self) -> Real:
        """What each edge brings at its target, in the target's unit; (edges,).

        Through copper at 1 kHz; through a filter in the band that passes best.
        """
        graph = self.graph
        factors = np.where(
            graph.is_through, graph.factors_at_1_khz, np.abs(graph.columns.gain).max(axis=1)
        )
        return self.nominal[graph.columns.source] * factors

    def limited_at(self, number: int) -> Limited | None:
        """What the limiter of a stage takes, by the number of its point; none if it takes nothing.

        A stage without a limiter takes nothing.
        """
        turned_down = self.carried.turned_down
        return None if turned_down is None else turned_down.limited.get(number)

    def limiter_at(self, number: int) -> Limiter | None:
        """The limiter of a stage, by the number of its point, if it takes something or soon would.

        It soon would where a passage as much louder than usual as anybody expects reaches it.
        """
        shape = self.graph.shapes.get(number)
        if shape is None or shape.limiter is None or not self.nominal[number] > 0:
            return None
        rms, crest_db = self._before_limiter(number)
        over_db = 20 * math.log10(rms / shape.limiter.threshold) + crest_db - SINE_CREST_DB
        return shape.limiter if over_db > -_MAY_REACH_DB else None

    def _before_limiter(self, number: int) -> tuple[float, float]:
        """Rms and peak-to-rms that a limiter meets; one that rests leaves them as they are."""
        turned_down = self.carried.turned_down
        known = None if turned_down is None else turned_down.before.get(number)
        return known or (float(self.nominal[number]), float(self.crest_db[number]))

    def limiter_moves_db(self, number: int, by_db: ArrayLike, *, of_peaks: bool) -> Real:
        """How a level (or a peak) behind a stage moves when the one before it moves. [dB]

        By as much, unless the stage has a limiter that takes something then.
        """
        limiter = self.limiter_at(number)
        if limiter is None:
            return np.asarray(by_db, dtype=np.float64)
        rms, crest_db = self._before_limiter(number)
        return moved_db(limiter, by_db, nominal=rms, crest_db=crest_db, of_peaks=of_peaks)

    @cached_property
    def arriving_power(self) -> Real:
        """Power that all its edges together bring to each point at 1 kHz; (points,)."""
        target = self.graph.columns.target
        power = np.bincount(target, self._arriving_rms**2, minlength=len(self.nominal))
        return power.astype(np.float64)

    def arriving_rms(self, edge: Edge) -> float:
        """What an edge brings at its target at 1 kHz, in the target's unit."""
        return float(self.nominal[edge.source]) * factor_at_1_khz(edge)

    def is_crosstalk(self, edge: Edge) -> bool:
        """Whether what comes this way through copper is a trace beside what is there."""
        if edge.through is None:
            return False
        return self.arriving_rms(edge) <= CROSSTALK * float(self.nominal[edge.target])

    def phantom_at(self, item: str) -> PhantomArrival | None:
        """What a phantom-powered item gets."""
        return next((each for each in self.copper.phantom if each.item == item), None)
