"""Ceilings: the largest clean sine at each point, also where an output runs out of current."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from levelhead.chain.cores import CoreCeiling
from levelhead.chain.graph import Edge, Graph, Through
from levelhead.circuit.assembly import Island
from levelhead.circuit.currents import Driver, leg_current_a_per_v
from levelhead.circuit.solve import Solved
from levelhead.circuit.swing import swing_v_per_v
from levelhead.rig.model import Rig

__all__ = ["CROSSTALK", "Signals", "ceilings", "factor_at_1_khz"]

CROSSTALK: Final = 0.01  # 40 dB down: a shared ground, not a way for the signal
_ONE_KHZ_BAND: Final = 17
_NO_CURRENT_A_PER_V: Final = 1e-30  # an output that nothing loads
_NOTHING_LEFT_V: Final = 1e-6  # of an output that others overrun; a level, so that it shows


class _Leaving(NamedTuple):
    """An edge out of an output, the output and island it leaves by, and its factor at 1 kHz."""

    edge: Edge
    through: Through
    factor: float


def factor_at_1_khz(edge: Edge) -> float:
    """Magnitude of an edge's gain, at 1 kHz where it differs by bands."""
    if isinstance(edge.gain, np.ndarray):
        return float(abs(edge.gain[_ONE_KHZ_BAND]))
    return abs(edge.gain)


class Signals(NamedTuple):
    """What the points carry: mean square in each band (points, bands), and peaks (points,).

    A peak is the rms of the sine with the same peak.
    """

    power: NDArray[np.float64]
    peak: NDArray[np.float64]


def ceilings(
    rig: Rig,
    graph: Graph,
    islands: Sequence[Island],
    solved: Sequence[Solved],
    signals: Signals,
    cores: Mapping[int, CoreCeiling],
) -> NDArray[np.float64]:
    """Rms of the largest clean sine at each point, (points,); ``inf`` where nothing limits it.

    An output ends where its stage does, where one of its legs does, or where its current does. What
    it feeds ends with it;
    where several outputs meet, with the one that can bring most. Traces do not count. Behind a
    transformer the signal ends also where its core is full.
    """
    ceiling = np.array([point.ceiling for point in graph.points])
    leaving = [
        _Leaving(edge, edge.through, factor_at_1_khz(edge))
        for edge in graph.edges
        if edge.through is not None
    ]
    own = ceiling.copy()
    others = _others_peak_v(leaving, signals)
    for edge, through, _ in leaving:
        island, solution = islands[through.island], solved[through.island]
        emf_v = _emf_at_current_limit(rig, island, solution, through, others[through.island])
        swing_v = own[edge.source] / _swing_share(islands, solved, through)
        ceiling[edge.source] = min(ceiling[edge.source], emf_v, swing_v)
    for target, brought in _brought(leaving, ceiling).items():
        ceiling[target] = min(ceiling[target], brought)
    for row, core in cores.items():
        ceiling[row] = min(ceiling[row], core.of_spectrum(signals.power[row]))
    return ceiling


def _others_peak_v(leaving: Sequence[_Leaving], signals: Signals) -> dict[int, dict[Driver, float]]:
    """By island, what each of its outputs makes: the sine with the same peak. [V rms]"""
    found: dict[int, dict[Driver, float]] = {}
    for edge, through, _ in leaving:
        driver = Driver(through.port, through.signal)
        found.setdefault(through.island, {})[driver] = float(signals.peak[edge.source])
    return found


def _brought(leaving: Sequence[_Leaving], ceiling: NDArray[np.float64]) -> dict[int, float]:
    """By the number of each point, the largest clean sine that any one output brings there."""
    strongest: dict[int, float] = {}
    for edge, _, factor in leaving:
        strongest[edge.target] = max(strongest.get(edge.target, 0.0), factor)
    brought: dict[int, float] = {}
    for edge, _, factor in leaving:
        if factor > CROSSTALK * strongest[edge.target]:
            reach = float(ceiling[edge.source]) * factor
            brought[edge.target] = max(brought.get(edge.target, 0.0), reach)
    return brought


def _swing_share(islands: Sequence[Island], solved: Sequence[Solved], through: Through) -> float:
    """How much more than half of the signal one end of an output has to make: 2 with a leg held."""
    island, solution = islands[through.island], solved[through.island]
    swing = swing_v_per_v(island, solution, through.port, through.signal)
    return max(1.0, 2 * swing)


def _emf_at_current_limit(
    rig: Rig, island: Island, solved: Solved, through: Through, peak_v: Mapping[Driver, float]
) -> float:
    """Rms emf at which the weakest leg's peak current is reached; ``inf`` without a limit. [V]

    What other outputs drive into a leg is taken in the worst phase, and leaves that much less.
    """
    limit_a = rig.ports[through.port].plan.figure("current")
    if limit_a is None:
        return math.inf
    own = Driver(through.port, through.signal)
    left_a: float | NDArray[np.float64] = limit_a / math.sqrt(2)
    for other, volts in peak_v.items():
        if other != own and volts > 0:
            left_a = left_a - volts * np.abs(leg_current_a_per_v(island, solved, own, other))
    drawn_a_per_v = np.abs(leg_current_a_per_v(island, solved, own, own))
    emf_v = np.maximum(left_a, 0.0) / np.maximum(drawn_a_per_v, _NO_CURRENT_A_PER_V)
    return max(float(emf_v.min()), _NOTHING_LEFT_V)
