"""Cures in time of what comes twice: a delay set, a level down, a polarity turned, a box moved.

What counts is what the solved copy says (``planning.remedy``).
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Final

import numpy as np

from levelhead.acoustics.placed.boxes import Box
from levelhead.acoustics.sound.air import SPEED_AT_REFERENCE_M_PER_S
from levelhead.acoustics.sound.delay import HEARD_COMB_DB, STEP_S, USUAL_OFFSET_S
from levelhead.acoustics.twice.subs import Meeting
from levelhead.gear.book import GearBook
from levelhead.gear.wiring import exchanges_legs
from levelhead.planning.air.speaker_turns import turned
from levelhead.planning.moves.candidate import (
    COST_OF_CABLE,
    COST_OF_SOCKET,
    COST_OF_TURN,
    Candidate,
    instead,
)
from levelhead.planning.trial import Trial
from levelhead.rig.settings import setting_text
from levelhead.rig.usual import usual_cable
from levelhead.show.edits import Aim, Edit, Move, Set
from levelhead.show.model import Cable
from levelhead.verdicts.air.numbers import Seen
from levelhead.verdicts.air.subs import met_at
from levelhead.verdicts.read.doubts import strongest_way
from levelhead.verdicts.told.finding import Finding

__all__ = ["comb_cures", "delayed_cures", "sub_cures"]

_SPLAY_DEG: Final = 30.0  # each to its side: half of a usual coverage
_A_LITTLE_MORE_DB: Final = 0.5  # so that rounding a knob does not undo it


def comb_cures(trial: Trial, seen: Seen, finding: Finding) -> Iterator[Candidate]:
    """Two that colour each other: one behind the other, one down, each turned to its side."""
    pair = _named_by(seen, finding)
    for box in pair:
        yield from _later(trial, box, USUAL_OFFSET_S)
    for box in pair:
        yield from turned(trial, [box], -HEARD_COMB_DB)
    yield from _splayed(pair)


def delayed_cures(trial: Trial, seen: Seen, finding: Finding) -> Iterator[Candidate]:
    """One that drowns the front: its delay set, its level down, both."""
    louder, behind = finding.why[0], finding.why[1]
    excess_db = (louder.value or 0.0) - (louder.limit or 0.0) + _A_LITTLE_MORE_DB
    over_10_db = (louder.value or 0.0) - HEARD_COMB_DB + _A_LITTLE_MORE_DB
    later_s = USUAL_OFFSET_S - 1e-3 * (behind.value or 0.0)
    for box in _named_by(seen, finding)[:1]:
        delays = list(_later(trial, box, later_s))
        yield from delays
        yield from turned(trial, [box], -excess_db)
        for down in turned(trial, [box], -over_10_db):
            yield from (Candidate((*each.edits, *down.edits), each.cost) for each in delays)


def sub_cures(trial: Trial, finding: Finding) -> Iterator[Candidate]:
    """A subwoofer against what stands above it: delay, polarity, place."""
    met = met_at(trial.reading, finding.where)
    if met is None:
        return
    set_up = met.alignment
    if set_up.inverted:
        yield from _half_a_turn_later(trial, met)
    delayed = met.sub if set_up.delay_sub_s > 0 else met.main
    delays = list(_later(trial, delayed, max(set_up.delay_sub_s, set_up.delay_main_s)))
    turns = list(_turned_round(trial, met))
    if not set_up.inverted:
        yield from delays
    yield from turns
    for each in delays:
        yield from (Candidate((*each.edits, *turn.edits), turn.cost) for turn in turns)
    yield from _moved(met)


def _named_by(seen: Seen, finding: Finding) -> list[Box]:
    """Loudspeakers whose sockets a finding names, in its order."""
    items = list(dict.fromkeys(port.partition(".")[0] for port in finding.ports))
    boxes = {each.item.id: each for each in seen.played.boxes}
    return [boxes[each] for each in items if each in boxes]


# ---------------------------------------------------------------- delays


def _later(trial: Trial, box: Box, by_s: float) -> Iterator[Candidate]:
    """Dials of time on the way to a loudspeaker, the last of the way first."""
    rig = trial.solution.rig
    for address in _dials_before(trial, box):
        plan = rig.controls[address]
        now_s = rig.setting(address)
        if isinstance(now_s, str):
            continue
        wanted_s = STEP_S * round((now_s + by_s) / STEP_S)
        if plan.low <= wanted_s <= plan.high and wanted_s != now_s:
            yield Candidate((Set(address, setting_text(round(wanted_s, 5), plan)),), COST_OF_TURN)


def _half_a_turn_later(trial: Trial, met: Meeting) -> Iterator[Candidate]:
    """A delay alone where the polarity stays as it is: half a wave from arrivals that meet.

    It is right around the crossover only, which is where both play.
    """
    set_up, half_s = met.alignment, 0.5 / met.crossover_hz
    sub_s = set_up.delay_sub_s - set_up.delay_main_s
    for wanted_s in sorted((sub_s - half_s, sub_s + half_s), key=abs):
        yield from _later(trial, met.sub if wanted_s > 0 else met.main, abs(wanted_s))


def _dials_before(trial: Trial, box: Box) -> list[str]:
    """Free dials of a time in the strips that the loudest way to a loudspeaker takes."""
    rig, places = trial.solution.rig, trial.reading.reach.places
    way = strongest_way(trial.solution, box.number)
    strips: dict[tuple[str, str], None] = {}
    for edge in reversed(way.edges):
        for number in (edge.target, edge.source):
            place = places.get(number)
            if place is not None:
                strips[place.lane.item.id, place.lane.block.name] = None
    found = []
    for item, block in strips:
        for address, plan in rig.controls.items():
            own, _, local = address.partition(".")
            is_there = (own, local.rpartition(".")[0]) == (item, block)
            if is_there and plan.kind == "dial" and plan.unit == "s":
                found.append(address)
    return [each for each in found if each not in trial.show.locks]


# ---------------------------------------------------------------- polarity


def _turned_round(trial: Trial, met: Meeting) -> Iterator[Candidate]:
    """The lead into one of both as it is usual, or with pins 2 and 3 exchanged at its end."""
    rig = trial.solution.rig
    items = {met.sub.item.id, met.main.item.id}
    for link in trial.show.links:
        if set(link.ends) != {"a", "b"} or link.ends["b"].partition(".")[0] not in items:
            continue
        start, end = (rig.ports[link.ends[each]].plan for each in ("a", "b"))
        cable = usual_cable(trial.book, start, end)
        usual = link.via if cable is None else (Cable(cable.type_id, link.length_m),)
        via = usual if usual != link.via else _turned_once_more(trial.book, link.via)
        yield instead(link, replace(link, via=via), COST_OF_CABLE)


def _turned_once_more(book: GearBook, via: Sequence[Cable]) -> tuple[Cable, ...]:
    """Legs exchanged once more: an adaptor that does so left out, or the book's put on the end."""
    turning = [each for each in book.of_kind("adaptor") if exchanges_legs(book.cable(each))]
    kept = tuple(each for each in via if each.type not in turning)
    return kept if len(kept) < len(via) else (*kept, *map(Cable, turning[:1]))


