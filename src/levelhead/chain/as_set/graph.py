"""The graph of a rig: its wiring with every gain as the controls stand; what is off is left out."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Final

import numpy as np
from numpy.typing import NDArray

from levelhead.chain.as_set.shaping import shaped, shapes_of
from levelhead.chain.copper.passages import PassageColumns
from levelhead.chain.graph.order import Order, points_in_order
from levelhead.chain.graph.points import Component, Edge, EdgeColumns, Entry, Point
from levelhead.chain.stages.shape import Shape
from levelhead.chain.wired.mixing import pan_gain
from levelhead.chain.wired.wiring import NONE, Wiring
from levelhead.circuit.lazily import Lazily
from levelhead.quantity.bands import BANDS, ONE_KHZ_BAND
from levelhead.rig.model import Rig

__all__ = ["LEAK", "Graph", "factor_at_1_khz", "graph_of"]

LEAK: Final = 1e-4  # 80 dB down on copper alone, a shared sleeve: from memory; no pad takes as much

Real = NDArray[np.float64]
Whole = NDArray[np.int64]
Complex = NDArray[np.complex128]


@dataclass(frozen=True, eq=False)
class Graph:
    """All points, edges and components of a rig.

    Attributes
    ----------
    live : int, (edges,)
        Number of the way behind each edge.
    columns
        The edges, as the solver has them.
    stage_gain : float, (points,)
        Gain of the stage at each point as it stands; 1 where there is none.
    order
        Of the points along the signal, and where loops are cut.
    shapes
        What a stage does beside its gain, by the number of its point.
    """

    wiring: Wiring
    live: Whole
    columns: EdgeColumns
    stage_gain: Real
    order: Order
    shapes: Mapping[int, Shape]

    def __repr__(self) -> str:
        return f"Graph({len(self.stage_gain)} points, {len(self.live)} edges)"

    @property
    def components(self) -> Sequence[Component]:
        """Independent signals."""
        return self.wiring.components

    @property
    def entries(self) -> Sequence[Entry]:
        """Where each signal enters."""
        return self.wiring.entries

    @cached_property
    def strongest_entries(self) -> Mapping[int, Entry]:
        """By the number of a point, the strongest signal that enters there; the first of equals."""
        found: dict[int, Entry] = {}
        for entry in self.entries:
            if entry.point not in found or found[entry.point].rms < entry.rms:
                found[entry.point] = entry
        return found

    @property
    def index(self) -> Mapping[str, int]:
        """Number of every point by its address."""
        return self.wiring.index

    @cached_property
    def points(self) -> Sequence[Point]:
        """Every point as people read it."""
        gain = self.stage_gain
        return Lazily(
            len(self.wiring), lambda number: self.wiring.point(number, float(gain[number]))
        )

    @cached_property
    def edges(self) -> Sequence[Edge]:
        """Every edge with its control, its figures, and the island that it crosses."""
        return Lazily(len(self.live), self._edge)

    @property
    def is_through(self) -> NDArray[np.bool_]:
        """Which edges cross an island, (edges,)."""
        return self.live >= self.wiring.first_through

    @cached_property
    def is_leak(self) -> NDArray[np.bool_]:
        """Which edges are traces on copper that nobody means to use, (edges,)."""
        return _leaks(self.columns, self.is_through)

    def arriving_at(self, point: int) -> Whole:
        """Numbers of the edges that lead to a point, in their order."""
        rank, bounds = self._by_target
        return rank[bounds[point] : bounds[point + 1]]

    @cached_property
    def hears_a_loop(self) -> NDArray[np.bool_]:
        """Points in loops and all to which anything leads from there, (points,)."""
        source, target = self.columns.source, self.columns.target
        found = np.zeros(len(self.wiring), dtype=bool)
        found[target[list(self.order.closing)]] = True
        count = -1
        while count != (count := int(found.sum())):
            found[target[found[source]]] = True
        return found

    @cached_property
    def _by_target(self) -> tuple[Whole, Whole]:
        rank = np.argsort(self.columns.target, kind="stable")
        return rank, np.searchsorted(self.columns.target[rank], np.arange(len(self.wiring) + 1))

    @cached_property
    def factors_at_1_khz(self) -> Real:
        """Magnitude of each edge's gain at 1 kHz, (edges,)."""
        return np.abs(self.columns.gain[:, ONE_KHZ_BAND])

    def _edge(self, number: int) -> Edge:
        control, figures, through = self.wiring.on_way(int(self.live[number]))
        return Edge(
            int(self.columns.source[number]),
            int(self.columns.target[number]),
            self.columns.gain[number],
            control=control,
            figures=figures,
            through=through,
            delay_s=float(self.columns.delay_ns[number]) * 1e-9,
        )


