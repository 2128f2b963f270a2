"""Where the search for a plan stands: its programme, and what the goals so far came to."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Final

import numpy as np
from numpy.typing import NDArray

from levelhead.planning.gains.model.values import Model
from levelhead.planning.gains.planned.plan import GoalName
from levelhead.planning.gains.programme.log_sums import LogSum
from levelhead.planning.gains.programme.programme import Found, Programme
from levelhead.planning.gains.read.knobs import Knobs

__all__ = ["SLACK_DB", "Pair", "Row", "Search"]

Real = NDArray[np.float64]
Row = tuple[tuple[int, float], ...]
"""Variables with their weights, in an order that makes equal rows equal."""
Pair = tuple[int, int]
"""Variables of how far something is over, and how far under."""

SLACK_DB: Final = 0.01  # by which each row of an earlier goal may be worse: less than a knob shows


class Search:
    """A model on the way to its best settings; ``at`` are those that the goals so far lead to.

    Each goal adds rows for those behind it. Earlier goals never give way to later ones.
    """

    def __init__(self, model: Model, go_on: Callable[[], None]) -> None:
        self.model = model
        low, high, whole = _bounds(model.knobs)
        self.programme = Programme(low, high, whole, go_on)
        self.at = model.settings
        self.values: dict[GoalName, float] = {}
        self.bounds: dict[GoalName, float] = {}
        self._choose_one_option()

    def _choose_one_option(self) -> None:
        knobs = self.model.knobs
        for place, switch in enumerate(knobs.switches):
            if len(switch.others) > 1:
                first = knobs.first_option(place)
                options = {first + each: 1.0 for each in range(len(switch.others))}
                self.programme.row(options, high=1.0)

    def least(self, name: GoalName, cost: Mapping[int, float]) -> Found:
        """Least cost of a goal, as far as those before it leave it free."""
        found = self.programme.least(cost)
        self.values[name], self.bounds[name] = found.cost, found.bound
        self.at, self.last = found.values[: len(self.model.settings)], found
        return found

    def hold(self, found: Found, variables: Sequence[int]) -> None:
        """Later goals leave the sum that was reached."""
        total = sum(max(float(found.values[each]), 0.0) for each in variables)
        self.programme.hold(dict.fromkeys(variables, 1.0), total)

    def rows_of(self, level: LogSum) -> tuple[float, dict[int, float], bool]:
        """A level as a constant and slopes, and whether it is one term."""
        if len(level.at_db) == 1:
            places = np.flatnonzero(level.slopes[0])
            return float(level.at_db[0]), {int(p): float(level.slopes[0, p]) for p in places}, True
        return 0.0, {self.programme.level(level, self.at): 1.0}, False


def _bounds(knobs: Knobs) -> tuple[Real, Real, NDArray[np.bool_]]:
    """What each setting may be; what is locked stays."""
    low = [each.now_db if each.is_locked else each.low_db for each in knobs.knobs]
    high = [each.now_db if each.is_locked else each.high_db for each in knobs.knobs]
    more = len(knobs) - len(knobs.knobs)
    is_whole = np.zeros(len(knobs), dtype=bool)
    is_whole[len(knobs.knobs) :] = True
    return np.array(low + [0.0] * more), np.array(high + [1.0] * more), is_whole
