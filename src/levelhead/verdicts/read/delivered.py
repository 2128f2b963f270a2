"""What outputs can bring to a port at most: controls up, nothing that protects them counted on.

A ceiling here is that of the output's volts. Where a load would make an amplifier run out of
current, its protection saves what is plugged there; harm is judged as if that failed.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from levelhead.chain.copper.passages import Passages
from levelhead.chain.solution import Solution
from levelhead.circuit.limits.currents import Driver
from levelhead.gear.figures import Figure

__all__ = ["Delivered", "Known", "arriving", "ceiling_of", "reach_of"]


@dataclass(frozen=True, slots=True)
class Delivered:
    """What can arrive at most, and the output that brings most of it.

    Attributes
    ----------
    total_v
        Rms, all outputs in the worst phase. [V]
    strongest
        Address of the output that brings most.
    ceiling
        The figure that limits it, if one is known.
    """

    total_v: float
    strongest: str
    ceiling: Figure | None


Reach = tuple[float, Figure | None]  # the most that an output gives, and the figure that limits it
Known = dict[Passages, tuple[tuple[Reach, ...], tuple[tuple[str, Delivered], ...]]]


def ceiling_of(solution: Solution, driver: Driver) -> tuple[float, Figure | None]:
    """Largest clean sine of an output by its volts, and the figure that says so. [V]

    That of the stage behind it; of an output whose inside is not drawn, that of the port.
    """
    row = solution.graph.wiring.drivers.get(driver)
    if row is not None:
        point = solution.graph.points[row]
        if math.isfinite(point.ceiling):
            return point.ceiling, point.ceiling_figure
        return float(solution.ceiling[row]), point.ceiling_figure
    figure = solution.rig.ports[driver.port].plan.figures.get("ceiling")
    return (math.inf if figure is None else figure.value), figure


def reach_of(solution: Solution, island: Passages, number: int) -> Reach:
    """The same, less what an output loses whose ends run out one by one. [V]"""
    ceiling_v, figure = ceiling_of(solution, island.drivers[number])
    return ceiling_v / max(1.0, 2 * float(island.swing_v_per_v[number])), figure


def arriving(solution: Solution, known: Known) -> Iterator[tuple[str, Delivered]]:
    """Every place where something can arrive through the copper, with the most that can.

    What is ``known`` of an island whose outputs reach as far as they did is taken from there; what
    is found is noted there, and islands that are gone are let go.
    """
    for gone in known.keys() - set(solution.copper.passages):
        del known[gone]
    for island in solution.copper.passages:
        reaches = tuple(reach_of(solution, island, each) for each in range(len(island.drivers)))
        if island not in known or known[island][0] != reaches:
            known[island] = (reaches, tuple(_arriving(island, reaches)))
        yield from known[island][1]


def _arriving(island: Passages, reaches: Sequence[Reach]) -> Iterator[tuple[str, Delivered]]:
    most = np.abs(island.gain).max(axis=2, initial=0.0)
    for sense, address in enumerate(island.senses):
        found = _summed(island, most[sense], reaches)
        if found is not None:
            yield address, found


def _summed(
    island: Passages, most: NDArray[np.float64], reaches: Sequence[Reach]
) -> Delivered | None:
    """Both signals of a stereo output, and all outputs, at their worst at once."""
    volts: dict[str, float] = {}
    figures: dict[str, Figure | None] = {}
    for driver, gain, (ceiling_v, figure) in zip(island.drivers, most, reaches, strict=True):
        if math.isfinite(ceiling_v) and gain > 0:
            volts[driver.port] = volts.get(driver.port, 0.0) + ceiling_v * float(gain)
            figures[driver.port] = figure
    if not volts:
        return None
    strongest = max(volts, key=lambda port: volts[port])
    return Delivered(sum(volts.values()), strongest, figures[strongest])