def graph_of(
    wiring: Wiring, rig: Rig, passages: PassageColumns, previous: Graph | None = None
) -> Graph:
    """Graph of a wiring as the controls of ``rig`` stand.

    The order of ``previous`` is kept where the same ways are open as before.
    """
    settings = _settings(wiring, rig)
    factors = np.append(10 ** (settings / 20), 1.0)  # the last one where no control is
    stage_gain = wiring.columns.fixed_gain * factors[wiring.columns.control]
    way_gain = _way_gains(wiring, settings, factors, stage_gain)
    through = passages.gain[wiring.through_row]
    first_digital = wiring.first_through - len(wiring.digital.source)
    way_gain[first_digital : wiring.first_through] = wiring.digital.gains(passages.gain)
    is_live = way_gain != 0
    is_live[wiring.first_through :] = through.any(axis=1)
    live = np.flatnonzero(is_live)
    gain = np.ones((len(live) + 1, BANDS), dtype=np.complex128)
    gain[:-1] = way_gain[live, None]
    crossing = live >= wiring.first_through
    gain[:-1][crossing] = through[live[crossing] - wiring.first_through]
    ways = wiring.ways
    columns = EdgeColumns(ways.source[live], ways.target[live], gain, ways.delay_ns[live])
    shapes = shapes_of(rig, wiring.banks)
    columns = shaped(columns, shapes, len(wiring))
    order = _order(wiring, columns, _leaks(columns, crossing), previous)
    return Graph(wiring, live, columns, stage_gain, order, shapes)


def _settings(wiring: Wiring, rig: Rig) -> Real:
    """Where every control stands: dB, or the position of a pan."""
    return np.array([rig.setting(name) for name in wiring.controls], dtype=np.float64)


def _way_gains(wiring: Wiring, settings: Real, factors: Real, stage_gain: Real) -> Real:
    """Gain of every way but those through islands, for which it is one."""
    ways = wiring.ways
    factor = factors[ways.control]
    pans = np.flatnonzero(ways.side != NONE)
    factor[pans] = pan_gain(
        settings[ways.control[pans]], side=ways.side[pans], law_db=ways.law_db[pans]
    )
    gain: Real = ways.factor * factor * stage_gain[ways.target]
    return gain


def _leaks(columns: EdgeColumns, is_through: NDArray[np.bool_]) -> NDArray[np.bool_]:
    is_leak: NDArray[np.bool_] = is_through & (np.abs(columns.gain[:, ONE_KHZ_BAND]) < LEAK)
    return is_leak


def _order(
    wiring: Wiring, columns: EdgeColumns, is_leak: NDArray[np.bool_], previous: Graph | None
) -> Order:
    if (
        previous is not None
        and wiring.is_named_like(previous.wiring)
        and columns.is_laid_like(previous.columns)
        and (not previous.order.closing or np.array_equal(is_leak, previous.is_leak))
    ):
        return previous.order
    starts = [entry.point for entry in wiring.entries]
    names = Lazily(len(wiring), lambda n: wiring.addresses[n])
    return points_in_order(columns, names, starts, np.flatnonzero(is_leak).tolist())


def factor_at_1_khz(edge: Edge) -> float:
    """Magnitude of one edge's gain at 1 kHz."""
    return float(abs(edge.gain[ONE_KHZ_BAND] if isinstance(edge.gain, np.ndarray) else edge.gain))
