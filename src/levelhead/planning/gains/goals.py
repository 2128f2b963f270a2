"""The goals of a gain plan, one after another, each as rows for those behind it.

1. Clipping: no stage clips on peaks, and the reserve is kept. First as little clipping as can be,
   then as little of the reserve used up.
2. Loudness: every source at every end as loud as it is meant to be (``ends``). A switch is turned
   for what is heard only: 1 dB of what passes it, 10 dB in the mean where several sources do.
3. Meters: inside their range at sound check (``marks``).
4. Noise: A-weighted at the ends, in sum over them in dB, lowest; 1 dB more is not heard. With it go
   digital volumes and transmitters, as high as their own output allows; pads stay out unless a goal
   so far needs them.
5. Faders: near unity, where they resolve best.
6. Changes: as few controls as possible leave where they stand.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from levelhead.planning.gains.knobs import Knob, Knobs
from levelhead.planning.gains.plan import GoalName
from levelhead.planning.gains.problem import Model, Reached
from levelhead.planning.gains.programme import Found, LogSum, Programme
from levelhead.planning.gains.switch_costs import loudness_costs, meters_costs, noise_costs
from levelhead.planning.gains.thresholds import NOISE_HEARD_DB

__all__ = ["solve_goals"]

Real = NDArray[np.float64]

_SLACK_DB: Final = 0.01  # by which each row of an earlier goal may be worse: less than a knob shows
_CHANGES_NODES: Final = 200  # one has been enough for every rig so far
_CHANGES_ROUNDS: Final = 10
_PRESOLVED_FROM: Final = 100  # controls: with fewer, that takes longer than it saves (measured)
_CHANGES_WITHIN: Final = 0.01  # one in a hundred more than has to be: half of the time is its proof
_MOVED_DB: Final = 0.05


def solve_goals(model: Model, go_on: Callable[[], None] = lambda: None) -> Reached:
    """Best settings for a model; ``go_on`` raises where nobody waits for them any more."""
    solver = _Goals(model, go_on)
    return solver.solved()


class _Goals:
    def __init__(self, model: Model, go_on: Callable[[], None]) -> None:
        self.model = model
        low, high, whole = _bounds(model.knobs)
        self.programme = Programme(low, high, whole, go_on)
        self.at = model.settings
        self.values: dict[GoalName, float] = {}
        self.bounds: dict[GoalName, float] = {}
        self.free: dict[int, int] = {}
        self.noise_db: list[float] = []
        self._choose_one_option()

    def solved(self) -> Reached:
        """All goals in their order."""
        excess = self._clipping()
        missed = self._loudness()
        off_mark = self._meters()
        self._noise()
        self._switches()
        self._volumes()
        self._faders()
        found = self._changes()
        values = found.values
        return Reached(
            settings=values[: len(self.model.settings)],
            values=self.values,
            bounds=self.bounds,
            excess_db={point: float(values[each]) for point, each in excess.items()},
            missed_db={
                number: float(values[over] - values[under])
                for number, (over, under) in missed.items()
            },
            off_mark_db={
                number: float(values[over] - values[under])
                for number, (over, under) in off_mark.items()
            },
            noise_db=self.noise_db,
        )

    def _choose_one_option(self) -> None:
        knobs = self.model.knobs
        for place, switch in enumerate(knobs.switches):
            if len(switch.others) > 1:
                first = knobs.first_option(place)
                options = {first + each: 1.0 for each in range(len(switch.others))}
                self.programme.row(options, high=1.0)

    def _least(self, name: GoalName, cost: Mapping[int, float]) -> Found:
        found = self.programme.least(cost)
        self.values[name], self.bounds[name] = found.cost, found.bound
        self.at, self.last = found.values[: len(self.model.settings)], found
        return found

    def _hold(self, found: Found, variables: Sequence[int]) -> None:
        """Later goals leave the sum that was reached."""
        total = sum(max(float(found.values[each]), 0.0) for each in variables)
        self.programme.hold(dict.fromkeys(variables, 1.0), total)

    def _rows_of(self, level: LogSum) -> tuple[float, dict[int, float], bool]:
        """A level as a constant and slopes, if it is one term."""
        if len(level.at_db) == 1:
            places = np.flatnonzero(level.slopes[0])
            return float(level.at_db[0]), {int(p): float(level.slopes[0, p]) for p in places}, True
        return 0.0, {self.programme.level(level, self.at): 1.0}, False

    # --- 1

    def _clipping(self) -> dict[int, int]:
        """How far peaks use up the reserve, of each stage that anything moves."""
        model, found = self.model, {}
        rows: dict[tuple[tuple[tuple[int, float], ...], float], int] = {}
        for each in model.ceilings:
            constant, parts, _ = self._rows_of(model.levels[each.point])
            for option, by_db in model.option_ceilings.get(each.point, {}).items():
                parts[option] = parts.get(option, 0.0) - by_db
            if not parts:
                continue
            room = each.ceiling_db - each.reserve_db - model.crest_db[each.point] - constant
            key = (tuple(sorted(parts.items())), round(room, 6))
            if key not in rows:
                rows[key] = self.programme.variable()
                self.programme.row({**parts, rows[key]: -1.0}, high=room)
            found[each.point] = rows[key]
        reserves = {each.point: each.reserve_db for each in model.ceilings}
        variables = list(dict.fromkeys(found.values()))
        best = self._least("clipping", dict.fromkeys(variables, 1.0))
        if any(best.values[var] > reserves[point] + _SLACK_DB for point, var in found.items()):
            best = self._least_clipped(found, reserves)
        self._hold(best, variables)
        return found

    def _least_clipped(self, found: Mapping[int, int], reserves: Mapping[int, float]) -> Found:
        """Where something clips: first as little of that as can be, then of the reserve."""
        clipped = {}
        for point, variable in found.items():
            clipped[point] = self.programme.variable()
            self.programme.row({variable: 1.0, clipped[point]: -1.0}, high=reserves[point])
        least = self.programme.least(dict.fromkeys(clipped.values(), 1.0))
        self._hold(least, list(clipped.values()))
        return self._least("clipping", dict.fromkeys(found.values(), 1.0))

    # --- 2

    def _loudness(self) -> dict[int, tuple[int, int]]:
        """Deviations of targets; those that are the same thing share a row."""
        rows: dict[tuple[tuple[tuple[int, float], ...], float, int], tuple[int, int]] = {}
        free: dict[int, int] = {}
        found = {}
        for number, (target, level) in enumerate(self.model.targets):
            constant, parts, _ = self._rows_of(level)
            if not parts:
                continue
            wanted = target.wanted_db - constant
            if target.is_free:
                off = free.setdefault(target.end.group, -1)
                if off < 0:
                    off = free[target.end.group] = self.programme.variable(-200.0, 200.0)
                parts = {**parts, off: -1.0}
            key = (tuple(sorted(parts.items())), round(wanted, 4), target.end.group)
            if key not in rows:
                over, under = self.programme.variable(), self.programme.variable()
                self.programme.row({**parts, over: -1.0, under: 1.0}, low=wanted, high=wanted)
                rows[key] = (over, under)
            found[number] = rows[key]
        self.free = free
        variables = [each for pair in rows.values() for each in pair]
        cost = dict.fromkeys(variables, 1.0) | loudness_costs(self.model)
        self._hold(self._least("loudness", cost), variables)
        return found

    # --- 3

    def _meters(self) -> dict[int, tuple[int, int]]:
        found = {}
        for number, mark in enumerate(self.model.marks):
            level = self.model.levels[mark.point]
            constant, parts, is_single = self._rows_of(level)
            if not parts:
                continue
            over, under = self.programme.variable(), self.programme.variable()
            self.programme.row({**parts, over: -1.0}, high=mark.high_db - constant)
            if not is_single:  # a sum is not concave: its tangent where loudness left it stands in
                constant, slope = level.tangent(self.at)
                parts = {int(each): float(slope[each]) for each in np.flatnonzero(slope)}
            self.programme.row({**parts, under: 1.0}, low=mark.low_db - constant)
            found[number] = (over, under)
        variables = [each for pair in found.values() for each in pair]
        cost = dict.fromkeys(variables, 1.0) | meters_costs(self.model)
        self._hold(self._least("meters", cost), variables)
        return found

    # --- 4 to 6

    def _noise(self) -> None:
        cost = noise_costs(self.model)
        ends = []
        for end, noise in zip(self.model.ends, self.model.noises, strict=True):
            variable = self.programme.level(noise, self.at)
            cost[variable] = 1.0
            ends.append(variable)
            off = self.free.get(end.group) if end.kind == "recorder" else None
            if off is not None:
                cost[off] = cost.get(off, 0.0) - 1.0
        best = self._least("noise", cost)
        for variable in ends:
            value = float(best.values[variable])
            self.noise_db.append(value)
            self.programme.hold({variable: 1.0}, value + NOISE_HEARD_DB)
        for off in self.free.values():
            value = float(best.values[off])
            self.programme.hold({off: 1.0}, value)
            self.programme.hold({off: -1.0}, -value)

    def _switches(self) -> None:
        """A pad goes in only where a goal so far asks for it."""
        options = dict.fromkeys(range(len(self.model.knobs.knobs), len(self.model.knobs)), 1.0)
        if any(self.at[each] > _SLACK_DB for each in options):
            best = self.programme.least(options)
            self.at = best.values[: len(self.model.settings)]
        self.programme.hold(options, sum(round(float(self.at[each])) for each in options))

    def _volumes(self) -> None:
        """What turns a source down before its meter goes as high as its own output allows.

        Digital volumes and transmitters, and attenuators of players and receivers.
        """
        metered = np.zeros(len(self.model.knobs), dtype=bool)
        for mark in self.model.marks:
            if mark.alone is not None:
                metered |= self.model.levels[mark.point].slopes.any(axis=0)
        cost = {
            number: -1.0
            for number, knob in enumerate(self.model.knobs.knobs)
            if not knob.is_locked
            and (
                knob.kind in {"volume", "transmitter"}
                or (knob.kind == "attenuator" and metered[number])
            )
        }
        if cost:
            best = self.programme.least(cost)
            self.at = best.values[: len(self.model.settings)]
            self.programme.hold(cost, best.cost)

    def _faders(self) -> None:
        cost = {}
        for number, knob in enumerate(self.model.knobs.knobs):
            if knob.has_unity and not knob.is_locked:
                away = self.programme.variable()
                self.programme.row({number: 1.0, away: -1.0}, high=0.0)
                self.programme.row({number: 1.0, away: 1.0}, low=0.0)
                cost[away] = 1.0
        best = self._least("faders", cost)
        if cost:
            self.programme.hold(cost, best.cost)

    def _changes(self) -> Found:
        """The fewest controls; what the goals before found is taken where nodes run out."""
        before, knobs = self.last, self.model.knobs
        cost = dict.fromkeys(range(len(knobs.knobs), len(knobs)), 1.0)
        for number, knob in enumerate(knobs.knobs):
            if not knob.is_locked and knob.is_known:
                cost[self._moved(number, knob)] = 1.0
        found = self.programme.least(
            cost,
            nodes=_CHANGES_NODES,
            rounds=_CHANGES_ROUNDS,
            within=_CHANGES_WITHIN,
            presolve=len(cost) >= _PRESOLVED_FROM,
            or_else=before,
        )
        self.values["changes"] = float(_moved_count(knobs, found.values))
        is_new = found is not before
        if is_new:
            found = self._evened(found, cost)
        self.bounds["changes"] = (
            min(max(found.bound, 0.0), self.values["changes"]) if is_new else 0.0
        )
        return found

    def _evened(self, found: Found, counted: Mapping[int, float]) -> Found:
        """What is left to choose is chosen evenly: like things then stand alike.

        The same controls move; none of those with unity stands further from it than it has to.
        """
        for variable in counted:
            value = float(round(found.values[variable]))
            self.programme.fix(variable, low=value, high=value)
        most = self.programme.variable()
        for number, knob in enumerate(self.model.knobs.knobs):
            if knob.has_unity and not knob.is_locked:
                self.programme.row({number: 1.0, most: -1.0}, high=0.0)
                self.programme.row({number: 1.0, most: 1.0}, low=0.0)
        return replace(self.programme.least({most: 1.0}, or_else=found), bound=found.bound)

    def _moved(self, number: int, knob: Knob) -> int:
        """A variable that is one when a knob leaves its place."""
        is_moved = self.programme.variable(0.0, 1.0, is_whole=True)
        up, down = max(knob.high_db - knob.now_db, 1.0), max(knob.now_db - knob.low_db, 1.0)
        self.programme.row({number: 1.0, is_moved: -up}, high=knob.now_db)
        self.programme.row({number: 1.0, is_moved: down}, low=knob.now_db)
        return is_moved


def _moved_count(knobs: Knobs, values: Real) -> int:
    """How many controls do not stand where they stood."""
    moved = sum(
        abs(float(values[number]) - knob.now_db) > _MOVED_DB
        for number, knob in enumerate(knobs.knobs)
    )
    return moved + int(values[len(knobs.knobs) : len(knobs)].round().sum())


def _bounds(knobs: Knobs) -> tuple[Real, Real, NDArray[np.bool_]]:
    """What each setting may be; what is locked stays."""
    low = [each.now_db if each.is_locked else each.low_db for each in knobs.knobs]
    high = [each.now_db if each.is_locked else each.high_db for each in knobs.knobs]
    more = len(knobs) - len(knobs.knobs)
    is_whole = np.zeros(len(knobs), dtype=bool)
    is_whole[len(knobs.knobs) :] = True
    return np.array(low + [0.0] * more), np.array(high + [1.0] * more), is_whole
