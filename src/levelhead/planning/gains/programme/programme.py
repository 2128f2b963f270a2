"""A mixed-integer programme whose levels are sums of monomials, solved by outer approximation.

A level is convex in the settings (:mod:`~levelhead.planning.gains.programme.log_sums`): its
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

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, Final, NoReturn

import numpy as np
from numpy.typing import NDArray

from levelhead.errors import SolveError
from levelhead.planning.gains.programme.log_sums import LogSum
from levelhead.planning.gains.programme.quiet import nothing_printed

__all__ = ["Found", "Programme"]

Real = NDArray[np.float64]

CLOSED_DB: Final = 0.002  # between a relaxed level and the true one, where it counts as closed
_MOST_ROUNDS: Final = 30
_MOST_NODES: Final = 20_000  # of the tree of switches: counted, since a clock answers by the hour
_LIMIT_S: Final = 120.0  # only so that nobody waits for ever
_CUTS_TOGETHER: Final = 4  # tangents of a whole sum, before its terms are cut apart
_SHARES_AT_DB: Final = (0.0, -1.0, -2.0, -3.0, -5.0, -7.0, -10.0, -14.0, -20.0, -30.0)
_SHARE_CLOSED: Final = 1e-7
_NEPERS: Final = math.log(10) / 10
_LOWEST_DB: Final = -400.0
_HELD_DB: Final = 0.02  # by which the sum of an earlier goal may be worse: less than a knob shows
_MOST_EASE_DB: Final = 3.0  # where rounding leaves nothing; doubled up to here
_NOTHING: Final = 1e-6


@dataclass(frozen=True, eq=False)
class Found:
    """A solution: all variables, what the cost is there, and what it is at least anywhere."""

    values: Real
    cost: float
    bound: float


@dataclass(frozen=True, slots=True)
class _Effort:
    """How many nodes may be searched, and which share of the cost may be left unproven."""

    nodes: int
    within: float
    presolve: bool


@dataclass(slots=True)
class _Level:
    """A level, its variable, how often it was cut, and the shares of its terms once they are."""

    number: int
    level: LogSum
    cuts: int = 0
    shares: list[int] = field(default_factory=list)

    def is_of(self, other: LogSum) -> bool:
        """Whether it is the same level: left and right often are."""
        return (
            self.level.at_db.shape == other.at_db.shape
            and np.allclose(self.level.at_db, other.at_db, rtol=0, atol=1e-9)
            and np.array_equal(self.level.slopes, other.slopes)
        )


class Programme:
    """Variables, rows and levels. The first variables are the settings themselves."""

    def __init__(
        self,
        low: Real,
        high: Real,
        is_whole: NDArray[np.bool_],
        go_on: Callable[[], None] = lambda: None,
    ) -> None:
        self._go_on = go_on  # raises where nobody waits for the answer any more
        self.settings = len(low)
        self._low, self._high = low.tolist(), high.tolist()
        self._whole = is_whole.tolist()
        self._rows: list[tuple[NDArray[np.int64], Real, float, float]] = []
        self._levels: list[_Level] = []
        self._held: list[int] = []  # numbers of rows
        self._pinned: set[int] = set()
        self._ease = _HELD_DB
        self.row({self.variable(0.0, 0.0): 1.0})  # a rig without a control is solved like any

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
        known = next((each for each in self._levels if each.is_of(level)), None)
        if known is not None:
            return known.number
        self._levels.append(_Level(self.variable(_LOWEST_DB), level))
        self._cut(self._levels[-1], start)
        return self._levels[-1].number

    def fix(self, variable: int, *, low: float, high: float) -> None:
        """Narrow what a variable may be."""
        self._low[variable] = max(self._low[variable], low)
        self._high[variable] = min(self._high[variable], high)

    def hold(self, cost: Mapping[int, float], value: float) -> None:
        """Keep a cost at what was reached of it, for all that is asked later.

        A sum of nothing but zeros is kept variable by variable, which is solved sooner.
        """
        if value <= _NOTHING and all(self._low[each] == 0 for each in cost):
            self._pinned.update(cost)
        else:
            self._held.append(len(self._rows))
            self.row(cost, high=value)

    def least(
        self,
        cost: Mapping[int, float],
        *,
        nodes: int = _MOST_NODES,
        rounds: int = _MOST_ROUNDS,
        within: float = 0.0,
        presolve: bool = True,
        or_else: Found | None = None,
    ) -> Found:
        """Make a cost small. ``or_else`` is what is taken where nodes run out before anything.

        ``within`` is the share of the cost by which it may miss the least; what is found tells.
        ``presolve`` first makes the programme smaller, which may take longer than it saves.
        The same programme has the same answer on any machine, busy or not.

        Raises
        ------
        SolveError
            No settings go with all rows; each goal gives way, so this is a mistake of ours.
        """
        values: Real | None = None
        bound = -np.inf
        for _ in range(rounds):
            self._go_on()
            values, bound = self._solved(
                cost, _Effort(nodes, within, presolve), is_needed=or_else is None
            )
            if values is None or not self._tightened(values):
                break
        else:
            values = values if or_else is None else None
        if values is None:
            return or_else if or_else is not None else self._refuse("nothing was tried")
        value = sum(each * float(values[number]) for number, each in cost.items())
        return Found(values, value, min(bound, value))

    def _tightened(self, values: Real) -> bool:
        """Add tangents of every level that the relaxation has too low."""
        settings, is_new = values[: self.settings], False
        for each in self._levels:
            if each.level.level_db(settings) > values[each.number] + CLOSED_DB:
                is_new = True
                if each.cuts < _CUTS_TOGETHER:
                    self._cut(each, settings)
                else:
                    self._cut_apart(each, values)
        return is_new

    def _cut(self, level: _Level, settings: Real) -> None:
        """The tangent of the whole sum."""
        constant, slope = level.level.tangent(settings)
        parts = {level.number: 1.0}
        parts |= {int(each): -float(slope[each]) for each in np.flatnonzero(slope)}
        self.row(parts, low=constant)
        level.cuts += 1

    def _cut_apart(self, level: _Level, values: Real) -> None:
        """Tangents of each term by itself: its share ``10^((term - level) / 10)``, in sum 1.

        Where many trade against one another, tangents of the whole close in slowly.
        """
        if not level.shares:
            level.shares = [self.variable(0.0, 1.0) for _ in level.level.at_db]
            self.row(dict.fromkeys(level.shares, 1.0), high=1.0)
            for term in range(len(level.shares)):
                for down_db in _SHARES_AT_DB:
                    self._cut_share(level, term, down_db)
            return
        settings = values[: self.settings]
        terms_db = level.level.at_db + level.level.slopes @ settings
        for term, down_db in enumerate((terms_db - values[level.number]).tolist()):
            if 10 ** (down_db / 10) > values[level.shares[term]] + _SHARE_CLOSED:
                self._cut_share(level, term, min(down_db, 0.0))

    def _cut_share(self, level: _Level, term: int, down_db: float) -> None:
        share = 10 ** (down_db / 10)
        steep = share * _NEPERS
        slopes = level.level.slopes[term]
        parts = {level.shares[term]: 1.0, level.number: steep}
        parts |= {int(each): -steep * float(slopes[each]) for each in np.flatnonzero(slopes)}
        constant = share + steep * (float(level.level.at_db[term]) - down_db)
        self.row(parts, low=constant)

    def _solved(
        self, cost: Mapping[int, float], effort: _Effort, *, is_needed: bool
    ) -> tuple[Real | None, float]:
        found = self._run(cost, effort)
        while found.x is None and is_needed and self._ease < _MOST_EASE_DB:
            self._ease *= 2
            found = self._run(cost, effort)
        if found.x is None and is_needed:
            self._refuse(str(found.message))
        if found.x is None:
            return None, -np.inf
        bound = getattr(found, "mip_dual_bound", None)
        return found.x, float(found.fun if bound is None else bound)

    def _run(self, cost: Mapping[int, float], effort: _Effort) -> Any:
        from scipy.optimize import Bounds, LinearConstraint, milp

        weights = np.zeros(len(self._low))
        for number, each in cost.items():
            weights[number] = each
        with nothing_printed():
            return milp(
                weights,
                integrality=np.array(self._whole, dtype=np.int64),
                bounds=Bounds(np.array(self._low), self._upper()),
                constraints=LinearConstraint(self._matrix(), *self._ends()),
                options={
                    "mip_rel_gap": effort.within,
                    "node_limit": effort.nodes,
                    "time_limit": _LIMIT_S,
                    "presolve": effort.presolve,
                },
            )

    @staticmethod
    def _refuse(why: str) -> NoReturn:
        raise SolveError(
            f"no settings were found ({why})",
            where="the gain plan",
            expected="settings for which every goal gives way as little as it must",
            remedy="Please report it with the show: each goal may give way, so there are some.",
        )

    def _upper(self) -> Real:
        upper = np.array(self._high)
        pinned = list(self._pinned)
        upper[pinned] = np.minimum(upper[pinned], self._ease)
        whole = np.array(self._whole, dtype=bool)
        upper[whole] = np.floor(upper[whole])  # presolve finds nothing under 0.02 of an option
        return upper

    def _matrix(self) -> object:
        from scipy.sparse import csr_array

        counts = [len(places) for places, *_ in self._rows]
        starts = np.concatenate(([0], np.cumsum(counts)))
        places = np.concatenate([each for each, *_ in self._rows] or [np.zeros(0, dtype=np.int64)])
        numbers = np.concatenate([each for _, each, *_ in self._rows] or [np.zeros(0)])
        shape = (len(self._rows), len(self._low))
        return csr_array((numbers, places, starts), shape=shape)

    def _ends(self) -> tuple[Sequence[float], Sequence[float]]:
        high = [row[3] for row in self._rows]
        for number in self._held:
            high[number] += self._ease
        return [row[2] for row in self._rows], high
