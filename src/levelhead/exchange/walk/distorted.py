"""Rough or broken up: which stage ends first on the way, by its headroom as everything is set."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from levelhead.chain.levels import PointLevels
from levelhead.exchange.walk import causes
from levelhead.exchange.walk.model import Candidate
from levelhead.exchange.walk.places import Ground, Place, is_loudspeaker
from levelhead.exchange.walk.words import feeding_words
from levelhead.quantity.formatting import format_level

__all__ = ["candidates", "headroom_words", "tightest"]

_LIKELY_DB: Final = 12.0  # one player is louder than the next by as much, common practice


def tightest(ground: Ground, place: Place) -> PointLevels | None:
    """The point of a place with the least headroom, with everybody playing."""
    solution = ground.work.check.trial.solution
    levels = [solution.levels(each) for each in place.points]
    known = [each for each in levels if each.headroom is not None]
    return min(known, key=lambda each: each.headroom or 0.0, default=None)


def headroom_words(ground: Ground, place: Place) -> str:
    """What is left above the peaks there."""
    found = tightest(ground, place)
    if found is None or found.headroom is None or found.peak is None:
        return ""
    where = _called(ground, found.at)
    peak, room = format_level(found.peak, found.unit), format_level(abs(found.headroom), "dB")
    if found.headroom < 0:
        return f"By plan {where} clips: peaks of {peak} are {room} beyond its ceiling."
    has_meter = ground.work.check.trial.solution.point(found.at).meter is not None
    lamp = "; its clip lamp stays dark" if has_meter else ""
    return f"Peaks of {peak} leave {room} at {where}{lamp}."


def _called(ground: Ground, at: str) -> str:
    label = ground.work.check.trial.solution.point(at).label
    return label.replace(", ", " ") or at


def candidates(ground: Ground, place: Place) -> Iterator[Candidate]:
    """What ends too early here, the tightest first; then what starves, then what is broken."""
    yield from _tight(ground, place)
    yield from _starved(ground, place)
    if place.kind in {"lead", "phantom"} and place.leg is not None:
        for pin, edit in causes.broken_wires(place.leg):
            yield Candidate(
                f"pin {pin} of lead {place.leg.lead.number} makes bad contact: it crackles when "
                "the lead is moved",
                (edit,),
            )
    if is_loudspeaker(ground, place):
        called = ground.work.called(place.items[0])
        yield Candidate(
            f"a driver of {called} is damaged: it rattles at low level too; exchange it"
        )


def _tight(ground: Ground, place: Place) -> Iterator[Candidate]:
    solution = ground.work.check.trial.solution
    rooms = [(solution.levels(each).headroom, each) for each in place.points]
    known = sorted((room, each) for room, each in rooms if room is not None)
    told: set[float] = set()
    for room, point in known:
        if round(room, 1) in told or (room > _LIKELY_DB and told):
            continue
        told.add(round(room, 1))
        before = _control_before(ground, point)
        turn = f": turn {before} down and listen" if before else ""
        left = f"{format_level(room, 'dB')} are left by plan" if room >= 0 else "by plan already"
        yield Candidate(f"{_called(ground, point)} clips ({left}){turn}")


def _control_before(ground: Ground, point: str) -> str:
    """The nearest level before a point."""
    whole = [*ground.route.before, *ground.route.after]
    passed = whole[: whole.index(point) + 1] if point in whole else []
    rig = ground.work.rig
    ranges = [each for each in ground.controls(passed) if rig.controls[each].kind == "range"]
    if not ranges:
        return ""
    item, _, local = ranges[-1].partition(".")
    strip = local.rpartition(".")[0]
    return " ".join(
        each
        for each in (
            "the",
            rig.controls[ranges[-1]].label,
            "of",
            ground.work.called(rig.items[item]),
            strip,
        )
        if each
    )


def _starved(ground: Ground, place: Place) -> Iterator[Candidate]:
    """What runs on a battery or on phantom power ends earlier when that fades."""
    for item in place.items if place.kind in {"source", "lead"} else ():
        kinds = {way.kind for way in item.plan.powered_by}
        if "battery" in kinds or item.plan.batteries:
            yield Candidate(f"battery of {ground.work.called(item)}: {feeding_words(item)}")
        if "phantom" in kinds:
            arrival = ground.work.check.trial.solution.phantom_at(item.id)
            if arrival is not None:
                yield Candidate(
                    f"{ground.work.called(item)} starves: it needs {arrival.needed_v:.0f} V of "
                    f"phantom power and gets {arrival.volts:.0f} V by plan"
                )
