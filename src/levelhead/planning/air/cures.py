"""Cures of what is wrong in the air, as edits to be tried on a copy.

What a practitioner tries: the loudspeakers turned down (or up) by what is missing, a voice nearer
to its microphone with the gain taken back, a loudspeaker a metre forward or turned to where it is
lacking; what comes twice has its own in ``planning.air.times``. What counts is what the solved
copy says (``planning.remedy``).
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import Final

import numpy as np

from levelhead.acoustics.placed.boxes import Box, boxes_of
from levelhead.acoustics.placed.ears import Ear
from levelhead.acoustics.rings.rings_of import ringing_of
from levelhead.chain.solution import Solution
from levelhead.planning.air.low_cuts import low_cut_edits, strips_of, voice_cut_edits
from levelhead.planning.air.other_microphones import other_microphones
from levelhead.planning.air.ring_moves import FORWARD_M, HALF_DB, nearer_edits, solved
from levelhead.planning.air.speaker_turns import turned
from levelhead.planning.air.times import comb_cures, delayed_cures, sub_cures
from levelhead.planning.desks import Desk
from levelhead.planning.moves.candidate import (
    COST_OF_SOCKET,
    COST_OF_STOCK,
    COST_OF_TURN,
    Candidate,
)
from levelhead.planning.trial import Trial
from levelhead.rig.settings import setting_text
from levelhead.show.edits import Aim, Move, Set
from levelhead.verdicts.air.limits import LARGE_SHARE
from levelhead.verdicts.air.numbers import Seen, seen_by
from levelhead.verdicts.air.words import (
    COMB,
    DELAYED,
    RINGS,
    SPEECH,
    SUB,
    TOO_LOUD,
    TOO_LOW,
    UNEVEN,
)
from levelhead.verdicts.told.finding import Finding

__all__ = ["air_cures"]

_A_LITTLE_MORE_DB: Final = 0.5  # so that rounding a knob does not undo it
_TURNS: Final = 8  # microphones that ring one after another
_NEARER: Final = 1  # costs no more than a switch
_BACK_SHARE: Final = (0.5, 0.75, 1.0)  # of the depth of an area: where a loudspeaker may look


def air_cures(trial: Trial, finding: Finding) -> Iterator[Candidate]:
    """Every cure that might help, cheapest kind first."""
    boxes = list({each.item.id: each for each in boxes_of(trial.solution)[0]}.values())
    if finding.code == RINGS:
        yield from _of_ringing(trial, finding, boxes)
        return
    seen = seen_by(trial.solution)
    if seen is None:
        return
    if finding.code in (TOO_LOUD, TOO_LOW):
        value, target = finding.why[0].value or 0.0, finding.why[0].limit or 0.0
        yield from turned(trial, _towards_hall(boxes), target - value)
        yield from turned(trial, boxes, target - value)
    elif finding.code in (UNEVEN, SPEECH):
        yield from _aimed(seen, finding, _towards_hall(boxes))
        yield from _forward(boxes)
    elif finding.code == COMB:
        yield from comb_cures(trial, seen, finding)
    elif finding.code == DELAYED:
        yield from delayed_cures(trial, seen, finding)
    elif finding.code == SUB:
        yield from sub_cures(trial, finding)


def _of_ringing(trial: Trial, finding: Finding, boxes: Sequence[Box]) -> Iterator[Candidate]:
    """Cures of a loop, which needs no room and no areas."""
    yield from _low_cuts(trial, boxes)
    yield from _microphones_down(trial)
    yield from _softer(trial, boxes, _missing_db(finding))
    if _missing_db(finding) <= HALF_DB:  # its equaliser stays: no more is won than the gain
        yield from _nearer(trial)
    yield from _forward(boxes)
    yield from _other_microphones(trial)


def _missing_db(finding: Finding) -> float:
    """By how much it has to be softer to be sure, and a little more."""
    sure_db = finding.why[1].value or 0.0
    return max(0.0, -sure_db) + _A_LITTLE_MORE_DB


def _towards_hall(boxes: Sequence[Box]) -> list[Box]:
    return [each for each in boxes if each.axis[1] > 0]


def _softer(trial: Trial, boxes: Sequence[Box], by_db: float) -> Iterator[Candidate]:
    """The loudspeakers for the hall down, those on stage, all of them."""
    hall = _towards_hall(boxes)
    stage = [each for each in boxes if each not in hall]
    for group in (hall, stage, list(boxes)) if hall and stage else (list(boxes),):
        yield from turned(trial, group, -by_db)


def _low_cuts(trial: Trial, boxes: Sequence[Box]) -> Iterator[Candidate]:
    """Low cuts of all microphones, and where that is not enough, less of the loudspeakers too."""
    ears = ringing_of(trial.solution).ears
    for edits in (low_cut_edits(trial.solution, ears), voice_cut_edits(trial.solution, ears)):
        after = solved(trial.solution, edits) if edits else None
        margin = None if after is None else ringing_of(after).margin
        if margin is not None and margin.sure_db >= 0:
            yield Candidate(edits, _NEARER)
            return
        if margin is not None:
            for softer in _softer(trial, boxes, _A_LITTLE_MORE_DB - margin.sure_db):
                yield Candidate((*edits, *softer.edits), softer.cost + _NEARER)


def _microphones_down(trial: Trial) -> Iterator[Candidate]:
    """The faders of those microphones that ring down, each as far as it takes."""
    rig, edits = trial.solution.rig, dict[str, Set]()
    for ear, by_db in _down_db(trial.solution):
        for item, strip in strips_of(trial.solution, ear):
            fader = Desk(rig, item).fader(strip)
            if fader is not None and fader not in rig.show.locks:
                plan, now_db = rig.controls[fader], rig.setting_db(fader)
                lower_db = max(math.floor(2 * (now_db - by_db)) / 2, plan.low)
                edits[fader] = Set(fader, setting_text(lower_db, plan))
    if edits:
        yield Candidate(tuple(edits.values()), COST_OF_TURN)


def _down_db(solution: Solution) -> list[tuple[Ear, float]]:
    """By how much microphones have to be turned down so that nothing rings: those that ring first.

    Those are turned down that ring; then others ring first.
    """
    down: dict[str, float] = {}
    ears: dict[str, Ear] = {}
    for _ in range(_TURNS):
        ringing = ringing_of(solution, down_db=down)
        if ringing.margin is None or ringing.margin.sure_db >= 0:
            break
        by_db = _A_LITTLE_MORE_DB - ringing.margin.sure_db
        shares = dict(ringing.shares()[0])
        for ear in ringing.ears:
            if shares.get(ear.name, 0.0) >= LARGE_SHARE:
                ears[ear.item.id] = ear
                down[ear.item.id] = down.get(ear.item.id, 0.0) + by_db
    return [(ear, down[item]) for item, ear in ears.items()]


def _nearer(trial: Trial) -> Iterator[Candidate]:
    """A voice half as far from its microphone, whose gain comes down by what it won."""
    for source in trial.solution.rig.sources:
        edits = nearer_edits(trial.solution, source)
        if edits:
            yield Candidate(edits, _NEARER)


def _other_microphones(trial: Trial) -> Iterator[Candidate]:
    """Microphones of another pattern that are in the van; what is to be bought is no remedy."""
    ringing = ringing_of(trial.solution)
    for each in other_microphones(trial.solution, ringing, solved, only_stock=True):
        yield Candidate(each.edits, COST_OF_STOCK)


def _forward(boxes: Sequence[Box]) -> Iterator[Candidate]:
    """All loudspeakers for the hall a metre further into it."""
    edits = tuple(
        Move(each.item.id, (each.item.at[0], each.item.at[1] + FORWARD_M, each.item.at[2]))
        for each in _towards_hall(boxes)
        if each.item.at is not None
    )
    if edits:
        yield Candidate(edits, COST_OF_SOCKET)


def _aimed(seen: Seen, finding: Finding, boxes: Sequence[Box]) -> Iterator[Candidate]:
    """All loudspeakers for the hall turned to the middle line of an area, near or far."""
    name = finding.where.split(".")[1]
    area = next((a for a in seen.areas if a.id == name), None)
    place = next((p for p in seen.played.located.areas if area and p.name == area.name), None)
    if place is None:
        return
    corners = np.array(place.corners_m)
    middle_m, front_m, back_m = corners[:, 0].mean(), corners[:, 1].min(), corners[:, 1].max()
    for share in _BACK_SHARE:
        into_m = front_m + share * (back_m - front_m)
        aim = (round(float(middle_m), 1), round(float(into_m), 1), round(place.ear_m, 1))
        edits = tuple(Aim(each.item.id, aim) for each in boxes)
        if edits:
            yield Candidate(edits, COST_OF_SOCKET)
