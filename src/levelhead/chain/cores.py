"""What transformers let pass: the ceiling that a core sets at every point behind it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from levelhead.chain.graph import Edge, Graph
from levelhead.circuit.cores import Core, cores_of, is_behind, sine_emf_v
from levelhead.circuit.currents import Driver, drive_weights
from levelhead.circuit.islands import Island
from levelhead.circuit.solve import Solved
from levelhead.gear.figures import Figure

__all__ = ["CoreCeiling", "core_ceilings"]

Real = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class CoreCeiling:
    """The limit of a core, seen at a point behind it.

    Attributes
    ----------
    by_band : (bands,)
        Rms of the largest clean sine of each band. [V]
    figure
        The ceiling of the transformer that sets it.
    """

    by_band: Real
    figure: Figure

    def of_spectrum(self, power: Real) -> float:
        """Ceiling for a signal: the rms at which its fluxes together fill the core. [V]

        Fluxes of bands add as powers: ``1 / U^2 = sum of p / U_band^2`` with ``p`` the share of
        each band in the signal's power. The peak of the flux is taken to stand as far above its
        rms as that of the signal does.
        """
        total = power.sum()
        if total <= 0:
            return float("inf")
        return float(1 / np.sqrt((power / total / self.by_band**2).sum()))


def core_ceilings(
    graph: Graph, islands: Sequence[Island], solved: Sequence[Solved]
) -> dict[int, CoreCeiling]:
    """By the number of each point that lies behind a core, what the core lets pass there.

    Where several outputs feed one point, that which brings most counts.
    """
    crossing: dict[int, list[Edge]] = {}
    for edge in graph.edges:
        if edge.through is not None:
            crossing.setdefault(edge.through.island, []).append(edge)
    found: dict[int, CoreCeiling] = {}
    for number, island in enumerate(islands):
        for core in cores_of(island):
            for row, ceiling in _behind(
                core, island, solved[number], graph, crossing.get(number, [])
            ):
                if row not in found or ceiling.by_band.min() < found[row].by_band.min():
                    found[row] = ceiling
    return found


def _behind(
    core: Core, island: Island, solved: Solved, graph: Graph, edges: Sequence[Edge]
) -> Iterator[tuple[int, CoreCeiling]]:
    """Points of an island that get their signal by a core, with what it lets pass."""
    strongest: dict[int, Edge] = {}
    for edge in edges:
        known = strongest.get(edge.target)
        if known is None or np.abs(edge.gain).max() > np.abs(known.gain).max():
            strongest[edge.target] = edge
    by_driver: dict[Driver, list[Edge]] = {}
    for edge in strongest.values():
        if edge.through is not None:
            by_driver.setdefault(Driver(edge.through.port, edge.through.signal), []).append(edge)
    rows = {address: row for row, address in enumerate(island.sense_addresses)}
    for driver, fed in by_driver.items():
        weights = drive_weights(island, driver)
        emf_v = sine_emf_v(island, solved, core, weights)
        senses = [rows[graph.points[edge.target].address] for edge in fed]
        for edge, behind in zip(fed, is_behind(solved.network, core, weights, senses), strict=True):
            if behind:
                yield edge.target, CoreCeiling(emf_v * np.abs(edge.gain), core.ceiling)
