"""What the level at a point hangs on: figures met on the strongest way that leads there.

Stage gains enter with slope 1. Figures of an island enter with the first-order sensitivity of its
transfer, weighted over the bands by the power that passes.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from levelhead.chain.draws.sensitivity import island_sensitivities
from levelhead.chain.graph.points import Component, Edge, Through
from levelhead.chain.solution import Solution
from levelhead.gear.figures import Figure
from levelhead.quantity.spectra import band_levels_db
from levelhead.rig.settings import unknown_span_db
from levelhead.verdicts.read.transmitters import planned_by_ceiling
from levelhead.verdicts.told.limit_state import Doubt
from levelhead.verdicts.told.words import control_words, figure_words, gain_words, place_words

__all__ = [
    "CREST_BEHIND_FILTERS",
    "Way",
    "controls_with_room",
    "doubts_of_level",
    "doubts_of_limiter",
    "level_doubt",
    "share_of_origin",
    "strongest_way",
]

_SPECTRUM_OF_MANY = "programme"
_STEP_DB: Final = 0.5  # to each side, for the slope of a limiter
CREST_BEHIND_FILTERS: Final = Figure(0.0, -3.0, 3.0, "dB", "common practice")


@dataclass(frozen=True, slots=True)
class Way:
    """Edges from the source that is strongest at a point, in signal order, and that source."""

    edges: tuple[Edge, ...]
    source: Component | None

    @property
    def controls(self) -> tuple[str, ...]:
        """Controls along the way, in signal order."""
        return tuple(edge.control for edge in self.edges if edge.control is not None)

    @property
    def power(self) -> NDArray[np.float64]:
        """Share of each band in the power of the source, (bands,)."""
        name = _SPECTRUM_OF_MANY if self.source is None else self.source.spectrum
        return np.asarray(10 ** (band_levels_db(name) / 10))


def strongest_way(solution: Solution, point: int) -> Way:
    """The way by which most of a point's level comes."""
    edges: list[Edge] = []
    seen: set[int] = set()
    strongest_edges = solution.strongest_edges
    while point not in seen and (edge := strongest_edges.get(point)) is not None:
        seen.add(point)
        edges.append(edge)
        point = edge.source
    strongest = solution.graph.strongest_entries.get(point)
    source = None if strongest is None else solution.graph.components[strongest.component]
    return Way(tuple(edges[::-1]), source)


def controls_with_room(solution: Solution, point: int) -> dict[str, float]:
    """Ranges before a point, on its strongest way, that are free: how far each goes up. [dB]

    A transmitter goes up as far as its own ceiling lets it.
    """
    rig = solution.rig
    by_ceiling = planned_by_ceiling(solution)
    return {
        control: by_ceiling.get(control, plan.high) - rig.setting_db(control)
        for control in dict.fromkeys(strongest_way(solution, point).controls)
        if (plan := rig.controls[control]).kind == "range" and control not in rig.show.locks
    }


def doubts_of_level(
    solution: Solution, point: int, *, slope: float, peak: bool = False
) -> Iterator[Doubt]:
    """Doubts of a margin that moves ``slope`` dB for each dB of the level (or peak) at a point.

    What comes by one of several ways counts by its share of the power where they meet.
    """
    way = strongest_way(solution, point)
    arriving = solution.arriving_power
    share = 1.0
    filters: dict[float, int] = {}  # the first on the way of those with one slope
    for edge in reversed(way.edges):
        before = slope * _slope_of_limiter(solution, edge.target, peak=peak)
        for doubt in _doubts_of_threshold(solution, edge.target, (slope - before) * share):
            yield replace(doubt, is_drawn=True)
        slope = before
        if peak and _is_filtering(solution, edge.target):
            filters[slope] = edge.target
        share *= solution.arriving_rms(edge) ** 2 / float(arriving[edge.target])
        for doubt in _doubts_of_edge(solution, edge, way.power, slope * share):
            yield replace(doubt, is_drawn=True)
        if edge.control in solution.rig.unknowns and _is_range(solution, edge.control):
            yield _doubt_of_control(solution, edge.control, slope * share)
    if filters:
        most = max(filters, key=abs)
        yield _doubt_of_filter(solution, filters[most], most)
    if way.source is not None:
        heard = share_of_origin(solution, way.source, point)
        yield from _doubts_of_source(way.source, slope * heard, slope, peak=peak)


def doubts_of_limiter(solution: Solution, point: int) -> Iterator[Doubt]:
    """Doubts of how far peaks may still rise before the limiter of a stage takes too much."""
    edge = solution.strongest_edges.get(point)
    yield from _doubts_of_threshold(solution, point, +1.0)
    if edge is not None:
        power = strongest_way(solution, point).power
        yield from _doubts_of_edge(solution, edge, power, -1.0)
        yield from doubts_of_level(solution, edge.source, slope=-1.0, peak=True)


