"""What the level at a point hangs on: figures met on the strongest way that leads there.

Stage gains enter with slope 1. Figures of an island enter with the first-order sensitivity of its
transfer, weighted over the bands by the power that passes.
"""

from __future__ import annotations

from collections.abc import Iterator

from levelhead.chain.graph import Component, Edge
from levelhead.chain.sensitivity import island_sensitivities
from levelhead.chain.solution import Solution
from levelhead.quantity.spectra import band_levels_db
from levelhead.verdicts.limit_state import Doubt

__all__ = ["doubts_of_level", "strongest_way"]

_NEGLIGIBLE_SLOPE = 1e-3


def strongest_way(solution: Solution, point: int) -> tuple[list[Edge], Component | None]:
    """Edges from the source that is strongest at a point, in signal order, and that source."""
    way: list[Edge] = []
    seen: set[int] = set()
    while point in solution.strongest_edges and point not in seen:
        seen.add(point)
        way.append(solution.strongest_edges[point])
        point = way[-1].source
    entering = [each for each in solution.graph.entries if each.point == point]
    if not entering:
        return way[::-1], None
    strongest = max(entering, key=lambda each: each.rms)
    return way[::-1], solution.graph.components[strongest.component]


def doubts_of_level(
    solution: Solution, point: int, *, slope: float, peak: bool = False
) -> Iterator[Doubt]:
    """Doubts of a margin that moves ``slope`` dB for each dB of the level (or peak) at a point."""
    way, source = strongest_way(solution, point)
    if source is not None:
        yield from _source_doubts(source, slope, peak=peak)
    for edge in way:
        label = solution.graph.points[edge.target].label
        for figure in edge.figures:
            what = "gain" if figure.unit == "dB" else "sensitivity"
            yield Doubt(f"{what} of {label}", "fact", figure, slope)
        yield from _island_doubts(solution, edge, source, slope)


def _source_doubts(source: Component, slope: float, *, peak: bool) -> Iterator[Doubt]:
    loudest = f"loudest passage of {source.label}"
    yield Doubt(loudest, "chance", source.level, slope, of=source.label, is_level=True)
    if peak:
        figure = source.peak_to_rms_db
        yield Doubt(f"peak to rms of {source.label}", "chance", figure, slope, of=source.label)


def _island_doubts(
    solution: Solution, edge: Edge, source: Component | None, slope: float
) -> Iterator[Doubt]:
    if edge.through is None:
        return
    power = 10 ** (band_levels_db(source.spectrum if source else "programme") / 10)
    found = island_sensitivities(
        solution.islands[edge.through.island],
        solution.solved[edge.through.island],
        solution.graph.points[edge.target].address,
        (edge.through.port, edge.through.signal),
        power,
    )
    for each in found:
        if abs(each.slope) > _NEGLIGIBLE_SLOPE:
            yield Doubt(each.tag, "fact", each.figure, each.slope * slope)
