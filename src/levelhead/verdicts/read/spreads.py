"""How far the level at a point may lie from its usual one, where slopes do not tell.

On a single way whose islands follow their slopes, doubts add as squares and nothing is drawn. Where
several ways meet, a limiter works or is near, or an island bends, the level is drawn: sums and
limiters exactly, such islands solved again.
"""

from __future__ import annotations

from functools import cached_property
from typing import Final

import numpy as np
from numpy.typing import NDArray

from levelhead.chain.draws.bends import DRAWS, Bends, TriedIslands
from levelhead.chain.draws.levels import LevelDraws
from levelhead.chain.graph.points import Edge
from levelhead.chain.solution import Solution
from levelhead.verdicts.read.doubts import strongest_way

__all__ = ["DRAWS", "LevelSpreads"]

_ALONE: Final = 0.97  # share of the power that makes one way of several the only one


class LevelSpreads:
    """Draws of the levels of a solution, made when a point first needs them."""

    def __init__(self, solution: Solution, islands: TriedIslands | None = None) -> None:
        self.solution = solution
        known = TriedIslands() if islands is None else islands
        self._bends = Bends(solution, known)
        self._numbers = known.numbers

    def moves_db(self, point: int, *, of_peaks: bool = False) -> NDArray[np.float64] | None:
        """Level (or peak) at a point less its usual one; ``None`` where the doubts tell it. [dB]

        As many as are drawn, (draws,).
        """
        edges = strongest_way(self.solution, point).edges
        is_plain = all(
            self._is_alone(edge)
            and self.solution.limiter_at(edge.target) is None
            and self._bends.moved_db(edge) is None
            for edge in edges
        )
        carries = bool(self.solution.nominal[point] > 0)
        if is_plain or not carries:
            return None
        return self._draws.moves_db(point, of_peaks=of_peaks)

    def _is_alone(self, edge: Edge) -> bool:
        """Whether nothing else that counts arrives where an edge ends."""
        arriving = self.solution.arriving_rms(edge) ** 2
        return arriving >= _ALONE * float(self.solution.arriving_power[edge.target])

    @cached_property
    def _draws(self) -> LevelDraws:
        edges = self.solution.graph.edges
        return LevelDraws(
            self.solution, self._numbers, lambda number: self._bends.moved_db(edges[number])
        )
