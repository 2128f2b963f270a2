"""What the air rules read of a show: a few numbers of each area and of the loop, kept by content.

Nothing is worked out for a show that says neither its room nor its areas: then nobody asked. The
heavy part is a function of values alone, so equal values are worked out once, whatever edit led
to them.
"""

from __future__ import annotations

import math
from collections.abc import Hashable, Mapping
from dataclasses import dataclass, field, replace
from functools import lru_cache
from typing import Final

import numpy as np

from levelhead.acoustics.heard.heard import AreaHeard, heard_of, places_of, thinned
from levelhead.acoustics.listening.exposure import Evening
from levelhead.acoustics.listening.seats import a_weighted_db, noise_db_at
from levelhead.acoustics.placed.crew import Spot, spots_of
from levelhead.acoustics.placed.played import Played, played_by
from levelhead.acoustics.remarks import Remark
from levelhead.acoustics.rings.rings_of import Ringing, ringing_of
from levelhead.acoustics.twice.combs import Combed, combed_seats
from levelhead.acoustics.twice.delayed import Delayed, delayed_seats
from levelhead.chain.solution import Solution
from levelhead.quantity.exposure import USUAL_STAY_S
from levelhead.show.model import Show
from levelhead.verdicts.air.asked import has_place, may_ring

__all__ = ["AreaNumbers", "Seen", "crew_of", "hiss_by_box", "ringing_in", "seen_by"]

SEATS_ENOUGH: Final = 400  # of an area: more change no mean
KEPT: Final = 64


@dataclass(frozen=True, slots=True, kw_only=True)
class AreaNumbers:
    """One area: levels are means over its seats, ``sti`` its middle. [dB(A), s]

    ``low_db`` and ``high_db`` are those between which eight of ten seats lie; ``reverberation_s``
    and ``direct_db`` (over reverberant sound) are those of 500 Hz to 2 kHz.
    """

    id: str
    name: str
    seats: int
    level_db: float
    low_db: float
    high_db: float
    sti: float | None
    direct_db: float | None
    over_noise_db: float | None
    stay_s: float
    exposure: Evening

    @property
    def apart_db(self) -> float:
        """How far apart eight of ten seats lie. [dB]"""
        return self.high_db - self.low_db


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Seen:
    """Areas of a show, what comes twice to them, its loudspeakers, and remarks.

    Areas stand in ``combs`` and ``delayed`` by their id.
    """

    played: Played
    areas: tuple[AreaNumbers, ...]
    combs: Mapping[str, tuple[Combed, ...]]
    delayed: Mapping[str, tuple[Delayed, ...]]
    remarks: tuple[Remark, ...]
    reverberation_s: float | None

    @property
    def show(self) -> Show:
        """The show."""
        return self.played.show


@dataclass(frozen=True, slots=True)
class _Asked:
    """Values by their content: two that are alike are one question."""

    content: Hashable
    played: Played = field(compare=False)


def seen_by(solution: Solution) -> Seen | None:
    """Numbers of the areas of a solved show; nothing where it has no place."""
    if not has_place(solution):
        return None
    played = played_by(solution, spoken=True)
    found = _areas_of(_Asked(played.content, played))
    room = played.located.venue.room
    return Seen(
        played=played,
        areas=found.areas,
        combs=found.combs,
        delayed=found.delayed,
        remarks=(*played.remarks, *found.remarks),
        reverberation_s=None if room is None else float(np.median(room.reverberation_s[14:22])),
    )


@dataclass(frozen=True, slots=True, eq=False)
class _Found:
    """What is worked out of the seats."""

    areas: tuple[AreaNumbers, ...] = ()
    combs: Mapping[str, tuple[Combed, ...]] = field(default_factory=dict)
    delayed: Mapping[str, tuple[Delayed, ...]] = field(default_factory=dict)
    remarks: tuple[Remark, ...] = ()


