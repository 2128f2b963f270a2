"""Seats: loud enough, not too loud, even, and understood."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Final

import numpy as np

from levelhead.acoustics.listening.speech import rating
from levelhead.acoustics.placed.beyond_walls import beyond_walls
from levelhead.acoustics.placed.ears import ears_of
from levelhead.acoustics.remarks import INSIDE_LOUDSPEAKER, NO_LOUDSPEAKER
from levelhead.chain.solution import Solution
from levelhead.gear.figures import Figure
from levelhead.quantity.formatting import format_level
from levelhead.quantity.parsing import parse
from levelhead.verdicts.air.limits import APART_DB, NOISE_COUNTS_DB, OFF_DB, STI_FAILS, STI_FINE
from levelhead.verdicts.air.numbers import AreaNumbers, Seen, ringing_in, seen_by
from levelhead.verdicts.air.words import (
    INSIDE,
    NOWHERE,
    SENTENCES,
    SPEECH,
    TOO_LOUD,
    TOO_LOW,
    UNEVEN,
    WALLS,
)
from levelhead.verdicts.read.doubts import controls_with_room, doubts_of_level, strongest_way
from levelhead.verdicts.read.reading import Reading
from levelhead.verdicts.told.finding import Compared, Finding, Severity
from levelhead.verdicts.told.limit_state import ROUNDING, Doubt, LimitState

__all__ = ["check_seats", "impossible", "loudest_row", "told_of"]

AIR: Final = "loudspeakers as they are driven, at their places; straight and reverberant sound"
STI_PER_DB: Final = 0.025  # index per dB of the reverberation time, around 1 s: IEC 60268-16, m(F)
TYPED_SHARE: Final = 0.1  # of a reverberation time that was told: two standard deviations
ASSUMED_SHARE: Final = 0.5  # and of one that was assumed
LEAST_SEATS: Final = 8


def check_seats(reading: Reading) -> Iterator[Finding]:
    """Every area that the show names, as everything stands."""
    seen = seen_by(reading.solution)
    if seen is None:
        return
    yield from _in_the_way(reading, seen)
    yield from _beyond_walls(reading, seen)
    for area in told_of(seen):
        yield from _level(reading, seen, area)
        yield from _evenness(area)
        yield from _speech(seen, area)


def told_of(seen: Seen) -> Iterator[AreaNumbers]:
    """Areas of which something can be told: not in a room that cannot be, nor one that crosses."""
    wrong = {each.where for each in seen.remarks if each.severity == "fails"}
    if not _is_impossible(seen):
        yield from (each for each in seen.areas if each.id not in wrong)


def _is_impossible(seen: Seen) -> bool:
    """Whether the room is one that cannot be."""
    return any(
        each.severity == "fails" and each.where.partition(".")[0] == "room" for each in seen.remarks
    )


# ---------------------------------------------------------------- what stands in the way


def _in_the_way(reading: Reading, seen: Seen) -> Iterator[Finding]:
    """What makes an answer impossible, in the words of the seats."""
    for remark in seen.remarks:
        if remark.severity == "fails":
            is_nobody = remark.code == NO_LOUDSPEAKER
            if not is_nobody:
                own = INSIDE if remark.code == INSIDE_LOUDSPEAKER else WALLS
                yield impossible(own, _address(seen, remark.where), remark.what)
    if seen.show.areas and not seen.played.loudspeakers and _has_loudspeaker(reading):
        areas = ", ".join(each.label or each.id for each in seen.show.areas.values())
        yield Finding(
            code=NOWHERE,
            severity=Severity.CARE,
            where="areas",
            what=SENTENCES[NOWHERE, Severity.CARE].format(areas=areas),
            why=(),
            source="places of loudspeakers that play",
            basis="common practice",
        )


def _beyond_walls(reading: Reading, seen: Seen) -> Iterator[Finding]:
    """Loudspeakers, microphones and areas that stand outside walls that can be."""
    if _is_impossible(seen):
        return
    places = [(each.name, each.at_m) for each in seen.played.boxes]
    places += [(each.name, each.at_m) for each in ears_of(reading.solution)[0]]
    for area in seen.played.located.areas if seen.show.areas else ():
        places += [(area.name, np.array(corner)) for corner in area.corners_m]
    for remark in beyond_walls(seen.show, places):
        what = f"{remark.what[0].upper()}{remark.what[1:]}"
        yield Finding(
            code=WALLS,
            severity=Severity.CARE,
            where=remark.where,
            what=SENTENCES[WALLS, Severity.CARE].format(what=what),
            why=(),
            source="places, walls and areas as they are written",
            basis="geometry",
        )


def _has_loudspeaker(reading: Reading) -> bool:
    """Whether anything plays into the air at all; if not, others tell."""
    rig = reading.rig
    numbers = reading.reach.loudspeakers.items()
    return any(
        reading.solution.nominal[number] > 0 and not rig.items[point.item].plan.is_worn
        for number, point in numbers
    )


def _address(seen: Seen, where: str) -> str:
    """Where a remark stands, as findings have it."""
    return f"areas.{where}" if where in seen.show.areas else where


def impossible(code: str, where: str, what: str) -> Finding:
    """Something of which nothing can be told until it is mended."""
    return Finding(
        code=code,
        severity=Severity.FAILS,
        where=where,
        what=SENTENCES[code, Severity.FAILS].format(what=f"{what[0].upper()}{what[1:]}"),
        why=(),
        source="places, walls and areas as they are written",
        basis="geometry",
    )


# ---------------------------------------------------------------- level


def loudest_row(seen: Seen, near: str | None = None) -> int | None:
    """The point of the loudspeaker that plays loudest, of all or those of one name."""
    loudest = max(
        (each for each in seen.played.loudspeakers if near in (None, each.name)),
        key=lambda each: float(each.level_db.max()),
        default=None,
    )
    names = {each.name: each.number for each in seen.played.boxes}
    return None if loudest is None else names[loudest.name]


def _level(reading: Reading, seen: Seen, area: AreaNumbers) -> Iterator[Finding]:
    """Level against what is wanted; nothing where nobody said."""
    told = seen.show.areas[area.id].level if area.id in seen.show.areas else None
    row = loudest_row(seen)
    if told is None or row is None:
        return
    target_db = float(getattr(parse(told), "value_db", 0.0))
    off_db = area.level_db - target_db
    is_low = off_db < 0
    margin_db = OFF_DB - abs(off_db)
    severity = _level_severity(reading, row, margin_db, off_db)
    code = TOO_LOW if is_low or severity is Severity.FINE else TOO_LOUD
    yield Finding(
        code=code,
        severity=severity,
        where=f"areas.{area.id}.level",
        what=SENTENCES[code, severity].format(
            area=area.name,
            level=_dba(area.level_db),
            by=format_level(abs(off_db), "dB"),
            target=_dba(target_db),
            works=_works_words(reading, row, -off_db) if severity is Severity.CARE else "",
        ),
        why=(Compared("mean level at the seats", area.level_db, target_db, "dB(A)"),),
        state=LimitState(
            margin_db,
            "dB",
            lambda: doubts_of_level(reading.solution, row, slope=1.0 if is_low else -1.0),
        ),
        source=AIR,
        basis="common practice",
    )


def _level_severity(reading: Reading, row: int, margin_db: float, off_db: float) -> Severity:
    """Care where a control brings it there; fails where nothing has so much left."""
    if margin_db >= -ROUNDING:
        return Severity.FINE
    has_room = off_db > 0 or _left_db(reading, row) >= -off_db - OFF_DB - ROUNDING
    return Severity.CARE if has_room else Severity.FAILS


def _works_words(reading: Reading, row: int, by_db: float) -> str:
    """Whether it works turned up: nothing clips so soon, and nothing rings before."""
    ringing, left_db = ringing_in(reading.solution), _left_db(reading, row)
    even_db = math.inf if ringing is None or ringing.margin is None else ringing.margin.median_db
    if by_db > 0 and even_db < by_db:
        now = format_level(max(even_db, 0.0), "dB")
        return f"Turned up it rings before, with even odds {now} up: mend that first."
    if by_db > left_db:
        return f"It can be turned up by {format_level(left_db, 'dB')}; the rest is not there."
    return "It works turned up by that."


def _left_db(reading: Reading, row: int) -> float:
    """How much louder a loudspeaker gets: what controls have left, and peaks behind them. [dB]"""
    solution = reading.solution
    knobs_db = sum(max(each, 0.0) for each in controls_with_room(solution, row).values())
    return min([knobs_db, *(max(each, 0.0) for each in _headrooms_db(solution, row))])


def _headrooms_db(solution: Solution, row: int) -> Iterator[float]:
    """What peaks have left, back from a loudspeaker to the last control: its amplifier, too."""
    for edge in reversed(strongest_way(solution, row).edges):
        point = solution.graph.points[edge.target]
        headroom = solution.levels(point.address).headroom
        if headroom is not None:
            yield headroom
        if point.control is not None:
            return


def _evenness(area: AreaNumbers) -> Iterator[Finding]:
    """How far loud and soft seats lie apart, of areas that have some seats."""
    if area.seats < LEAST_SEATS:
        return
    severity = Severity.FINE if area.apart_db <= APART_DB + ROUNDING else Severity.CARE
    yield Finding(
        code=UNEVEN,
        severity=severity,
        where=f"areas.{area.id}.evenness",
        what=SENTENCES[UNEVEN, severity].format(
            area=area.name,
            apart=format_level(area.apart_db, "dB"),
            low=_dba(area.low_db),
            high=_dba(area.high_db),
        ),
        why=(Compared("eight seats of ten lie within", area.apart_db, APART_DB, "dB"),),
        state=LimitState(APART_DB - area.apart_db, "dB"),
        source=AIR,
        basis="common practice",
    )


# ---------------------------------------------------------------- speech


def _speech(seen: Seen, area: AreaNumbers) -> Iterator[Finding]:
    """How well talkers are understood; nothing where nobody talks."""
    if area.sti is None:
        return
    margin = area.sti - STI_FAILS
    state = LimitState(margin, "1", lambda: list(_sti_doubts(seen)))
    severity = Severity.FINE
    if margin < 0:
        severity = Severity.FAILS
    elif margin < STI_FINE - STI_FAILS:
        severity = Severity.CARE
    yield Finding(
        code=SPEECH,
        severity=severity,
        where=f"areas.{area.id}.speech",
        what=SENTENCES[SPEECH, severity].format(
            area=area.name,
            sti=f"{area.sti:.2f}",
            rating=rating(area.sti),
            because=_because(seen, area),
        ),
        why=(
            Compared("speech transmission index", area.sti, STI_FAILS, "1"),
            Compared("direct over reverberant sound", area.direct_db, None, "dB"),
            Compared("over the noise of the place", area.over_noise_db, NOISE_COUNTS_DB, "dB"),
        ),
        state=state,
        source=f"{AIR}; fourteen modulations in seven octaves",
        basis="IEC 60268-16:2020",
    )


def _sti_doubts(seen: Seen) -> Iterator[Doubt]:
    """What carries the doubt: how long the room sounds."""
    if seen.reverberation_s is None or seen.show.room is None:
        return
    is_told = seen.show.room.reverberation is not None or bool(seen.show.room.surfaces)
    share = TYPED_SHARE if is_told else ASSUMED_SHARE
    time_s = seen.reverberation_s
    figure = Figure(time_s, time_s * (1 - share), time_s * (1 + share), "s", "typical")
    yield Doubt("reverberation time of the room", "fact", figure, -STI_PER_DB)


def _because(seen: Seen, area: AreaNumbers) -> str:
    """What takes most of it."""
    if area.over_noise_db is not None and area.over_noise_db < NOISE_COUNTS_DB:
        if area.over_noise_db < 0:
            return f"noise is {format_level(-area.over_noise_db, 'dB')} above it"
        return f"noise is only {format_level(area.over_noise_db, 'dB')} below it"
    if seen.reverberation_s is not None and area.direct_db is not None:
        more = f"{format_level(-area.direct_db, 'dB')} more of it than of straight sound"
        less = "as much of it as of straight sound"
        return f"the room sounds for {seen.reverberation_s:.1f} s, and seats get " + (
            more if area.direct_db < 0 else less
        )
    return "loudspeakers come one after another"


def _dba(level_db: float) -> str:
    return f"{level_db:.0f} dB(A)"
