"""Full redraws: every doubtful figure of a rig drawn, the rig solved again, its levels read.

What ``levels`` takes to first order is exact here: plans are rebuilt with the drawn figures,
circuits and chain are solved as if the drawn gear stood there. It costs a whole solution a draw.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Final

import numpy as np
from numpy.typing import NDArray

from levelhead.chain.draws.levels import SHARED_BY_TYPE
from levelhead.chain.levels import REFERENCE_OF_UNIT
from levelhead.chain.solve import solve
from levelhead.gear.figures import Figure
from levelhead.rig.model import Rig
from levelhead.rig.refigured import FigurePlace, refigured

__all__ = ["PERFORMED", "drawn_rig", "redraw_levels_db"]

PERFORMED: Final = ("generator.level", "generator.peak_to_rms_db", "air.level_pa", "air.peak_to")


def redraw_levels_db(
    rig: Rig, addresses: Sequence[str], *, draws: int, rng: np.random.Generator
) -> NDArray[np.float64]:
    """Nominal levels at some points, from so many rigs drawn and solved.

    Parameters
    ----------
    addresses
        Points that carry a signal as the rig stands.

    Returns
    -------
    float, (draws, addresses)
        Level less that of the rig as it stands; ``-inf`` where a draw is silent there (a
        condenser microphone whose phantom power did not suffice). [dB]

    Raises
    ------
    SolveError
        No such point.
    """
    usual = _levels_db(rig, addresses)
    rows = [_levels_db(drawn_rig(rig, rng), addresses) for _ in range(draws)]
    return np.array(rows).reshape(draws, len(addresses)) - usual


def _levels_db(rig: Rig, addresses: Sequence[str]) -> NDArray[np.float64]:
    solution = solve(rig)
    numbers = [solution.number(address) for address in addresses]
    reference = [REFERENCE_OF_UNIT[solution.graph.points[number].unit][0] for number in numbers]
    with np.errstate(divide="ignore"):
        levels: NDArray[np.float64] = 20 * np.log10(solution.nominal[numbers] / reference)
    return levels


def drawn_rig(rig: Rig, rng: np.random.Generator) -> Rig:
    """A rig whose doubtful figures are drawn within their spread, once.

    A figure is normal in decibels; its range holds two standard deviations each side. Things of one
    type share half of the variance of each figure; what somebody performs is shared by nobody.
    """
    return refigured(rig, _Draw(rng).figure)


@dataclass(slots=True)
class _Draw:
    """One draw of everything: standard normal numbers by what they belong to."""

    rng: np.random.Generator
    numbers: dict[object, float] = field(default_factory=dict)

    def figure(self, place: FigurePlace, figure: Figure) -> Figure:
        spread_db = figure.spread_db
        return figure.moved(spread_db * self._deviations(place, figure)) if spread_db else figure

    def _deviations(self, place: FigurePlace, figure: Figure) -> float:
        performed = next((each for each in PERFORMED if each in place.name), None)
        if performed is not None:
            return self._number((place.owner, performed, figure))
        shared = self._number((place.type_id, place.block, place.name, figure))
        own = self._number(place)
        return math.sqrt(SHARED_BY_TYPE) * shared + math.sqrt(1 - SHARED_BY_TYPE) * own

    def _number(self, key: object) -> float:
        if key not in self.numbers:
            self.numbers[key] = float(self.rng.standard_normal())
        return self.numbers[key]
