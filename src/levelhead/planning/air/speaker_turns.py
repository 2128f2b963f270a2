"""Levels of loudspeakers turned by so much: the last free control of each, and what all share."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import Final

from levelhead.acoustics.placed.boxes import Box
from levelhead.planning.moves.candidate import COST_OF_TURN, Candidate
from levelhead.planning.trial import Trial
from levelhead.rig.settings import setting_text
from levelhead.show.edits import Edit, Set
from levelhead.verdicts.read.doubts import strongest_way

__all__ = ["turned"]

_STEP_DB: Final = 0.5


def turned(trial: Trial, boxes: Sequence[Box], by_db: float) -> Iterator[Candidate]:
    """The last free control before each loudspeaker; and the one that all have in common."""
    ways = [_free_ranges(trial, each) for each in boxes]
    if not ways or not all(ways):
        return
    common = [each for each in ways[0] if all(each in way for way in ways)]
    for controls in ([way[-1] for way in ways], common[-1:]):
        edits = tuple(_turns(trial, dict.fromkeys(controls), by_db))
        if edits:
            yield Candidate(edits, COST_OF_TURN)


def _free_ranges(trial: Trial, box: Box) -> list[str]:
    """Ranges before a loudspeaker that may be turned, in signal order."""
    rig = trial.solution.rig
    return [
        each
        for each in strongest_way(trial.solution, box.number).controls
        if rig.controls[each].kind == "range" and each not in trial.show.locks
    ]


def _turns(trial: Trial, controls: dict[str, None], by_db: float) -> Iterator[Edit]:
    """Each by so much, to half a decibel, as far as it goes."""
    rig = trial.solution.rig
    for each in controls:
        plan, now_db = rig.controls[each], rig.setting_db(each)
        round_ = math.floor if by_db < 0 else round
        wanted_db = _STEP_DB * round_((now_db + by_db) / _STEP_DB)
        value = min(max(wanted_db, plan.low), plan.high)
        if value != now_db:
            yield Set(each, setting_text(value, plan))
