"""What the listeners of a show get: levels, speech and dose of each area, with what was assumed."""

from __future__ import annotations

import math
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass, replace
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from levelhead.acoustics.heard.at_work import AtWork, at_work
from levelhead.acoustics.listening.exposure import LOCAL_LAW, RULES, Evening, Stay, evening
from levelhead.acoustics.listening.seats import (
    Area,
    Seats,
    a_weighted_db,
    evenness_db,
    grid_of,
    noise_db_at,
    seats,
)
from levelhead.acoustics.listening.speech import STI_SPREAD, rating
from levelhead.acoustics.placed.boxes import Box
from levelhead.acoustics.placed.of_room import Located
from levelhead.acoustics.placed.played import Played, played_by
from levelhead.acoustics.remarks import INSIDE_LOUDSPEAKER, NO_LOUDSPEAKER, Remark
from levelhead.acoustics.twice.combs import Combed, combed_seats, worst_pairs
from levelhead.acoustics.twice.delays_of import DelaySetting, delays_of
from levelhead.acoustics.twice.subs import Meeting, meetings
from levelhead.chain.solution import Solution
from levelhead.errors import QuantityError
from levelhead.quantity.bands import MIDDLE_BANDS, octave_levels_db
from levelhead.quantity.exposure import USUAL_STAY_S
from levelhead.show.model import Show

__all__ = ["OCTAVES_HZ", "AreaHeard", "Heard", "heard_by", "heard_of", "places_of", "thinned"]

OCTAVES: Final = slice(1, 9)  # 63 Hz to 8 kHz
OCTAVES_HZ: Final = (63, 125, 250, 500, 1000, 2000, 4000, 8000)

