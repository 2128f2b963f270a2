"""What transformers let pass: the ceiling that a core sets at every point behind it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from levelhead.chain.gains import Graph
from levelhead.chain.passages import Passages
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


def core_ceilings(graph: Graph, passages: Sequence[Passages]) -> dict[int, CoreCeiling]:
    """By the number of each point that lies behind a core, what the core lets pass there.

    Where several outputs feed one point, that which brings most counts.
    """
    found: dict[int, CoreCeiling] = {}
    for island in passages:
        if island.cores:
            for row, ceiling in _behind(graph, island):
                if row not in found or ceiling.by_band.min() < found[row].by_band.min():
                    found[row] = ceiling
    return found


def _behind(graph: Graph, island: Passages) -> Iterator[tuple[int, CoreCeiling]]:
    """Points of an island that get their signal by a core, with what it lets pass."""
    is_driven = [driver in graph.wiring.drivers for driver in island.drivers]
    most = np.abs(island.gain).max(axis=2, initial=0.0) * is_driven
    for sense, address in enumerate(island.senses):
        driver = int(most[sense].argmax()) if is_driven else 0
        if is_driven and most[sense, driver] > 0:
            gain = np.abs(island.gain[sense, driver])
            for core in island.cores:
                if core.is_behind[sense, driver]:
                    row = graph.wiring.sockets[address]
                    yield row, CoreCeiling(core.emf_v[driver] * gain, core.figure)
