"""Inputs that hear nothing but their own item: what plays out of the same hole leaks into them."""

from __future__ import annotations

from levelhead.chain.as_set.graph import factor_at_1_khz
from levelhead.chain.graph.points import Edge
from levelhead.chain.solution import Solution

__all__ = ["hears_only_itself"]


def hears_only_itself(solution: Solution, address: str) -> bool:
    """Whether the strongest that arrives at an input comes out of the very hole that it is in.

    Earphones alone in a headset socket: the microphone pole gets what the resistance of the common
    ground makes of the music, and nobody means to record that.
    """
    rig = solution.rig
    port = rig.ports.get(address)
    if port is None or not _plays_too(address, solution):
        return False
    edges, arriving_at = solution.graph.edges, solution.graph.arriving_at(solution.number(address))
    arriving = [edges[each] for each in arriving_at.tolist()]
    strongest = max(arriving, key=lambda each: _brings(solution, each), default=None)
    if strongest is None or strongest.through is None:
        return False
    giving = rig.ports[strongest.through.port]
    return giving.item is port.item and giving.plan.hole == port.plan.hole


def _brings(solution: Solution, edge: Edge) -> float:
    """Volts that a way brings, at 1 kHz."""
    return float(solution.nominal[edge.source]) * factor_at_1_khz(edge)


def _plays_too(address: str, solution: Solution) -> bool:
    """Whether an output shares the hole of an input."""
    own = solution.rig.ports[address]
    return any(
        each.role == "out" and each.hole == own.plan.hole for each in own.block.plan.ports.values()
    )
