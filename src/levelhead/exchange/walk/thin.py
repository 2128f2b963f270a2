"""Weak, hollow or without bass: one wire lost, something in between that takes the bass, copies."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from typing import Final

import numpy as np

from levelhead.exchange.walk import causes
from levelhead.exchange.walk.alone import BASS_HZ, Alone
from levelhead.exchange.walk.model import Candidate
from levelhead.exchange.walk.places import Ground, Place, is_loudspeaker
from levelhead.quantity.bands import mid_hz
from levelhead.show.edits import Edit

__all__ = ["bass_words", "candidates"]

_TELLS_DB: Final = 1.0  # less bass than that is not missed, common practice
_HEARS_DB: Final = 2.0  # less is not heard as weak, common practice


def bass_words(ground: Ground, place: Place) -> str:
    """How much bass there is by plan; empty where nothing is known."""
    is_told = place.kind in {"source", "gain"} or (place.points and is_loudspeaker(ground, place))
    now_db = ground.alone.bass_db(place.at) if place.points and is_told else None
    if now_db is None:
        return ""
    if now_db > _NO_BASS_DB:
        return "This source has next to no bass."
    return f"Below {BASS_HZ:.0f} Hz it is {now_db:.0f} dB under the whole."


_NO_BASS_DB: Final = 15.0


def candidates(ground: Ground, place: Place) -> Iterator[Candidate]:
    """What thins, the likeliest first."""
    if place.kind == "source":
        yield from _distance(ground, place)
        yield from causes.turned_down(ground, place)
    elif place.kind in {"lead", "phantom"}:
        yield from _lost_wires(ground, place)
        yield from _filters(ground, place)
        if place.kind == "lead":
            yield from causes.turned_down(ground, place)
    elif place.kind == "gain":
        yield from _filters(ground, place)
        yield from _copies(ground)
        yield from causes.turned_down(ground, place)
    else:
        yield from _filters(ground, place)
        yield from causes.turned_down(ground, place)
        yield from _lost_wires(ground, place)
        yield from _drivers(ground, place)


def _distance(ground: Ground, place: Place) -> Iterator[Candidate]:
    """Further away a microphone gets less, and less bass by its nearness."""
    for voice in ground.work.sources_at.get(place.items[0].id, ()):
        yield Candidate(
            f"{voice.label} is further from the microphone than {voice.distance_m * 100:.0f} cm: "
            "twice as far is 6 dB less, and a directional microphone loses bass"
        )


def _lost_wires(ground: Ground, place: Place) -> Iterator[Candidate]:
    """Each wire of the lead broken, with what the meter would then lose."""
    if place.leg is None:
        return
    number = place.leg.lead.number
    for pin, edit in causes.broken_wires(place.leg):
        told = _lost_words(ground, place, (edit,))
        if told is not None:
            yield Candidate(f"the wire on pin {pin} of lead {number} is broken{told}", (edit,))


def _lost_words(ground: Ground, place: Place, edits: tuple[Edit, ...]) -> str | None:
    """What a fault does to level and bass at the next place; ``None`` where it thins nothing."""
    at = ground.metered if place.kind in {"lead", "phantom"} else place.at
    after = ground.work.check.trial.after(edits)
    if after is None:
        return None
    faulty = Alone(after, ground.route)
    then, now = faulty.levels(at), ground.alone.levels(at)
    if now is None or now.nominal is None:
        return ""
    if then is None or then.nominal is None:
        return None  # silent, not thin
    lost_db = now.nominal - then.nominal
    bass = (faulty.bass_db(at) or 0.0) - (ground.alone.bass_db(at) or 0.0)
    words = [f"{lost_db:.0f} dB less"] if abs(lost_db) >= _HEARS_DB else []
    words += [f"{bass:.0f} dB less of its bass"] if bass >= _TELLS_DB else []
    return f": {', '.join(words)}" if words else None


def _filters(ground: Ground, place: Place) -> Iterator[Candidate]:
    """Stages and circuits on the way that take bass by plan."""
    solution = ground.work.check.trial.solution
    for before, point in pairwise(_with_before(ground, place)):
        lost_db = _bass_lost_db(ground, before, point)
        if lost_db >= _TELLS_DB:
            called = solution.point(point).label.replace(", ", " ") or point
            yield Candidate(f"{called} takes {lost_db:.0f} dB of the bass as it is set")


def _with_before(ground: Ground, place: Place) -> list[str]:
    whole = [*ground.route.before, *ground.route.after]
    if not place.points or place.points[0] not in whole:
        return []
    start = max(whole.index(place.points[0]) - 1, 0)
    return whole[start : whole.index(place.points[-1]) + 1]


def _bass_lost_db(ground: Ground, before: str, point: str) -> float:
    """Bass lost against the middle between two points. [dB]"""
    low = mid_hz() < BASS_HZ
    middle = (mid_hz() >= _MIDDLE_HZ[0]) & (mid_hz() <= _MIDDLE_HZ[1])
    one, other = ground.alone.power(before), ground.alone.power(point)
    sums = [float(each[part].sum()) for each in (one, other) for part in (low, middle)]
    if min(sums) <= 0:
        return 0.0
    low_before, middle_before, low_after, middle_after = sums
    return float(10 * np.log10(low_before / middle_before * middle_after / low_after))


_MIDDLE_HZ: Final = (500.0, 2000.0)


def _copies(ground: Ground) -> Iterator[Candidate]:
    """Other microphones that hear the same, and one pair of wires crossed."""
    work, source = ground.work, ground.route.source
    if source is None:
        return
    others = {each.at for each in work.rig.sources if each.id == source.origin}
    others -= {leg.out.item.id for leg in ground.route.legs}
    for item in sorted(others):
        yield Candidate(
            f"{work.called(work.rig.items[item])} hears the same: mute it and listen; if it gets "
            "fuller, polarity of one of them is turned, or they stand at unlike distances"
        )


def _drivers(ground: Ground, place: Place) -> Iterator[Candidate]:
    if is_loudspeaker(ground, place):
        called = ground.work.called(place.items[0])
        yield Candidate(f"a driver of {called} is silent: listen at low level, then exchange it")
        yield Candidate(
            "two loudspeakers work against each other: pull one, muted; if the bass comes, the "
            "wires of one lead are crossed"
        )
