"""What the level at a point hangs on: figures met on the strongest way that leads there.

Stage gains enter with slope 1. Figures of an island enter with the first-order sensitivity of its
transfer, weighted over the bands by the power that passes.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from levelhead.chain.graph import Component, Edge
from levelhead.chain.solution import Solution
from levelhead.circuit.assembly import Island
from levelhead.circuit.solve import Solved
from levelhead.gear.figures import Figure
from levelhead.quantity.spectra import band_levels_db
from levelhead.verdicts.limit_state import Doubt, merged

__all__ = ["doubts_of_level", "strongest_way"]

_TRANSFORMER_FIGURES = ("ratio", "magnetising", "leakage", "primary", "secondary")


def strongest_way(solution: Solution, point: int) -> tuple[list[Edge], Component | None]:
    """Edges from the source that is strongest at a point, in signal order, and that source."""
    arriving: dict[int, list[Edge]] = {}
    for edge in solution.graph.edges:
        arriving.setdefault(edge.target, []).append(edge)
    way: list[Edge] = []
    seen: set[int] = set()
    while point in arriving and point not in seen:
        seen.add(point)
        best = max(arriving[point], key=lambda edge: _arriving_rms(solution, edge))
        if _arriving_rms(solution, best) == 0:
            break
        way.append(best)
        point = best.source
    entering = [each for each in solution.graph.entries if each.point == point]
    if not entering:
        return way[::-1], None
    strongest = max(entering, key=lambda each: each.rms)
    return way[::-1], solution.graph.components[strongest.component]


def _arriving_rms(solution: Solution, edge: Edge) -> float:
    return float(solution.nominal[edge.source]) * float(np.abs(np.asarray(edge.gain)).max())


def doubts_of_level(
    solution: Solution, point: int, *, slope: float, peak: bool = False
) -> tuple[Doubt, ...]:
    """Doubts of a margin that moves ``slope`` dB for each dB of the level (or peak) at a point."""
    way, source = strongest_way(solution, point)
    spectrum = band_levels_db(source.spectrum if source else "programme")
    return merged(_all_doubts(solution, way, source, 10 ** (spectrum / 10), slope, peak=peak))


def _all_doubts(
    solution: Solution,
    way: list[Edge],
    source: Component | None,
    power: NDArray[np.float64],
    slope: float,
    *,
    peak: bool,
) -> Iterator[Doubt]:
    if source is not None:
        yield Doubt(f"{source.origin}, level of the loud passage", "chance", source.level, slope)
        if peak:
            yield Doubt(f"{source.origin}, peak to rms", "chance", source.peak_to_rms_db, slope)
    for edge in way:
        target = solution.graph.points[edge.target]
        if edge.figure is not None:
            what = "gain" if edge.figure.unit == "dB" else "sensitivity"
            yield Doubt(f"{target.address}, {what}", "fact", edge.figure, slope)
        if edge.island is not None and edge.drive is not None:
            yield from _island_doubts(
                solution.islands[edge.island],
                solution.solved[edge.island],
                target.address,
                edge.drive,
                power,
                slope,
            )


def _island_doubts(
    island: Island,
    solved: Solved,
    address: str,
    drive: tuple[str, str | None],
    power: NDArray[np.float64],
    slope: float,
) -> Iterator[Doubt]:
    row = island.sense_addresses.index(address)
    columns = [
        number for number, each in enumerate(island.drives) if (each.port, each.signal) == drive
    ]
    weights = [island.drives[column].weight for column in columns]

    def total(parts: list[NDArray[np.complex128]]) -> NDArray[np.complex128]:
        return np.asarray(sum(w * part for w, part in zip(weights, parts, strict=True)))

    transfer = total([solved.transfer[row, column] for column in columns])
    passed = power * np.abs(transfer) ** 2
    if not passed.any():
        return

    def share(change: NDArray[np.complex128]) -> NDArray[np.float64]:
        """Mean over the power that passes of d ln|T|, for each figure."""
        safe = np.where(transfer == 0, 1.0, transfer)
        mean: NDArray[np.float64] = (np.real(change / safe) * passed).sum(axis=-1) / passed.sum()
        return mean

    elements = share(total([solved.element_change(row, column) for column in columns]))
    for element, sensitivity in zip(island.elements, elements, strict=True):
        yield from _doubt(element.tag, element.figure, float(sensitivity) * slope)
    sources = share(total([solved.source_ohm_change(row, column) for column in columns]))
    for source, sensitivity in zip(island.drives, sources, strict=True):
        yield from _doubt(source.tag, source.figure, float(sensitivity) * slope)
    windings = share(total([solved.transformer_change(row, column) for column in columns]))
    for winding, row_of_figures in zip(island.windings, windings, strict=True):
        for name, sensitivity in zip(_TRANSFORMER_FIGURES, row_of_figures, strict=True):
            figure = winding.spread.get(name)
            yield from _doubt(f"{winding.tag}, {name}", figure, float(sensitivity) * slope)


def _doubt(tag: str, figure: Figure | None, slope: float) -> Iterator[Doubt]:
    if figure is not None:
        yield Doubt(tag, "fact", figure, slope)
