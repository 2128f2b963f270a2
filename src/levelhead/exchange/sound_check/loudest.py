"""The loudest moment: everybody plays the loud passage at once, against what ends each way."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final

from levelhead.chain.levels import PointLevels
from levelhead.exchange.paperwork import Paperwork
from levelhead.exchange.sound_check.meters import Shown, mark_at, shown
from levelhead.exchange.sound_check.sources import set_of
from levelhead.exchange.sound_check.steps import Step
from levelhead.planning.gains.plan_ends import MeterMark
from levelhead.quantity.formatting import format_level
from levelhead.rig.model import RigItem
from levelhead.verdicts.people.words import EXPOSURE_CAUTION

__all__ = ["loudest_steps"]

_FINE_DB: Final = 6.0  # headroom on peaks that is fine, common practice
_SAME_DB: Final = 0.5
_NOTICED_DB: Final = 3.0  # less is not heard as softer, common practice


@dataclass(frozen=True, slots=True)
class _End:
    """A loudspeaker, how loud it gets, and the point behind the mixer that is tightest."""

    item: RigItem
    level: PointLevels
    tightest: PointLevels | None
    master: str | None

    @property
    def key(self) -> tuple[object, ...]:
        """What ends that are told together have in common: the same stage, or the same numbers."""
        if self.tightest is None or self.tightest.headroom is None or self.level.peak is None:
            return (self.item.id,)
        if self.tightest.at.partition(".")[0] != self.item.id:
            return (self.tightest.at, self.master)
        return (self.item.plan.type_id, round(self.tightest.headroom, 1), self.master)


def loudest_steps(work: Paperwork, meters: Sequence[MeterMark]) -> Iterator[Step]:
    """The meters of the mixes, then every loudspeaker and what drives it."""
    yield Step(
        "loudest",
        "Everybody plays the loudest passage of the show at once. Listen where the audience is, "
        "then at the loudest seat.",
        caution=EXPOSURE_CAUTION,
    )
    yield from _mix_meters(work, meters)
    alike: dict[tuple[object, ...], list[_End]] = {}
    for end in _ends(work):
        alike.setdefault(end.key, []).append(end)
    for ends in alike.values():
        yield _step(work, ends)


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


def _ends(work: Paperwork) -> Iterator[_End]:
    """Each loudspeaker that is heard, by the way that brings most."""
    solution, seen = work.check.trial.solution, set[str]()
    for way in solution.paths:
        last = solution.point(way[-1])
        item = work.rig.items.get(last.item)
        if last.unit != "Pa" or item is None or item.id in seen or last.address in work.rig.ports:
            continue
        seen.add(item.id)
        yield _End(item, solution.levels(way[-1]), _tightest(work, way), _master(work, way))


def _from_mixer(work: Paperwork, way: Sequence[str]) -> Sequence[str]:
    """The part of a way from the output stage of the last mixer on."""
    solution = work.check.trial.solution
    stages = [each for each in way if each not in work.rig.ports]
    last = [n for n, each in enumerate(stages) if solution.point(each).item in work.mixers]
    return stages[last[-1] :] if last else stages


def _tightest(work: Paperwork, way: Sequence[str]) -> PointLevels | None:
    """Of equally tight points the first: what follows only passes that on."""
    levels = [work.check.trial.solution.levels(each) for each in _from_mixer(work, way)]
    known = [each for each in levels if each.headroom is not None]
    least_db = min((each.headroom or 0.0 for each in known), default=0.0)
    return next((each for each in known if (each.headroom or 0.0) < least_db + _SAME_DB), None)


def _master(work: Paperwork, way: Sequence[str]) -> str | None:
    """The last level that the signal passes in a mixer."""
    solution = work.check.trial.solution
    found = None
    for address in way:
        point = solution.point(address)
        if point.item in work.mixers and point.control is not None:
            found = point.control
    return found


def _step(work: Paperwork, ends: Sequence[_End]) -> Step:
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


def _turn(work: Paperwork, end: _End, room_db: float) -> str:
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