Real = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class AreaHeard:
    """One area: its seats, and what stands on paper for it. Levels are means over its seats."""

    area: Area
    seats: Seats
    speech: Seats | None
    hiss_db: Real
    stay_s: float
    exposure: Evening

    @property
    def hiss_dba(self) -> float | None:
        """Hiss of the chain, loudest seat, A-weighted; none where nothing hisses. [dB(A)]"""
        loudest = float(a_weighted_db(self.hiss_db).max())
        return loudest if np.isfinite(loudest) else None

    @property
    def level_db(self) -> float:
        """Energy mean over the seats. [dB(A)]"""
        return float(10 * np.log10(np.mean(10 ** (self.seats.a_weighted_db / 10))))

    @property
    def octaves_db(self) -> Real:
        """Energy mean over the seats in octaves from 63 Hz to 8 kHz, (8,). [dB SPL]"""
        octaves = octave_levels_db(self.seats.level_db)[:, OCTAVES]
        return np.asarray(10 * np.log10(np.mean(10 ** (octaves / 10), axis=0)))

    @property
    def direct_to_reverberant_db(self) -> float | None:
        """Middle of the seats and of the bands from 500 Hz to 4 kHz; none outdoors. [dB]"""
        ratio = float(np.median(self.seats.direct_to_reverberant_db[:, MIDDLE_BANDS]))
        return ratio if np.isfinite(ratio) else None

    @property
    def signal_to_noise_db(self) -> float | None:
        """Middle of the seats, A-weighted, of the voices if there are any as of their index. [dB]

        None where no noise is told.
        """
        heard = self.seats if self.speech is None else self.speech
        ratio = float(np.median(heard.signal_to_noise_db))
        return ratio if np.isfinite(ratio) else None

    @property
    def sti(self) -> float | None:
        """Speech transmission index of voices, middle of the seats; none without voices."""
        return None if self.speech is None else float(np.median(self.speech.sti))

    def to_json(self) -> dict[str, Any]:
        """As docs/acoustics.md prints it."""
        between, deviation = evenness_db(self.seats.a_weighted_db)
        sti = self.sti
        return {
            "area": self.area.name,
            "seats": len(self.seats.a_weighted_db),
            "level_dba": _rounded(self.level_db),
            "lowest_dba": _rounded(float(self.seats.a_weighted_db.min())),
            "highest_dba": _rounded(float(self.seats.a_weighted_db.max())),
            "eight_of_ten_within_db": _rounded(between),
            "standard_deviation_db": _rounded(deviation),
            "octaves_hz": list(OCTAVES_HZ),
            "octaves_db_spl": [_rounded(float(each)) for each in self.octaves_db],
            "spread_db": [_rounded(float(each)) for each in self.spread_db],
            "direct_to_reverberant_db": _rounded(self.direct_to_reverberant_db),
            "signal_to_noise_db": _rounded(self.signal_to_noise_db),
            "hiss_dba": _rounded(self.hiss_dba),
            "sti": None if sti is None else round(sti, 2),
            "sti_within": STI_SPREAD,
            "speech": None if sti is None else rating(sti),
            "stay_h": _rounded(self.stay_s / 3600),
            "daily_dba": _rounded(self.exposure.daily_db),
            "worst_quarter_dba": _rounded(self.exposure.worst_quarter_db),
            "doses_percent": {
                rule.name: round(dose)
                for rule, dose in zip(RULES, self.exposure.doses_percent, strict=True)
            },
        }

    @property
    def spread_db(self) -> Real:
        """Spread of the level from place to place in octaves, middle of the seats, (8,). [dB]"""
        middles = np.median(self.seats.spread_db, axis=0)[2::3]
        return np.asarray(middles[OCTAVES])


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Heard:
    """All areas of a show, the place, and what stands against the answer."""

    located: Located
    areas: tuple[AreaHeard, ...]
    delays: tuple[DelaySetting, ...]
    combs: tuple[Combed, ...] = ()
    subwoofers: tuple[Meeting, ...] = ()
    at_work: tuple[AtWork, ...] = ()
    boxes: tuple[Box, ...]
    remarks: tuple[Remark, ...]

    @property
    def fails(self) -> bool:
        """Whether something stands in the way of an answer."""
        return any(each.severity == "fails" for each in self.remarks)

    def to_json(self) -> dict[str, Any]:
        """As docs/acoustics.md prints it."""
        room = self.located.venue.room
        return {
            "room": None
            if room is None
            else {
                "volume_m3": _rounded(room.volume_m3),
                "surface_m2": _rounded(room.surface_m2),
                "octaves_hz": list(OCTAVES_HZ),
                "reverberation_s": [
                    round(float(each), 2) for each in room.reverberation_s[2::3][OCTAVES]
                ],
                "schroeder_hz": _rounded(room.schroeder_hz),
            },
            "areas": [each.to_json() for each in self.areas],
            "delays": [each.to_json() for each in self.delays],
            "combs": [each.to_json() for each in self.combs],
            "subwoofers": [each.to_json() for each in self.subwoofers],
            "at_work": [each.to_json() for each in self.at_work],
            "law": LOCAL_LAW,
            "remarks": [each.to_json() for each in self.remarks],
        }


def _rounded(value: float | None) -> float | None:
    """Tenths; nothing where there is nothing."""
    return None if value is None or not np.isfinite(value) else round(value, 1) + 0.0


def heard_by(solution: Solution) -> Heard:
    """What the listeners of a solved show get, with everything at its loud passage."""
    played = played_by(solution)
    heard = heard_of(played)
    if not heard.areas:
        return heard
    venue = played.located.venue
    first = heard.areas[0].seats.places_m
    subs = meetings(solution, played.boxes, first.mean(0), venue.air)
    combs = [
        each
        for area in heard.areas
        for each in combed_seats(area.area.name, area.seats.places_m, played.loudspeakers, venue)
    ]
    return replace(
        heard,
        combs=tuple(worst_pairs(combs)),
        subwoofers=tuple(subs),
        at_work=at_work(solution, played),
    )


