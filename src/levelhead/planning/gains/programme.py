"""A mixed-integer programme whose levels are sums of monomials, solved by outer approximation.

The level of a sum in dB, ``10 lg sum 10^((k + e x) / 10)``, is convex in the settings ``x``: its
tangents lie below it. A relaxation holds tangents only, so what it finds no setting can beat; where
the true level stands above it, the tangent there is added and it is solved again, until both are
the same. Earlier goals stay as rows for later ones.

References
----------
M. A. Duran, I. E. Grossmann, An outer-approximation algorithm for a class of mixed-integer
nonlinear programs, Mathematical Programming 36 (1986), 307-339; S. Boyd, S.-J. Kim,
L. Vandenberghe, A. Hassibi, A tutorial on geometric programming, Optimization and Engineering 8
(2007), 67-127.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final, NoReturn

import numpy as np
from numpy.typing import NDArray

from levelhead.errors import SolveError

__all__ = ["Found", "LogSum", "Programme"]

Real = NDArray[np.float64]

CLOSED_DB: Final = 0.005  # between a relaxed level and the true one, where it counts as closed
_MOST_ROUNDS: Final = 30
_LIMIT_S: Final = 2.0
_LOWEST_DB: Final = -400.0


@dataclass(frozen=True, eq=False)
class LogSum:
    """A level: ``10 lg`` of a sum of terms, each ``at_db`` plus its row of ``slopes`` times x."""

    at_db: Real
    slopes: Real

    def level_db(self, settings: Real) -> float:
        """The level at some settings."""
        terms_db = self.at_db + self.slopes @ settings
        top = float(terms_db.max())
        return top + 10 * float(np.log10((10 ** ((terms_db - top) / 10)).sum()))

    def tangent(self, settings: Real) -> tuple[float, Real]:
        """The tangent there: ``level >= constant + slope x`` everywhere."""
        terms_db = self.at_db + self.slopes @ settings
        weights = 10 ** ((terms_db - terms_db.max()) / 10)
        slope: Real = (weights / weights.sum()) @ self.slopes
        return self.level_db(settings) - float(slope @ settings), slope


@dataclass(frozen=True, eq=False)
class Found:
    """A solution: all variables, what the cost is there, and what it is at least anywhere."""

    values: Real
    cost: float
    bound: float


class Programme:
    """Variables, rows and levels. The first variables are the settings themselves."""

    def __init__(self, low: Real, high: Real, is_whole: NDArray[np.bool_]) -> None:
        self.settings = len(low)
        self._low, self._high = low.tolist(), high.tolist()
        self._whole = is_whole.tolist()
        self._rows: list[tuple[NDArray[np.int64], Real, float, float]] = []
        self._levels: list[tuple[int, LogSum]] = []

    def variable(self, low: float = 0.0, high: float = np.inf, *, is_whole: bool = False) -> int:
        """A further variable."""
        self._low.append(low)
        self._high.append(high)
        self._whole.append(is_whole)
        return len(self._low) - 1

    def row(
        self, parts: Mapping[int, float], *, low: float = -np.inf, high: float = np.inf
    ) -> None:
        """``low <= sum <= high``."""
        places = np.fromiter(parts, dtype=np.int64, count=len(parts))
        self._rows.append((places, np.array(list(parts.values())), low, high))

    def level(self, level: LogSum, start: Real) -> int:
        """A variable that is at least a level, with its tangent at ``start``."""
        number = self.variable(_LOWEST_DB)
        self._levels.append((number, level))
        self._cut(number, level, start)
        return number

    def fix(self, variable: int, *, low: float, high: float) -> None:
        """Narrow what a variable may be."""
        self._low[variable] = max(self._low[variable], low)
        self._high[variable] = min(self._high[variable], high)

    def least(
        self,
        cost: Mapping[int, float],
        *,
        limit_s: float = _LIMIT_S,
        rounds: int = _MOST_ROUNDS,
        or_else: Found | None = None,
    ) -> Found:
        """Make a cost small. ``or_else`` is what is taken where time runs out before anything.

        Raises
        ------
        SolveError
            No settings go with all rows; each goal gives way, so this is a mistake of ours.
        """
        values: Real | None = None
        bound = -np.inf
        for _ in range(rounds):
            values, bound = self._solved(cost, limit_s, is_needed=or_else is None)
            if values is None or not self._tightened(values):
                break
        else:
            values = values if or_else is None else None
        if values is None:
            return or_else if or_else is not None else self._refuse("nothing was tried")
        value = sum(each * float(values[number]) for number, each in cost.items())
        return Found(values, value, min(bound, value))

    def _tightened(self, values: Real) -> bool:
        """Add the tangent of every level that the relaxation has too low."""
        settings, is_new = values[: self.settings], False
        for number, level in self._levels:
            if level.level_db(settings) > values[number] + CLOSED_DB:
                self._cut(number, level, settings)
                is_new = True
        return is_new

    def _cut(self, number: int, level: LogSum, settings: Real) -> None:
        constant, slope = level.tangent(settings)
        places = np.flatnonzero(slope)
        parts = {number: 1.0} | {int(each): -float(slope[each]) for each in places}
        self.row(parts, low=constant)

    def _solved(
        self, cost: Mapping[int, float], limit_s: float, *, is_needed: bool
    ) -> tuple[Real | None, float]:
        from scipy.optimize import Bounds, LinearConstraint, milp

        weights = np.zeros(len(self._low))
        for number, each in cost.items():
            weights[number] = each
        found = milp(
            weights,
            integrality=np.array(self._whole, dtype=np.int64),
            bounds=Bounds(np.array(self._low), np.array(self._high)),
            constraints=LinearConstraint(self._matrix(), *self._ends()),
            options={"mip_rel_gap": 0.0, "time_limit": limit_s},
        )
        if found.x is None and is_needed:
            self._refuse(str(found.message))
        bound = getattr(found, "mip_dual_bound", None)
        if found.x is None:
            return None, -np.inf
        return found.x, float(found.fun if bound is None else bound)

    @staticmethod
    def _refuse(why: str) -> NoReturn:
        raise SolveError(
            f"no settings were found ({why})",
            where="the gain plan",
            expected="settings for which every goal gives way as little as it must",
            remedy="Please report it with the show: each goal may give way, so there are some.",
        )

    def _matrix(self) -> object:
        from scipy.sparse import csr_array

        counts = [len(places) for places, *_ in self._rows]
        starts = np.concatenate(([0], np.cumsum(counts)))
        places = np.concatenate([each for each, *_ in self._rows] or [np.zeros(0, dtype=np.int64)])
        numbers = np.concatenate([each for _, each, *_ in self._rows] or [np.zeros(0)])
        shape = (len(self._rows), len(self._low))
        return csr_array((numbers, places, starts), shape=shape)

    def _ends(self) -> tuple[Sequence[float], Sequence[float]]:
        return [row[2] for row in self._rows], [row[3] for row in self._rows]
