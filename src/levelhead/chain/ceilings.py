"""Ceilings: the largest clean sine at each point, also where an output runs out of current."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from levelhead.chain.graph import Edge, Graph, Through
from levelhead.circuit.assembly import Island
from levelhead.circuit.solve import Solved
from levelhead.circuit.swing import swing_v_per_v
from levelhead.rig.model import Rig

__all__ = ["CROSSTALK", "ceilings", "factor_at_1_khz", "most_current_a_per_v"]

CROSSTALK: Final = 0.01  # 40 dB down: a shared ground, not a way for the signal
_ONE_KHZ_BAND: Final = 17
_NO_CURRENT_A_PER_V: Final = 1e-30  # an output that nothing loads


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


def ceilings(
    rig: Rig, graph: Graph, islands: Sequence[Island], solved: Sequence[Solved]
) -> NDArray[np.float64]:
    """Rms of the largest clean sine at each point, (points,); ``inf`` where nothing limits it.

    An output ends where its stage does, where one of its legs does, or where its current does. What
    it feeds ends with it;
    where several outputs meet, with the one that can bring most. Traces do not count.
    """
    ceiling = np.array([point.ceiling for point in graph.points])
    leaving = [
        _Leaving(edge, edge.through, factor_at_1_khz(edge))
        for edge in graph.edges
        if edge.through is not None
    ]
    own = ceiling.copy()
    for edge, through, _ in leaving:
        emf_v = _emf_at_current_limit(rig, islands, solved, through)
        swing_v = own[edge.source] / _swing_share(islands, solved, through)
        ceiling[edge.source] = min(ceiling[edge.source], emf_v, swing_v)
    for target, brought in _brought(leaving, ceiling).items():
        ceiling[target] = min(ceiling[target], brought)
    return ceiling


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
    rig: Rig, islands: Sequence[Island], solved: Sequence[Solved], through: Through
) -> float:
    """Rms emf at which the weakest leg's peak current is reached; ``inf`` without a limit. [V]"""
    limit_a = rig.ports[through.port].plan.figure("current")
    if limit_a is None:
        return math.inf
    most = most_current_a_per_v(islands[through.island], solved[through.island], through)
    return limit_a / math.sqrt(2) / max(most, _NO_CURRENT_A_PER_V)


def most_current_a_per_v(island: Island, solved: Solved, through: Through) -> float:
    """Largest rms current of any leg of an output, in any band, for 1 V of its own signal. [A]"""
    legs = [
        (number, drive.weight)
        for number, drive in enumerate(island.drives)
        if (drive.port, drive.signal) == (through.port, through.signal)
    ]
    most = 0.0
    for leg, _ in legs:
        current = sum(weight * solved.source_current[leg, other] for other, weight in legs)
        most = max(most, float(np.abs(current).max()))
    return most