def heard_of(played: Played) -> Heard:
    """What listeners get of what plays: in the areas of the show, or down the hall."""
    located, boxes = played.located, played.boxes
    loudspeakers, speakers = played.loudspeakers, played.speakers
    remarks = list(played.remarks)
    if not loudspeakers:
        what = (
            "no loudspeaker with a place plays anything: there is nothing to hear; open faders, "
            "mutes and levels on the way to one, or give the one that plays its place ('at')"
        )
        remarks.append(Remark(NO_LOUDSPEAKER, "fails", "items", what))
        return Heard(located=located, areas=(), delays=(), boxes=boxes, remarks=tuple(remarks))
    found = []
    names = list(played.show.areas) or [each.name for each in located.areas]
    for name, area in zip(names, located.areas, strict=True):
        try:
            places_m = _places(area, located.spacings_m.get(name, 1.0))
        except QuantityError as error:
            what = f"{error.what}; expected {error.expected}"
            remarks.append(Remark("acoustics.no-area", "fails", name, what))
            continue
        hiss_db = noise_db_at(places_m, played.hiss, located.venue)
        venue = replace(located.venue, noise_db=_noise_db(located.venue.noise_db, hiss_db))
        own = seats(places_m, loudspeakers, venue, is_speech=False)
        speech = seats(places_m, speakers, venue) if speakers else None
        stay_s = located.stays_s.get(name, USUAL_STAY_S)
        if own.inside.any():
            what = f"{area.name}: {int(own.inside.sum())} places are inside a loudspeaker"
            remarks.append(Remark(INSIDE_LOUDSPEAKER, "fails", name, what))
        found.append(_area_heard(area, (own, speech), hiss_db, stay_s))
    return Heard(
        located=located,
        areas=tuple(found),
        delays=tuple(delays_of(loudspeakers, located.venue.air)),
        boxes=boxes,
        remarks=tuple(remarks),
    )


def places_of(located: Located, show: Show) -> Iterator[Real]:
    """Ears of each area in which there is room for a seat, (n, 3). [m]"""
    names = list(show.areas) or [each.name for each in located.areas]
    for name, area in zip(names, located.areas, strict=True):
        with suppress(QuantityError):  # told where levels are
            yield _places(area, located.spacings_m.get(name, 1.0))


def thinned(located: Located, show: Show, most: int) -> Located:
    """The same with seats so far apart that no area has many more: a mean needs no more."""
    spacings_m = {}
    for name, area in zip(show.areas, located.areas, strict=True):
        sides = np.ptp(np.array(area.corners_m), axis=0)
        enough_m = math.sqrt(float(sides.prod()) / most)
        spacings_m[name] = max(located.spacings_m.get(name, 1.0), enough_m)
    return replace(located, spacings_m=spacings_m)


def _places(area: Area, spacing_m: float) -> Real:
    """Ears of an area, or the one place that it is. [m]"""
    if len(area.corners_m) == 1:
        return np.array([[*area.corners_m[0], area.ear_m]])
    return grid_of(area, spacing_m=spacing_m)


def _noise_db(room_db: Real | None, hiss_db: Real) -> Real | None:
    """Noise of the place and hiss together, (n, 31); none where nobody told of noise."""
    if room_db is None:
        return None
    return np.asarray(10 * np.log10(10 ** (room_db / 10) + 10 ** (hiss_db / 10)))


def _area_heard(
    area: Area, both: tuple[Seats, Seats | None], hiss_db: Real, stay_s: float
) -> AreaHeard:
    """Levels of an area, and the dose of those in its mean."""
    own, speech = both
    level_db = float(10 * np.log10(np.mean(10 ** (own.a_weighted_db / 10))))
    exposure = evening([Stay(level_db=level_db, duration_s=stay_s)])
    return AreaHeard(
        area=area, seats=own, speech=speech, hiss_db=hiss_db, stay_s=stay_s, exposure=exposure
    )
