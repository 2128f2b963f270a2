"""A solved rig in the numbering of another one: moved switches may number points anew."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from levelhead.chain.solution import Solution

__all__ = ["Measured", "own_ceilings"]

Real = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Measured:
    """What a solution has at the points of a rig as it stands; each (points,), as in ``Solution``.

    A point that is no more there is silent. Ceilings are those of the gear (:func:`own_ceilings`).
    """

    nominal: Real
    crest_db: Real
    ceiling: Real
    floor_a: Real

    @classmethod
    def of(cls, solution: Solution, base: Solution) -> Measured:
        """A solution of the same rig after some edits, by the numbers of ``base``."""
        columns = (solution.nominal, solution.crest_db, own_ceilings(solution), solution.floor_a)
        if solution.graph.wiring is base.graph.wiring:
            return cls(*columns)
        index = solution.graph.index
        places = np.array([index.get(each, -1) for each in base.graph.wiring.addresses])
        gone = places < 0
        return cls(*(np.where(gone, 0.0, column[places]) for column in columns))


def own_ceilings(solution: Solution) -> Real:
    """Ceiling of each point without what plugs bring along; ``inf`` where the gear has none.

    A socket ends with the output that feeds it, which is judged there: no pad between the two
    gives that output more room. What a socket has of its own, and what the core of a transformer
    before it lets pass, stays.
    """
    wiring = solution.graph.wiring
    ceiling: Real = solution.ceiling.copy()
    sockets = len(wiring.sockets)
    own = wiring.columns.ceiling[:sockets]
    ceiling[:sockets] = np.where(np.isfinite(own), np.minimum(ceiling[:sockets], own), np.inf)
    for row, core in solution.cores.items():
        power = solution.power_at(wiring.addresses[row])
        ceiling[row] = min(float(ceiling[row]), core.of_spectrum(power))
    return ceiling