def _slope_of_limiter(solution: Solution, point: int, *, peak: bool) -> float:
    """DB behind a stage for each dB before it: less than one where a limiter takes something."""
    if solution.limiter_at(point) is None:
        return 1.0
    down, up = solution.limiter_moves_db(point, [-_STEP_DB, _STEP_DB], of_peaks=peak)
    return float(up - down) / (2 * _STEP_DB)


def _doubts_of_threshold(solution: Solution, point: int, slope: float) -> Iterator[Doubt]:
    """The more a limiter takes, the more its threshold decides."""
    shape = solution.graph.shapes.get(point)
    if slope and shape is not None and shape.threshold is not None:
        words = f"threshold of {place_words(solution.graph.points[point].label)}"
        yield Doubt(words, "fact", shape.threshold, slope, is_level=True)


def _is_filtering(solution: Solution, point: int) -> bool:
    shape = solution.graph.shapes.get(point)
    return shape is not None and shape.is_filtering


def _doubt_of_filter(solution: Solution, point: int, slope: float) -> Doubt:
    """Filters turn phases and take bands away, and peaks may come out higher or lower.

    Told once for a way, of its first filter of those with the fewest limiters behind them.
    """
    words = f"peak to rms behind {place_words(solution.graph.points[point].label)}"
    return Doubt(words, "chance", CREST_BEHIND_FILTERS, slope)


def level_doubt(level: Figure, within: Figure | None) -> tuple[Figure, Figure | None]:
    """Range of a level in two: between performers, and within one performance (0 dB, both ways).

    The level's own range holds both, which add as squares.

    Examples
    --------
    >>> singer = Figure(0.4, 0.4 * 10 ** (-0.5), 0.4 * 10**0.5, "Pa", "typical")  # 10 dB either way
    >>> who, evening = level_doubt(singer, Figure(6.0, 5.0, 7.0, "dB", "typical"))
    >>> round(20 * math.log10(who.high / who.value), 6), evening.low, evening.high
    (8.0, -6.0, 6.0)
    """
    if within is None:
        return level, None
    both_db = 10 * math.log10(level.high / level.low)
    part = math.sqrt(max(0.0, 1 - (within.value / both_db) ** 2)) if both_db else 0.0
    low = level.value * (level.low / level.value) ** part
    high = level.value * (level.high / level.value) ** part
    strays = replace(within, value=0.0, low=-within.value, high=within.value)
    return replace(level, low=low, high=high), strays


def share_of_origin(solution: Solution, source: Component, point: int) -> float:
    """Share of a performance in the power at a point, however it gets there."""
    carried, components = solution.carried, solution.graph.components
    here = np.flatnonzero((carried.point == point) & (carried.component < carried.first_noise))
    power = carried.power[here].sum(axis=1)
    own = [components[number].origin == source.origin for number in carried.component[here]]
    total = float(power.sum())
    return float(power[own].sum()) / total if total > 0 else 1.0


def _doubts_of_edge(
    solution: Solution, edge: Edge, power: NDArray[np.float64], slope: float
) -> Iterator[Doubt]:
    target = solution.graph.points[edge.target]
    for figure in edge.figures:
        yield Doubt(gain_words(target.label, figure.unit), "fact", figure, slope)
    if edge.through is not None:
        yield from _doubts_of_island(solution, edge.through, target.address, power, slope)


def _is_range(solution: Solution, control: str) -> bool:
    return solution.rig.controls[control].kind == "range"


def _doubt_of_control(solution: Solution, control: str, slope: float) -> Doubt:
    """A control that nobody knows: anywhere in the part of its travel that people use."""
    rig = solution.rig
    low, high = unknown_span_db(rig.controls[control])
    now = rig.setting_db(control)
    figure = Figure(now, min(low, now), max(high, now), "dB", "common practice")
    return Doubt(control_words(rig, control), "fact", figure, slope, is_even=True)


def _doubts_of_source(
    source: Component, slope: float, peak_slope: float, *, peak: bool
) -> Iterator[Doubt]:
    who = place_words(source.label)
    level = f"level of {who} in the loud passage"
    performer, evening = level_doubt(source.level, source.within_db)
    yield Doubt(level, "chance", performer, slope, of=who, is_level=True, is_drawn=True)
    if evening is not None:
        tonight = f"{who} on the night"
        yield Doubt(tonight, "chance", evening, slope, of=who, is_drawn=True, is_departure=True)
    if peak:
        words, crest = f"peak to rms of {who}", source.peak_to_rms_db
        yield Doubt(words, "chance", crest, peak_slope, of=who, is_drawn=True)


def _doubts_of_island(
    solution: Solution, through: Through, address: str, power: NDArray[np.float64], slope: float
) -> Iterator[Doubt]:
    number = through.island
    for each in island_sensitivities(
        solution.islands[number],
        solution.solved[number],
        address,
        (through.port, through.signal),
        power,
    ):
        words = figure_words(solution.rig, each.tag)
        yield Doubt(words, "fact", each.figure, each.slope * slope)