# ---------------------------------------------------------------- places


def _moved(met: Meeting) -> Iterator[Candidate]:
    """A subwoofer so far towards the listeners, or away from them, that arrivals meet."""
    set_up, at = met.alignment, met.sub.item.at
    late_s = set_up.delay_main_s - set_up.delay_sub_s
    if at is not None and late_s:
        into_m = round(at[1] + SPEED_AT_REFERENCE_M_PER_S * late_s, 1) + 0.0  # no minus zero
        yield Candidate((Move(met.sub.item.id, (at[0], into_m, at[2])),), COST_OF_SOCKET)


def _splayed(pair: Sequence[Box]) -> Iterator[Candidate]:
    """Both turned outward, so that each has seats of its own."""
    edits: list[Edit] = []
    middle_m = np.mean([each.at_m[0] for each in pair]) if pair else 0.0
    for box in pair:
        turn = math.radians(-_SPLAY_DEG if box.at_m[0] > middle_m else _SPLAY_DEG)
        right, into, up = box.axis.tolist()
        rotated = (
            right * math.cos(turn) - into * math.sin(turn),
            right * math.sin(turn) + into * math.cos(turn),
            up,
        )
        aim = tuple(round(float(a + b), 1) for a, b in zip(box.at_m, rotated, strict=True))
        edits.append(Aim(box.item.id, (aim[0], aim[1], aim[2])))
    if edits:
        yield Candidate(tuple(edits), COST_OF_SOCKET)
