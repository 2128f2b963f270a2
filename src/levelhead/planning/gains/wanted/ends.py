"""Ends of a rig, and how loud each is meant to be: the anchor that every gain plan needs.

Gains alone have no right answer: all of them are right for some loudness. Where areas want a level,
the first that reaches it is the anchor of what the audience hears; else it is the gear itself. The
loudest moment, everything playing its loud passage, reaches the ceiling of the loudspeaker (or its
amplifier) less the reserve; or it stays as it is set. The balance between sources stays as it is
set; where no fader, send or gain of theirs is set, all become equally loud. Loudspeakers for the
audience keep their level against one another. Monitors get louder by as much as the hall, where
they have room, and never softer for its sake. What is worn at an ear is never made louder than it
is.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Final, Literal

import numpy as np

from levelhead.chain.carrying.crest_of_sums import crest_db
from levelhead.chain.solution import Solution
from levelhead.chain.wired.lanes import Lane, lanes
from levelhead.planning.gains.read.terms import SignalTerm, Terms
from levelhead.planning.gains.wanted.areas import wanted_room_db
from levelhead.quantity.formatting import format_level
from levelhead.quantity.peaks import SINE_CREST_DB
from levelhead.rig.listeners import is_for_the_stage
from levelhead.verdicts.read.reach import Reach

__all__ = ["End", "Loudness", "Target", "anchor_words", "driven_points", "ends_of", "targets_of"]

Loudness = Literal["full", "as-set"]
"""The loudest moment reaches the ceiling less the reserve, or stays as loud as it is set."""

_HEARD_DB: Final = (
    -40.0
)  # of a source's strongest way to an end: what is weaker is no way, it leaks


@dataclass(frozen=True, slots=True)
class End:
    """A point where the rig ends, and what is there."""

    point: int
    address: str
    kind: Literal["audience", "performers", "worn", "recorder"]
    group: int


@dataclass(frozen=True, slots=True)
class Target:
    """What one product of gains should bring of one performance: its level, 20 lg of an rms.

    Where the ``end`` is free, all its targets move together.
    """

    end: End
    term: SignalTerm
    wanted_db: float
    is_free: bool


def ends_of(solution: Solution) -> tuple[End, ...]:
    """Every loudspeaker, earphone and recorder at which something is heard."""
    found = [
        (solution.number(lane.point_of(lane.path.stages[-1])), lane, kind)
        for lane in lanes(solution.rig)
        if (kind := _kind(solution, lane)) is not None
    ]
    reach = Reach(solution)
    playing = [
        (point, lane, kind)
        for point, lane, kind in found
        if solution.nominal[point] > 0 and not (kind == "recorder" and _hears_itself(reach, point))
    ]
    groups = _groups(solution, [(point, kind) for point, _, kind in playing])
    return tuple(
        End(point, lane.point_of(lane.path.stages[-1]), kind, group)
        for (point, lane, kind), group in zip(playing, groups, strict=True)
    )


def _hears_itself(reach: Reach, point: int) -> bool:
    """Whether only what its own item plays comes to a point: nobody turns up that leak."""
    graph, nominal = reach.solution.graph, reach.solution.nominal
    before = reach.back([point], without=set(np.flatnonzero(nominal == 0).tolist()))
    playing = {graph.points[each.point].item for each in graph.entries if each.point in before}
    return playing == {graph.points[point].item}


def _kind(
    solution: Solution, lane: Lane
) -> Literal["audience", "performers", "worn", "recorder"] | None:
    address = lane.point_of(lane.path.stages[-1]) if lane.path.stages else ""
    if address not in solution.graph.index:
        return None
    point = solution.number(address)
    if (solution.graph.columns.source == point).any():
        return None
    if lane.path.to_air or solution.graph.wiring.unit(point) == "Pa":
        if lane.item.plan.is_worn:
            return "worn"
        return "performers" if is_for_the_stage(solution.rig, lane.item.id) else "audience"
    enters = any(origin.port is not None for origin in lane.origins(solution.graph.index))
    return "recorder" if enters and lane.path.to_port is None else None


def _groups(solution: Solution, ends: Sequence[tuple[int, str]]) -> list[int]:
    """Ends that keep their level against one another: the audience's, and those of one bus."""
    keys: dict[tuple[object, ...], int] = {}
    found = []
    for point, kind in ends:
        is_common = kind == "audience"
        key = (kind,) if is_common else (kind, _last_sum(solution, point))
        found.append(keys.setdefault(key, len(keys)))
    return found


