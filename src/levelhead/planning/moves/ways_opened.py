"""What is off on the way to a place that gets no signal, turned up: sends, faders, levels."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from levelhead.chain.graph.points import Unit
from levelhead.planning.trial import Trial
from levelhead.quantity.decibels import DBU_REFERENCE_V
from levelhead.rig.settings import setting_text
from levelhead.show.edits import Edit, Set
from levelhead.verdicts.routing.shut import shut_crossings
from levelhead.verdicts.routing.silent import NO_SIGNAL, shut_by, ways_to
from levelhead.verdicts.told.finding import Finding

__all__ = ["ways_opened"]

_MOST: Final = 4  # strips that somebody turns up one by one for a remedy
_OPEN_DB: Final = 0.0
_SOFT_V: Final = DBU_REFERENCE_V  # 0 dBu: what powered loudspeakers take with peaks to spare


def ways_opened(trial: Trial, finding: Finding) -> Iterator[tuple[Edit, ...]]:
    """Controls at off where a signal stands before them; with those, the ones further on.

    Where one of them alone does, nothing that is shut for another reason is opened.
    """
    solution = trial.solution
    if finding.code != NO_SIGNAL or finding.where not in solution.graph.index:
        return
    before = ways_to(solution, solution.number(finding.where))
    off = list(_off(trial, before))
    live = trial.reading.reach.back([solution.number(finding.where)])
    enough = sorted((each for each in off if each.level > 0 and each.target in live), key=_softer)
    if enough:
        yield from _one_or_all(trial, enough)
    first = _named(each for each in off if each.level > 0)
    first = first if len(first) <= _MOST else first[:1]
    if not enough:
        further = _named(each for each in off if not each.level > 0)
        for controls in (first, first + further) if 0 < len(further) <= _MOST else (first,):
            if controls:
                yield tuple(_up(trial, each) for each in controls)
    switches = _switches(trial, before)
    if switches and len(switches) <= _MOST:
        yield switches
        if first:
            yield (*switches, *(_up(trial, each) for each in first))
    yield from _panned_back(trial, solution.number(finding.where))


def _panned_back(trial: Trial, number: int) -> Iterator[tuple[Edit, ...]]:
    """Pans that keep all of a signal on the other side, in the middle."""
    rig = trial.solution.rig
    pans = [
        each
        for each in shut_by(trial.solution, number)
        if rig.controls[each].kind == "pan" and each not in rig.show.locks
    ]
    if 0 < len(pans) <= _MOST:
        yield tuple(Set(each, setting_text(0.0, rig.controls[each])) for each in pans)


@dataclass(frozen=True, slots=True)
class _Off:
    """A way that a control at off shuts: what stands before it, and where it leads."""

    control: str
    level: float
    target: int
    unit: Unit

    @property
    def hot_db(self) -> float:
        """How far the signal is over 0 dBu; zero where it is not. [dB]"""
        return max(20 * math.log10(self.level / _SOFT_V), 0.0) if self.unit == "V" else 0.0


def _off(trial: Trial, before: NDArray[np.bool_]) -> Iterator[_Off]:
    solution, wiring = trial.solution, trial.solution.graph.wiring
    for way in range(len(wiring.ways.source)):
        source, target = int(wiring.ways.source[way]), int(wiring.ways.target[way])
        control = wiring.on_way(way).control if before[source] and before[target] else None
        if control is not None and _is_off(trial, control):
            unit = wiring.unit(source)
            yield _Off(control, float(solution.nominal[source]), target, unit)


def _softer(each: _Off) -> float:
    return -each.level


def _named(off: Iterable[_Off]) -> list[str]:
    return list(dict.fromkeys(each.control for each in off))


def _one_or_all(trial: Trial, enough: list[_Off]) -> Iterator[tuple[Edit, ...]]:
    """All that a hand turns up one by one, and of more than that each of the loudest by itself."""
    ups = {each.control: _up(trial, each.control, each.hot_db) for each in reversed(enough)}
    if len(ups) <= _MOST:
        yield tuple(ups.values())
    else:
        yield from ((ups[control],) for control in _named(enough)[:_MOST])


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


def _up(trial: Trial, control: str, hot_db: float = 0.0) -> Edit:
    """To 0 dB, or lower by what the signal before it is too hot."""
    plan = trial.solution.rig.controls[control]
    open_db = _OPEN_DB - math.ceil(hot_db)
    return Set(control, setting_text(min(max(open_db, plan.low), plan.high), plan))
