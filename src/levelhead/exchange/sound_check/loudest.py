"""The loudest moment: everybody plays the loud passage at once, against what ends each way."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from levelhead.exchange.paperwork.work import Paperwork
from levelhead.exchange.sound_check.heard_ends import HeardEnd
from levelhead.exchange.sound_check.meters import Shown, mark_at, shown
from levelhead.exchange.sound_check.sounding import Sounding
from levelhead.exchange.sound_check.steps import Step, set_of
from levelhead.planning.gains.planned.ends import MeterMark
from levelhead.quantity.formatting import format_level
from levelhead.verdicts.people.words import EXPOSURE_CAUTION

__all__ = ["loudest_steps"]

_FINE_DB: Final = 6.0  # headroom on peaks that is fine, common practice
_SAME_DB: Final = 0.5
_NOTICED_DB: Final = 3.0  # less is not heard as softer, common practice


def loudest_steps(sounding: Sounding, meters: Sequence[MeterMark]) -> Iterator[Step]:
    """The meters of the mixes, then every loudspeaker and what drives it."""
    yield Step(
        "loudest",
        "Everybody plays the loudest passage of the show at once. Listen where the audience is, "
        "then at the loudest seat.",
        caution=EXPOSURE_CAUTION,
    )
    yield from _mix_meters(sounding.work, meters)
    alike: dict[tuple[object, ...], list[HeardEnd]] = {}
    for end in sounding.ends:
        alike.setdefault(end.key, []).append(end)
    for ends in alike.values():
        yield _step(sounding.work, ends)


def _mix_meters(work: Paperwork, meters: Sequence[MeterMark]) -> Iterator[Step]:
    """Meters of mixes; those of one mixer that read alike in one step."""
    solution = work.check.trial.solution
    alike: dict[tuple[str, Shown, str], list[MeterMark]] = {}
    for mark in meters:
        if mark.align == "all" and mark_at(meters, mark.at) is mark:
            point = solution.point(mark.at)
            key = (point.item, shown(mark, point), _beside(mark))
            alike.setdefault(key, []).append(mark)
    for (_, reading, beside), marks in alike.items():
        names = " and ".join(_spaced(each.label) for each in marks)
        whose = "its meter" if len(marks) == 1 else "their meters"
        yield Step(
            "loudest",
            f"{names}: {whose} with everything playing.{beside}",
            at=marks[0].at,
            meter=reading.reads,
            between=reading.between,
        )


def _beside(mark: MeterMark) -> str:
    """Where a mix stays beside its usual range, because something else decides."""
    if mark.reads_db < mark.low_db - _SAME_DB:
        return " Softer than such a meter usually stands: what it drives is loud enough so."
    if mark.reads_db > mark.high_db + _SAME_DB:
        return " Louder than such a meter usually stands: what it drives wants it so."
    return ""


def _step(work: Paperwork, ends: Sequence[HeardEnd]) -> Step:
    """What ends first on the way to some loudspeakers, and how far away that is."""
    end = ends[0]
    called = " and ".join(work.called(each.item) for each in ends)
    peaks = [each.level.peak for each in ends if each.level.peak is not None]
    peak = format_level(max(peaks), end.level.unit) if peaks else "-"
    where = "at the ear" if end.item.plan.is_worn else "at 1 m"
    sets = () if end.master is None else (set_of(work.rig, end.master),)
    told = f"{called}: peaks of {peak} {where}{' at most' if len(ends) > 1 else ''}."
    if end.tightest is None or end.tightest.headroom is None:
        return Step("loudest", told, at=end.item.id, sets=sets)
    room_db = end.tightest.headroom
    tight = dict.fromkeys(each.tightest.at for each in ends if each.tightest is not None)
    places = [_spaced(work.check.trial.solution.point(each).label) for each in tight]
    verb = "ends" if len(places) == 1 else "end"
    return Step(
        "loudest",
        f"{told} {' and '.join(places)} {verb} first, {_room(room_db)}.{_turn(work, end, room_db)}",
        at=end.tightest.at,
        sets=sets,
        caution=None if room_db >= 0 else f"{called} driven beyond what it can: turn down first.",
    )


def _room(room_db: float) -> str:
    if room_db < 0:
        return f"{format_level(-room_db, 'dB')} too early"
    return f"with {format_level(room_db, 'dB')} to spare on peaks"


def _turn(work: Paperwork, end: HeardEnd, room_db: float) -> str:
    """What to do when it ends too early, or may."""
    if end.master is None or room_db >= _FINE_DB - _SAME_DB:
        return ""
    master = work.rig.controls[end.master].label
    if room_db < 0:
        return f" Turn the {master} down by {format_level(-room_db, 'dB')} before."
    down = format_level(max(_FINE_DB - room_db, _NOTICED_DB), "dB")
    return f" Clip lamps stay dark; if one lights, {master} down by {down}."


def _spaced(label: str) -> str:
    return label.replace(", ", " ")
