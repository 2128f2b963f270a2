"""What transformers let pass: the ceiling that a core sets at every point behind it."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from levelhead.chain.as_set.graph import Graph
from levelhead.chain.copper.passages import Passages
from levelhead.gear.figures import Figure
from levelhead.quantity.spectra import band_levels_db

__all__ = ["CoreCeiling", "core_ceilings", "of_spectrum", "shares_of"]

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
        """Ceiling for a signal: the rms at which its fluxes together fill the core. [V]"""
        return of_spectrum(self.by_band, power) if power.any() else math.inf


def of_spectrum(by_band: Real, power: Real) -> float:
    """Ceiling of a signal whose bands use up a limit together; in the unit of ``by_band``.

    Shares of the limit add as powers: ``1 / U^2 = sum of p / U_band^2`` with ``p`` the part of each
    band in the signal's power. Its peak there is taken to stand as far above its rms as that of the
    signal does. Silence is judged as programme (IEC 60268-1).
    """
    used = float((shares_of(power[None])[0] / by_band**2).sum())
    return 1 / math.sqrt(used) if used > 0 else math.inf


def shares_of(power: Real) -> Real:
    """Part of each band in each signal's power, (signals, bands); silence is like programme."""
    total = power.sum(axis=1, keepdims=True)
    programme = 10 ** (band_levels_db("programme") / 10)
    return np.where(total > 0, power / np.where(total > 0, total, 1.0), programme)


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
