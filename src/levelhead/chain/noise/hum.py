"""Hum along the chain: from the inputs where it comes in to the loudspeakers that let it be heard.

The gain from every input to every loudspeaker is found in one walk against the signal. Hum of one
source at several inputs adds as voltages; what unlike parts and rejection make of it has no common
phase and adds as power.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from levelhead.chain.as_set.graph import Graph
from levelhead.chain.levels import decibels
from levelhead.chain.noise.arising import a_weights
from levelhead.chain.solution import Solution
from levelhead.chain.wired.lanes import lanes
from levelhead.circuit.ground.mains import MAINS_230, Mains
from levelhead.circuit.ground.network import Ground, solve_ground
from levelhead.circuit.hum.at_inputs import PortHum, hum_at_inputs
from levelhead.circuit.hum.sums import HumSum, added
from levelhead.quantity.bands import BANDS, nearest_band

__all__ = ["ChainHum", "LineLevel", "line_levels", "solve_hum"]

Complex: TypeAlias = NDArray[np.complex128]


@dataclass(frozen=True, slots=True)
class LineLevel:
    """Hum at one frequency in dBu or dB SPL, with the range that holds 95 %; none for silence."""

    hz: float
    low: float | None
    typical: float | None
    high: float | None


def line_levels(hum: HumSum) -> tuple[LineLevel, ...]:
    """Every line of hum at an input (dBu) or at 1 m of a loudspeaker (dB SPL)."""
    lines = zip(hum.of.mains.lines_hz.tolist(), hum.rms_of_lines(), strict=True)
    return tuple(
        LineLevel(hz, *(decibels(end, hum.unit) for end in (rms.low, rms.value, rms.high)))
        for hz, rms in lines
    )


@dataclass(frozen=True, slots=True, eq=False)
class _Brought:
    """Hum of an input behind a gain in power, (lines,)."""

    at_input: HumSum
    gain: NDArray[np.float64]
    hum: HumSum


@dataclass(frozen=True, eq=False)
class ChainHum:
    """Hum of a solved rig.

    Attributes
    ----------
    inputs
        Hum at each plugged input, by address. [V]
    loudspeakers
        Points at which sound leaves into the air.
    gain : complex, (points, loudspeakers, bands)
        From each point of the graph to each loudspeaker.

    What inputs bring to loudspeakers is handed from one solution to the next, and taken where
    neither hum nor gain has changed.
    """

    solution: Solution
    ground: Ground
    inputs: Mapping[str, PortHum]
    loudspeakers: tuple[str, ...]
    gain: Complex
    brought: dict[tuple[str, str], _Brought] = field(default_factory=dict)

    def __repr__(self) -> str:
        return f"ChainHum({self.solution!r}, {len(self.inputs)} inputs)"

    @cached_property
    def _bands(self) -> NDArray[np.int64]:
        """The band that each line falls into."""
        return nearest_band(self.ground.mains.lines_hz)

    def gain_to(self, loudspeaker: str, address: str) -> Complex:
        """From an input to a loudspeaker at each line. [Pa/V]"""
        row, column = self.solution.number(address), self.loudspeakers.index(loudspeaker)
        gain: Complex = self.gain[row, column][self._bands]
        return gain

    def brought_to(self, loudspeaker: str, address: str) -> HumSum:
        """What one input brings to a loudspeaker, at 1 m. [Pa]"""
        at_input = self.inputs[address].power
        gain = np.abs(self.gain_to(loudspeaker, address)) ** 2
        known = self.brought.get((loudspeaker, address))
        if known is None or known.at_input is not at_input or (known.gain != gain).any():
            known = _Brought(at_input, gain, at_input.scaled(gain, "Pa"))
            self.brought[loudspeaker, address] = known
        return known.hum

    def at_loudspeaker(self, loudspeaker: str) -> HumSum | None:
        """What all inputs bring to a loudspeaker, at 1 m; none when nothing leads there. [Pa]"""
        heard = [each for each in self.inputs if self.gain_to(loudspeaker, each).any()]
        if not heard:
            return None
        total = added([self.brought_to(loudspeaker, each) for each in heard])
        driven = [each for each in heard if self.inputs[each].power.is_driven]
        pressure = sum(self.inputs[each].volts * self.gain_to(loudspeaker, each) for each in driven)
        return replace(total, direct=np.abs(pressure) ** 2) if driven else total

    def loudest(self, address: str) -> str | None:
        """The loudspeaker at which most of an input's hum comes out; none when none gives it."""
        power = self._power_a[self._row_of[address]]
        if not power.any():
            return None
        return self.loudspeakers[int(power.argmax())]

    def most_a(self, loudspeaker: str) -> float:
        """A-weighted rms at a loudspeaker if all inputs were in phase, which is the most. [Pa]"""
        column = self.loudspeakers.index(loudspeaker)
        return float(np.sqrt(self._power_a[:, column]).sum())

    def typical_a(self, loudspeaker: str, address: str) -> float:
        """A-weighted rms that one input typically brings to a loudspeaker, at 1 m. [Pa]"""
        row, column = self._row_of[address], self.loudspeakers.index(loudspeaker)
        return math.sqrt(self._power_a[row, column])

    @cached_property
    def _row_of(self) -> Mapping[str, int]:
        return {address: row for row, address in enumerate(self.inputs)}

    @cached_property
    def _power_a(self) -> NDArray[np.float64]:
        """Typical A-weighted mean square by input and loudspeaker. [Pa^2]"""
        if not self.inputs:
            return np.zeros((0, len(self.loudspeakers)))
        rows = [self.solution.number(address) for address in self.inputs]
        gain = self.gain[rows][..., self._bands]
        lines = np.array([hum.power.by_line_a for hum in self.inputs.values()])
        power: NDArray[np.float64] = np.einsum("isl,il->is", np.abs(gain) ** 2, lines)
        return power

    def programme_a(self, address: str) -> float:
        """A-weighted rms of the nominal signal at a point, in its unit."""
        return float(self._programme_a[self.solution.number(address)])

    @cached_property
    def _programme_a(self) -> NDArray[np.float64]:
        power = self.solution.carried.signal_power() @ a_weights()
        return np.where(self.solution.nominal > 0, np.sqrt(power), 0.0)


