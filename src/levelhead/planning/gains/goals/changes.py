"""The last goal: as few controls as possible leave where they stand; like things stand alike."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from levelhead.planning.gains.goals.search import Search
from levelhead.planning.gains.programme.programme import Found, Programme
from levelhead.planning.gains.read.knobs import Knob, Knobs

__all__ = ["fewest_changes"]

_CHANGES_NODES: Final = 200  # one has been enough for every rig so far
_CHANGES_ROUNDS: Final = 10
_PRESOLVED_FROM: Final = 100  # controls: with fewer, that takes longer than it saves (measured)
_CHANGES_WITHIN: Final = 0.01  # one in a hundred more than has to be: half of the time is its proof
_MOVED_DB: Final = 0.05


def fewest_changes(search: Search) -> Found:
    """The fewest controls; what the goals before found is taken where nodes run out."""
    before, knobs = search.last, search.model.knobs
    cost = dict.fromkeys(range(len(knobs.knobs), len(knobs)), 1.0)
    for number, knob in enumerate(knobs.knobs):
        if not knob.is_locked and knob.is_known:
            cost[_moved(search.programme, number, knob)] = 1.0
    found = search.programme.least(
        cost,
        nodes=_CHANGES_NODES,
        rounds=_CHANGES_ROUNDS,
        within=_CHANGES_WITHIN,
        presolve=len(cost) >= _PRESOLVED_FROM,
        or_else=before,
    )
    search.values["changes"] = float(_moved_count(knobs, found.values))
    is_new = found is not before
    if is_new:
        found = _evened(search, found, cost)
    search.bounds["changes"] = (
        min(max(found.bound, 0.0), search.values["changes"]) if is_new else 0.0
    )
    return found


def _evened(search: Search, found: Found, counted: Mapping[int, float]) -> Found:
    """What is left to choose is chosen evenly: like things then stand alike.

    The same controls move; none of those with unity stands further from it than it has to.
    """
    for variable in counted:
        value = float(round(found.values[variable]))
        search.programme.fix(variable, low=value, high=value)
    most = search.programme.variable()
    for number, knob in enumerate(search.model.knobs.knobs):
        if knob.has_unity and not knob.is_locked:
            search.programme.row({number: 1.0, most: -1.0}, high=0.0)
            search.programme.row({number: 1.0, most: 1.0}, low=0.0)
    return replace(search.programme.least({most: 1.0}, or_else=found), bound=found.bound)


def _moved(programme: Programme, number: int, knob: Knob) -> int:
    """A variable that is one when a knob leaves its place."""
    is_moved = programme.variable(0.0, 1.0, is_whole=True)
    up, down = max(knob.high_db - knob.now_db, 1.0), max(knob.now_db - knob.low_db, 1.0)
    programme.row({number: 1.0, is_moved: -up}, high=knob.now_db)
    programme.row({number: 1.0, is_moved: down}, low=knob.now_db)
    return is_moved


def _moved_count(knobs: Knobs, values: NDArray[np.float64]) -> int:
    """How many controls do not stand where they stood."""
    moved = sum(
        abs(float(values[number]) - knob.now_db) > _MOVED_DB
        for number, knob in enumerate(knobs.knobs)
    )
    return moved + int(values[len(knobs.knobs) : len(knobs)].round().sum())
