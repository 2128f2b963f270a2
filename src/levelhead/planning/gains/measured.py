"""A solved rig in the numbering of another one: moved switches may number points anew."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from levelhead.chain.solution import Solution

__all__ = ["Measured"]

Real = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Measured:
    """What a solution has at the points of a rig as it stands; each (points,), as in ``Solution``.

    A point that is no more there is silent.
    """

    nominal: Real
    crest_db: Real
    ceiling: Real
    floor_a: Real

    @classmethod
    def of(cls, solution: Solution, base: Solution) -> Measured:
        """A solution of the same rig after some edits, by the numbers of ``base``."""
        columns = (solution.nominal, solution.crest_db, solution.ceiling, solution.floor_a)
        if solution.graph.wiring is base.graph.wiring:
            return cls(*columns)
        index = solution.graph.index
        places = np.array([index.get(each, -1) for each in base.graph.wiring.addresses])
        gone = places < 0
        return cls(*(np.where(gone, 0.0, column[places]) for column in columns))