def solve_hum(
    solution: Solution, mains: Mains = MAINS_230, previous: ChainHum | None = None
) -> ChainHum:
    """Hum at every input and every loudspeaker of a solved rig.

    The ground network of ``previous`` is taken if nothing was plugged or powered otherwise since:
    moving a fader solves no circuit. Else its pieces are taken where they stayed.

    Examples
    --------
    >>> from levelhead.chain.solve import solve
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
    >>> hum = solve_hum(solve(build_rig(show, load_book())))
    >>> list(hum.inputs)
    ['desk.ch1.line']
    """
    brought: dict[tuple[str, str], _Brought] = {}
    if previous is not None and _is_same_ground(previous, solution, mains):
        ground, known, brought = previous.ground, previous.inputs, previous.brought
    else:
        was = None if previous is None else previous.ground
        ground = solve_ground(solution.rig, mains, was, solution.copper.content)
        known = hum_at_inputs(
            ground, None if previous is None else (previous.ground, previous.inputs)
        )
        brought = {} if previous is None else previous.brought
    graph = solution.graph
    loudspeakers = _loudspeakers(solution)
    return ChainHum(
        solution=solution,
        ground=ground,
        inputs={each: hum for each, hum in known.items() if each in graph.index},
        loudspeakers=loudspeakers,
        gain=_gains(graph, [graph.index[each] for each in loudspeakers], previous),
        brought=brought,
    )


def _is_same_ground(previous: ChainHum, solution: Solution, mains: Mains) -> bool:
    """Whether copper, supplies and mains are those of before."""
    before, now = previous.solution.rig.show, solution.rig.show
    return (
        previous.ground.mains is mains
        and previous.solution.copper is solution.copper
        and before.supplies == now.supplies
        and all(item.supply == before.items[name].supply for name, item in now.items.items())
    )


def _loudspeakers(solution: Solution) -> tuple[str, ...]:
    """Last stage of every path that ends in the air."""
    found = (
        lane.point_of(lane.path.stages[-1])
        for lane in lanes(solution.rig)
        if lane.path.to_air and lane.path.stages
    )
    return tuple(each for each in dict.fromkeys(found) if each in solution.graph.index)


def _gains(graph: Graph, ends: Sequence[int], previous: ChainHum | None = None) -> Complex:
    """From every point to every end; (points, ends, bands). Loops are left open.

    Only points from which an edge leads on that was turned since ``previous`` are walked again, in
    the same order.
    """
    columns = graph.columns
    kept = graph.order.onward(len(columns))
    known = None if previous is None else _known_gains(graph, ends, previous)
    if known is None:
        gain = np.zeros((len(graph.points), len(ends), BANDS), dtype=np.complex128)
    else:
        gain, is_old = known[0].copy(), ~_before(graph, known[1])
        kept = kept[~is_old[columns.source[kept]]]
        gain[~is_old] = 0.0
    for column, end in enumerate(ends):
        gain[end, column] = 1.0
    depth = graph.order.depth[columns.source[kept]]
    for level in sorted(set(depth.tolist()), reverse=True):
        edges = kept[depth == level]
        edges = edges[np.argsort(columns.source[edges], kind="stable")]
        source = columns.source[edges]
        first = np.flatnonzero(np.diff(source, prepend=-1))
        behind = columns.gain[edges, None] * gain[columns.target[edges]]
        gain[source[first]] += np.add.reduceat(behind, first, axis=0)
    return gain


def _known_gains(
    graph: Graph, ends: Sequence[int], previous: ChainHum
) -> tuple[Complex, NDArray[np.bool_]] | None:
    """Gains of before and which edges were turned since; ``None`` where the graph is another."""
    was = previous.solution.graph
    is_same = (
        graph.order is was.order
        and graph.columns.is_laid_like(was.columns)
        and [was.index[each] for each in previous.loudspeakers] == list(ends)
    )
    return (previous.gain, graph.columns.changed_since(was.columns)[:-1]) if is_same else None


def _before(graph: Graph, turned: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """Points from which some way leads over an edge that was turned, (points,)."""
    source, target = graph.columns.source, graph.columns.target
    found = np.zeros(len(graph.points), dtype=bool)
    found[source[turned]] = True
    count = -1
    while count != (count := int(found.sum())):
        found[source[found[target]]] = True
    return found