def _last_sum(solution: Solution, point: int) -> str:
    """The item and bus before an end where ways meet last, without its side."""
    *_, last = _back_alone(solution, point)
    address = solution.graph.wiring.addresses[last].rpartition(".")[0]
    return address.removesuffix("-left").removesuffix("-right")


def targets_of(
    terms: Terms, ends: Sequence[End], *, reserve_db: float, loudness: Loudness
) -> tuple[Target, ...]:
    """What every source should bring to every end."""
    found: list[Target] = []
    hall_db: float | None = None  # how far the audience's loudspeakers move
    for group in dict.fromkeys(end.group for end in sorted(ends, key=_hall_first)):
        mine = [end for end in ends if end.group == group]
        heard = {end.address: _heard(terms.signals.get(end.point, ())) for end in mine}
        shifts = _shifts_db(terms, mine, heard)
        off_db = _off_db(terms, mine, shifts, reserve_db=reserve_db, loudness=loudness)
        if mine[0].kind == "audience":
            hall_db = off_db
        elif mine[0].kind == "performers" and hall_db is not None and off_db is not None:
            off_db = min(off_db, max(hall_db, 0.0))
        for end in mine:
            for term in heard[end.address]:
                wanted_db = term.now_db + shifts[term.origin] + (off_db or 0.0)
                found.append(Target(end, term, wanted_db, off_db is None))
    return tuple(found)


def _hall_first(end: End) -> bool:
    """Monitors follow the hall, so the hall comes first."""
    return end.kind != "audience"


def _heard(terms: Sequence[SignalTerm]) -> list[SignalTerm]:
    """Ways of each performance that count at an end; of leaks nobody sets the balance."""
    strongest: dict[str, float] = {}
    for term in terms:
        strongest[term.origin] = max(strongest.get(term.origin, -math.inf), term.now_db)
    top = max(strongest.values(), default=0.0)
    return [
        term
        for term in terms
        if term.now_db > strongest[term.origin] + _HEARD_DB
        and strongest[term.origin] > top + 2 * _HEARD_DB
    ]


def _shifts_db(
    terms: Terms, ends: Sequence[End], heard: Mapping[str, Sequence[SignalTerm]]
) -> dict[str, float]:
    """How far each performance moves against the others: not at all, or to be as loud as they."""
    power: dict[str, float] = {}
    for end in ends:
        for term in heard[end.address]:
            power[term.origin] = power.get(term.origin, 0.0) + 10 ** (term.now_db / 10)
    if _is_balanced(terms, [term for end in ends for term in heard[end.address]]):
        return dict.fromkeys(power, 0.0)
    mean = sum(power.values()) / max(len(power), 1)
    return {origin: 10 * math.log10(mean / each) for origin, each in power.items()}


def _is_balanced(terms: Terms, heard: Sequence[SignalTerm]) -> bool:
    """Whether anything is set that some of the sources pass and others do not."""
    passed = [
        {variable for variable, _ in terms.monomials.exponents(term.monomial)} for term in heard
    ]
    common = set.intersection(*passed) if len({each.origin for each in heard}) > 1 else set()
    own = set().union(*passed) - common
    knobs, settings = terms.knobs.knobs, terms.solution.rig.settings
    return any(each < len(knobs) and knobs[each].control in settings for each in own)


def _off_db(
    terms: Terms,
    ends: Sequence[End],
    shifts: Mapping[str, float],
    *,
    reserve_db: float,
    loudness: Loudness,
) -> float | None:
    """How far a group as a whole moves; nothing where it is free."""
    if ends[0].kind == "recorder":
        return None
    rooms = list(_rooms_db(terms, ends, shifts, reserve_db))
    room_db = min(rooms, default=0.0)
    if ends[0].kind == "worn" or loudness == "as-set":
        return min(room_db, 0.0)
    wanted_db = wanted_room_db(terms.solution) if ends[0].kind == "audience" else None
    if wanted_db is None:
        return room_db
    moved_db = max(_moved_db(terms, end, shifts) for end in ends)
    return min(room_db, wanted_db - moved_db)


