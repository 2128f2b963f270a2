"""What is off on the way to a place that gets no signal, turned up: sends, faders, levels."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Final

import numpy as np
from numpy.typing import NDArray

from levelhead.planning.trial import Trial
from levelhead.rig.settings import setting_text
from levelhead.show.edits import Edit, Set
from levelhead.verdicts.finding import Finding
from levelhead.verdicts.routing.shut import shut_crossings
from levelhead.verdicts.routing.silent import NO_SIGNAL, ways_to

__all__ = ["ways_opened"]

_MOST: Final = 4  # strips that somebody turns up one by one for a remedy
_OPEN_DB: Final = 0.0


def ways_opened(trial: Trial, finding: Finding) -> Iterator[tuple[Edit, ...]]:
    """Controls at off where a signal stands before them; with those, the ones further on."""
    solution = trial.solution
    if finding.code != NO_SIGNAL or finding.where not in solution.graph.index:
        return
    wiring, before = solution.graph.wiring, ways_to(solution, solution.number(finding.where))
    first: list[str] = []
    further: list[str] = []
    for way in range(len(wiring.ways.source)):
        source, target = int(wiring.ways.source[way]), int(wiring.ways.target[way])
        control = wiring.on_way(way).control if before[source] and before[target] else None
        if control is not None and _is_off(trial, control):
            (first if solution.nominal[source] > 0 else further).append(control)
    first, further = (list(dict.fromkeys(each)) for each in (first, further))
    first = first if len(first) <= _MOST else first[:1]
    for controls in (first, first + further) if further and len(further) <= _MOST else (first,):
        if controls:
            yield tuple(_up(trial, each) for each in controls)
    switches = _switches(trial, before)
    if switches and len(switches) <= _MOST:
        yield switches
        if first:
            yield (*switches, *(_up(trial, each) for each in first))


def _switches(trial: Trial, before: NDArray[np.bool_]) -> tuple[Edit, ...]:
    """Mutes and routing switches with a signal before them, opened; a locked one stays."""
    solution = trial.solution
    locked = solution.rig.show.locks
    opened = {
        control: option
        for each in shut_crossings(solution)
        if before[each.target] and solution.nominal[each.source] > 0
        if not locked & each.opened_by.keys()
        for control, option in each.opened_by.items()
    }
    return tuple(Set(control, option) for control, option in opened.items())


def _is_off(trial: Trial, control: str) -> bool:
    rig = trial.solution.rig
    is_range = rig.controls[control].kind == "range"
    return is_range and control not in rig.show.locks and math.isinf(rig.setting_db(control))


def _up(trial: Trial, control: str) -> Edit:
    plan = trial.solution.rig.controls[control]
    return Set(control, setting_text(min(max(_OPEN_DB, plan.low), plan.high), plan))