@lru_cache(maxsize=KEPT)
def _areas_of(asked: _Asked) -> _Found:
    """The seats themselves, in areas that somebody named."""
    played = asked.played
    if not played.show.areas:
        return _Found()
    located = thinned(played.located, played.show, SEATS_ENOUGH)
    heard = heard_of(replace(played, located=located, remarks=()))
    named = [(each.area.id, each) for each in heard.areas]
    venue, boxes = played.located.venue, played.loudspeakers
    combs, delayed = {}, {}
    for name, each in named:
        places_m = each.seats.places_m
        combs[name] = tuple(combed_seats(each.area.name, places_m, boxes, venue))
        delayed[name] = tuple(delayed_seats(each.area.name, places_m, boxes, venue.air))
    areas = tuple(_numbers(name, each) for name, each in named)
    return _Found(areas, combs, delayed, heard.remarks)


def _numbers(name: str, heard: AreaHeard) -> AreaNumbers:
    levels = heard.seats.a_weighted_db
    low, high = np.percentile(levels, (10.0, 90.0))
    return AreaNumbers(
        id=name,
        name=heard.area.name,
        seats=len(levels),
        level_db=heard.level_db,
        low_db=float(low),
        high_db=float(high),
        sti=heard.sti,
        direct_db=heard.direct_to_reverberant_db,
        over_noise_db=heard.signal_to_noise_db,
        stay_s=heard.stay_s,
        exposure=heard.exposure,
    )


# ---------------------------------------------------------------- hiss


def hiss_by_box(solution: Solution) -> Mapping[str, float]:
    """Hiss of each loudspeaker at its loudest seat, by its name; as the seats are told. [dB(A)]

    Nothing where the show names no areas: then nobody said where ears are.
    """
    if not solution.rig.show.areas:
        return {}
    played = played_by(solution, spoken=True)
    return _hiss_of(_Asked(played.content, played))


@lru_cache(maxsize=KEPT)
def _hiss_of(asked: _Asked) -> Mapping[str, float]:
    played = asked.played
    found: dict[str, float] = {}
    for places_m in places_of(played.located, played.show):
        for each in played.hiss:
            hiss_db = a_weighted_db(noise_db_at(places_m, [each], played.located.venue))
            found[each.name] = max(found.get(each.name, -math.inf), float(hiss_db.max()))
    return found


# ---------------------------------------------------------------- the loop


def ringing_in(solution: Solution) -> Ringing | None:
    """The loop of a show that says where things stand; nothing where none goes round."""
    if not may_ring(solution):
        return None
    ringing = ringing_of(solution)
    return None if ringing.margin is None else ringing


# ---------------------------------------------------------------- those who work there


def crew_of(solution: Solution, seen: Seen) -> Mapping[str, tuple[AreaNumbers, ...]]:
    """Numbers of desks and of performers, by kind; ``id`` is that of the desk or microphone."""
    spots = spots_of(solution)
    if not spots or not seen.played.loudspeakers:
        return {}
    numbers = _crew_of(_Asked(seen.played.content, seen.played), spots)
    found: dict[str, tuple[AreaNumbers, ...]] = {}
    for spot, each in zip(spots, numbers, strict=True):
        found[spot.kind] = (*found.get(spot.kind, ()), each)
    return found


def _longest_s(played: Played) -> float:
    """As long as the longest stay of an area; who works is there as long."""
    return max(played.located.stays_s.values(), default=USUAL_STAY_S)


@lru_cache(maxsize=KEPT)
def _crew_of(asked: _Asked, spots: tuple[Spot, ...]) -> tuple[AreaNumbers, ...]:
    """Each spot as an area of its own."""
    located = replace(
        asked.played.located,
        areas=tuple(each.area for each in spots),
        spacings_m={},
        stays_s=dict.fromkeys((each.area.name for each in spots), _longest_s(asked.played)),
    )
    show = replace(asked.played.show, areas={})
    heard = heard_of(replace(asked.played, located=located, show=show, speakers=(), remarks=()))
    return tuple(_numbers(spot.item, each) for spot, each in zip(spots, heard.areas, strict=True))