def _moved_db(terms: Terms, end: End, shifts: Mapping[str, float]) -> float:
    """How much louder the loudest moment is at an end with the balance asked for."""
    balanced_db = _balanced_peak_db(terms, end.point, shifts)
    return balanced_db - _balanced_peak_db(terms, end.point, {})


def _rooms_db(
    terms: Terms, ends: Sequence[End], shifts: Mapping[str, float], reserve_db: float
) -> Iterator[float]:
    """Room of the loudest moment at each end and its amplifier, with the balance asked for."""
    solution = terms.solution
    for end in ends:
        moved_db = _moved_db(terms, end, shifts)
        for point in _driven_alone(solution, end.point):
            ceiling, nominal = solution.ceiling[point], solution.nominal[point]
            if 0 < ceiling < math.inf and nominal > 0:
                peak_db = 20 * math.log10(nominal) + solution.crest_db[point] - SINE_CREST_DB
                yield 20 * math.log10(ceiling) - reserve_db - peak_db - moved_db


def _balanced_peak_db(terms: Terms, point: int, shifts: Mapping[str, float]) -> float:
    """Peak at an end with each performance moved."""
    power: dict[str, float] = {}
    for term in terms.signals.get(point, ()):
        moved = term.now_db + shifts.get(term.origin, 0.0)
        power[term.origin] = power.get(term.origin, 0.0) + 10 ** (moved / 10)
    own = {each.origin: each.peak_to_rms_db.value for each in terms.solution.graph.components}
    crest = crest_db(np.array(list(power.values())), np.array([own[name] for name in power]))
    return 10 * math.log10(sum(power.values())) + float(crest) - SINE_CREST_DB


def driven_points(solution: Solution, ends: Sequence[End]) -> dict[int, tuple[int, ...]]:
    """By group with an anchor at the gear: its ends, and what drives them alone.

    Where areas want a level, that anchors what the audience hears; monitors follow the hall.
    """
    anchored = {"performers"} if all(end.kind != "audience" for end in ends) else {"audience"}
    if wanted_room_db(solution) is not None:
        anchored -= {"audience"}
    found: dict[int, tuple[int, ...]] = {}
    for end in ends:
        if end.kind in anchored:
            found[end.group] = (*found.get(end.group, ()), *_driven_alone(solution, end.point))
    return found


def _driven_alone(solution: Solution, point: int) -> Iterator[int]:
    """An end, and what drives it back to its last control: there all moves together."""
    control = solution.graph.wiring.columns.control
    for each in _back_alone(solution, point):
        yield each
        if control[each] >= 0:
            return


def _back_alone(solution: Solution, point: int) -> Iterator[int]:
    """A point and those before it, as long as a signal comes from one of them alone."""
    graph, seen = solution.graph, set[int]()
    while point not in seen:  # a signal may go round
        yield point
        seen.add(point)
        before = graph.columns.source[graph.arriving_at(point)]
        carrying = before[solution.nominal[before] > 0]
        if len(carrying) != 1:
            return
        point = int(carrying[0])


def anchor_words(
    ends: Sequence[End],
    *,
    reserve_db: float,
    loudness: Loudness,
    is_wanted: bool = False,
    lowered_db: float = 0.0,
) -> str:
    """How loud it is meant to be, for people; ``is_wanted`` where areas say so.

    ``lowered_db`` is what was taken off that because it would ring.
    """
    if not any(end.kind in {"audience", "performers"} for end in ends):
        return "No loudspeaker plays: meters and headroom alone decide."
    if loudness == "as-set":
        return "Loudspeakers stay as loud as they are set, as far as their ceilings allow."
    found = (
        "The loudest moment, everything at its loud passage, brings the first loudspeaker or its "
        f"amplifier to {reserve_db:g} dB under its ceiling."
    )
    if is_wanted:
        found = (
            "The loud passage of everything is as loud as the first area wants it, or as the first "
            f"loudspeaker or its amplifier gives with {reserve_db:g} dB left under its ceiling."
        )
    if lowered_db:
        found += (
            f" That would ring: everything is {format_level(lowered_db, 'dB')} softer, where "
            "nineteen of twenty such places are quiet."
        )
    return found
