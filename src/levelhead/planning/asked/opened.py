"""The send or the switch of a mixer opened, where a question asks about an output that it feeds.

Sends stand at off until somebody turns them up, and no channel is in a group until its switch is
on; who asks about an aux or a group output means one that plays.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import chain
from typing import Final

from levelhead.chain.solution import Solution
from levelhead.planning.asked.little_rig import QuestionRig
from levelhead.planning.trial import Trial
from levelhead.rig.model import Rig
from levelhead.show.addresses import item_of
from levelhead.show.edits import Edit, Set
from levelhead.verdicts.routing.shut import shut_crossings
from levelhead.verdicts.routing.silent import ways_to

__all__ = ["opened"]

_SIGNALS: Final = ("left", "right", "send")


def opened(trial: Trial, question: QuestionRig) -> Trial:
    """The trial with the first send up, or switch on, that brings a signal to what is asked about.

    What the question itself sets stays.
    """
    port = question.from_
    if _has_signal(trial, port) is not False:
        return trial
    for edits in chain(_sends(trial.solution.rig, port), _switches(trial.solution, port)):
        after = trial.after(edits)
        if after is not None and _has_signal(after, port):
            return after
    return trial


def _sends(rig: Rig, port: str) -> Iterator[tuple[Edit, ...]]:
    """Each control of the item that stands at off."""
    for address, control in rig.controls.items():
        is_own = item_of(address) == item_of(port) and address not in rig.settings
        if is_own and control.kind == "range" and math.isinf(rig.setting_db(address)):
            yield (Set(address, "0 dB"),)


def _switches(solution: Solution, port: str) -> Iterator[tuple[Edit, ...]]:
    """Each crossing with a signal before it that switches keep from coming to the socket."""
    before = ways_to(solution, solution.graph.index[_points_of(solution, port)[0]])
    for each in shut_crossings(solution):
        is_free = solution.rig.settings.keys().isdisjoint(each.opened_by)
        if is_free and before[each.target] and solution.nominal[each.source] > 0:
            yield tuple(Set(control, option) for control, option in each.opened_by.items())


def _has_signal(trial: Trial, port: str) -> bool | None:
    """Whether a signal stands at a socket; ``None`` where it has no point."""
    solution = trial.solution
    points = _points_of(solution, port)
    return any(solution.levels(each).nominal is not None for each in points) if points else None


def _points_of(solution: Solution, port: str) -> list[str]:
    """Points of a socket: its own, those of its signals, or of what an insert sends."""
    return [
        each
        for each in (port, *(f"{port}.{signal}" for signal in _SIGNALS))
        if each in solution.graph.index
    ]
