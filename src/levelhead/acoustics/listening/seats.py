"""What listeners get: level per band and A-weighted, direct against reverberant, evenness, speech.

A seat hears every loudspeaker straight and off the floor, with one signal interfering; on top comes
the reverberation of each, and the noise of the room. Below the Schroeder frequency of a room a
level at one seat is a guess: the spread says how wide.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from levelhead.acoustics.listening.room import Room
from levelhead.acoustics.listening.speech import SPEECH_OCTAVES, Arrivals, sti_of_arrivals
from levelhead.acoustics.sound.air import USUAL_AIR, Air
from levelhead.acoustics.sound.loudspeaker import Loudspeaker
from levelhead.acoustics.sound.paths import INSIDE_M, Paths, Plane, paths_to
from levelhead.acoustics.sound.sum import USUAL_DOUBT, Doubt, summed_power
from levelhead.errors import QuantityError
from levelhead.quantity.bands import BANDS, mid_hz, octave_levels_db
from levelhead.quantity.decibels import P_REFERENCE_PA
from levelhead.quantity.weighting import a_weighting_db

__all__ = [
    "Area",
    "Seats",
    "Venue",
    "a_weighted_db",
    "are_inside",
    "evenness_db",
    "grid_of",
    "noise_db_at",
    "reverberation_of",
    "seats",
]

SMALLEST_PA2: Final = 1e-30
EVEN_SHARE: Final = (10.0, 90.0)  # per cent: eight seats of ten lie between them
SPEECH_BANDS: Final = 7
FIRST_THIRD: Final = 7  # 100 Hz, the lowest third of the octave of 125 Hz
MIDDLES: Final = slice(8, 29, 3)  # 125 Hz to 8 kHz among the thirds
MOST_SEATS: Final = 20_000


@dataclass(frozen=True, slots=True, kw_only=True)
class Area:
    """Where listeners are: corners on the floor (right, into the hall), and height of their ears.

    ``ear_m`` counts from the same zero as the places of loudspeakers; ``back_ear_m`` is that of the
    corner farthest from the stage, where the floor rises. [m] ``id`` is that of the show.
    """

    name: str
    corners_m: tuple[tuple[float, float], ...]
    ear_m: float = 1.2
    back_ear_m: float | None = None
    id: str = ""


def grid_of(area: Area, *, spacing_m: float = 1.0) -> NDArray[np.float64]:
    """Ears in an area, a square grid cut at its edges, (n, 3). [m]

    Raises
    ------
    QuantityError
        Fewer than three corners, no room for one seat, or more than 20,000 seats.

    Examples
    --------
    >>> hall = Area(name="stalls", corners_m=((-4, 2), (4, 2), (4, 12), (-4, 12)))
    >>> grid_of(hall, spacing_m=2.0).shape
    (20, 3)
    """
    corners = np.array(area.corners_m, dtype=np.float64).reshape(-1, 2)
    low, high = corners.min(0), corners.max(0)
    counts = np.maximum(1, np.ceil((high - low) / spacing_m - 1e-9)).astype(np.int64)
    if len(corners) < 3 or np.any(high <= low) or counts.prod() > MOST_SEATS:  # noqa: PLR2004
        raise QuantityError(
            f"{len(corners)} corners, {counts.prod()} seats",
            where=f"area '{area.name}'",
            expected=f"three corners or more, not all in a row, and up to {MOST_SEATS} seats",
            remedy="Give its corners in metres, or a wider spacing.",
        )
    axes = [low[i] + (np.arange(counts[i]) + 0.5) * (high - low)[i] / counts[i] for i in (0, 1)]
    grid = np.stack(np.meshgrid(*axes, indexing="ij"), axis=-1).reshape(-1, 2)
    kept = grid[are_inside(grid, corners)]
    back = area.ear_m if area.back_ear_m is None else area.back_ear_m
    along = (kept[:, 1] - low[1]) / (high - low)[1]
    return np.column_stack((kept, area.ear_m + along * (back - area.ear_m)))


def are_inside(points: NDArray[np.float64], corners: NDArray[np.float64]) -> NDArray[np.bool_]:
    """Which points lie within a polygon: a ray to the right crosses its edges an odd number."""
    inside = np.zeros(len(points), dtype=bool)
    for start, end in zip(corners, np.roll(corners, -1, axis=0), strict=True):
        between = (start[1] > points[:, 1]) != (end[1] > points[:, 1])
        rise = end[1] - start[1]
        with np.errstate(divide="ignore", invalid="ignore"):  # a level edge is never between
            at = start[0] + (points[:, 1] - start[1]) / rise * (end[0] - start[0])
        inside ^= between & (points[:, 0] < at)
    return inside


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Seats:
    """What places get.

    Parameters
    ----------
    places_m : ndarray, (n, 3)
        Ears. [m]
    direct_db, late_db, level_db : ndarray, (n, 31)
        Straight and early sound, reverberation, and both together. [dB SPL]
    a_weighted_db : ndarray, (n,)
        Both together. [dB(A)]
    spread_db : ndarray, (n, 31)
        Standard deviation of the level, by the room. [dB]
    noise_db : ndarray, (n, 31)
        What else is there. [dB SPL]
    sti : ndarray, (n,)
        Speech transmission index, if what plays is speech; within 0.05. Nothing where nobody asked.
    inside : ndarray, (n,)
        The nearest loudspeaker stands where the ears are.
    """

    places_m: NDArray[np.float64]
    direct_db: NDArray[np.float64]
    late_db: NDArray[np.float64]
    level_db: NDArray[np.float64]
    a_weighted_db: NDArray[np.float64]
    spread_db: NDArray[np.float64]
    noise_db: NDArray[np.float64]
    sti: NDArray[np.float64]
    inside: NDArray[np.bool_]

    @property
    def direct_to_reverberant_db(self) -> NDArray[np.float64]:
        """Direct over reverberant level, (n, 31); no end of it outdoors. [dB]"""
        return _over_db(self.direct_db, self.late_db)

    @property
    def signal_to_noise_db(self) -> NDArray[np.float64]:
        """A-weighted, (n,). [dB]"""
        return _over_db(self.a_weighted_db, a_weighted_db(self.noise_db))


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Venue:
    """Where it all is.

    Parameters
    ----------
    room : Room, optional
        Without one it is outdoors.
    outdoor_air : Air
        Of a place without a room; a room has its own.
    planes : sequence of Plane
        Floor and walls that are near enough to matter by themselves.
    noise_db : ndarray, (31,) or (n, 31), optional
        Noise of the place: people, ventilation, hiss of the chain. [dB SPL]
    doubt : Doubt
        What is not known of places and of the air.
    """

    room: Room | None = None
    outdoor_air: Air = USUAL_AIR
    planes: Sequence[Plane] = ()
    noise_db: NDArray[np.float64] | None = None
    doubt: Doubt = USUAL_DOUBT

    @property
    def air(self) -> Air:
        """Air of the room, or of the place outdoors."""
        return self.outdoor_air if self.room is None else self.room.air


def seats(
    places_m: NDArray[np.float64],
    loudspeakers: Sequence[Loudspeaker],
    venue: Venue,
    *,
    is_speech: bool = True,
) -> Seats:
    """Levels at places, (n, 3) in metres; the index of speech only if that ``is_speech``.

    Raises
    ------
    QuantityError
        There is no loudspeaker.
    """
    if not loudspeakers:
        raise QuantityError(
            "no loudspeaker plays to these places",
            where="seats",
            expected="one loudspeaker or more, with a place and a point it is turned to",
            remedy="Give the loudspeakers of the show their 'at' and 'aim'.",
        )
    room, noise_db = venue.room, venue.noise_db
    paths = paths_to(places_m, loudspeakers, air=venue.air, planes=venue.planes)
    direct = summed_power(paths, loudspeakers, air=venue.air, doubt=venue.doubt)
    late = reverberation_of(paths, loudspeakers, room)
    whole, reverberation = direct + late.sum(0), late.sum(0)
    level_db = _db(whole)
    noise = np.broadcast_to(np.full(BANDS, -np.inf) if noise_db is None else noise_db, whole.shape)
    return Seats(
        places_m=places_m,
        direct_db=_db(direct),
        late_db=_db(reverberation),
        level_db=level_db,
        a_weighted_db=a_weighted_db(level_db),
        spread_db=_spread_db(direct, reverberation, room),
        noise_db=noise,
        sti=_sti(paths, late, level_db, noise, room) if is_speech else np.empty(0),
        inside=np.asarray((paths.distance_m[:, 0] <= INSIDE_M).any(0)),
    )


def noise_db_at(
    places_m: NDArray[np.float64], loudspeakers: Sequence[Loudspeaker], venue: Venue
) -> NDArray[np.float64]:
    """Level at places of what has nothing in common, such as hiss, (n, 31). [dB SPL]

    Straight sound and reverberation of each, added as power; floors and walls are left out.
    """
    if not loudspeakers:
        return np.full((len(places_m), BANDS), -np.inf)
    paths = paths_to(places_m, loudspeakers, air=venue.air)
    return _db(paths.power[:, 0].sum(0) + reverberation_of(paths, loudspeakers, venue.room).sum(0))


def reverberation_of(
    paths: Paths, loudspeakers: Sequence[Loudspeaker], room: Room | None
) -> NDArray[np.float64]:
    """Reverberation that each loudspeaker makes at each place, (loudspeakers, n, 31). [Pa^2]"""
    distance_m = paths.distance_m[:, 0]
    if room is None:
        return np.zeros((*distance_m.shape, BANDS))
    late = np.empty((*distance_m.shape, BANDS))
    for number, each in enumerate(loudspeakers):
        at_1_m = P_REFERENCE_PA**2 * 10.0 ** (each.level_db / 10.0)
        late[number] = at_1_m * room.reverberant(distance_m[number], each.directivity.q)
    return late


def _spread_db(
    direct: NDArray[np.float64], late: NDArray[np.float64], room: Room | None
) -> NDArray[np.float64]:
    """Spread of the whole level: that of the reverberation, for its share of the power."""
    if room is None:
        return np.zeros_like(direct)
    share = late / np.maximum(direct + late, SMALLEST_PA2)
    return np.asarray(room.spread_db * np.sqrt(share * (2.0 - share)))


def _sti(
    paths: Paths,
    late: NDArray[np.float64],
    level_db: NDArray[np.float64],
    noise_db: NDArray[np.float64],
    room: Room | None,
) -> NDArray[np.float64]:
    """Speech transmission index of places, each way an arrival, (n,)."""
    ways = paths.power.shape[1]
    direct = _octave_power(paths.power).reshape(-1, len(level_db), SPEECH_BANDS)
    tails = np.zeros((len(late), ways, *late.shape[1:2], SPEECH_BANDS))
    tails[:, 0] = _octave_power(late)
    reverberation = np.zeros(BANDS) if room is None else room.reverberation_s
    arrivals = Arrivals(
        direct=direct.swapaxes(0, 1),
        late=tails.reshape(direct.shape).swapaxes(0, 1),
        time_s=paths.time_s.reshape(len(direct), -1).T,
        reverberation_s=reverberation[MIDDLES],
    )
    return sti_of_arrivals(
        arrivals,
        noise_db_spl=octave_levels_db(noise_db)[..., SPEECH_OCTAVES],
        signal_db_spl=octave_levels_db(level_db)[..., SPEECH_OCTAVES],
    )


def _octave_power(power: NDArray[np.float64]) -> NDArray[np.float64]:
    """Powers of the seven octaves of speech, (..., 7), from thirds, (..., 31)."""
    thirds = power[..., FIRST_THIRD : FIRST_THIRD + 3 * SPEECH_BANDS]
    return np.asarray(thirds.reshape(*power.shape[:-1], SPEECH_BANDS, 3).sum(-1))


def _db(power_pa2: NDArray[np.float64]) -> NDArray[np.float64]:
    """Levels; silence is -inf. [dB SPL]"""
    with np.errstate(divide="ignore"):
        return np.asarray(10.0 * np.log10(power_pa2 / P_REFERENCE_PA**2))


def _over_db(one_db: NDArray[np.float64], other_db: NDArray[np.float64]) -> NDArray[np.float64]:
    """How far one level is over another; no end of it over silence, even of silence. [dB]"""
    over_db = np.full(np.broadcast_shapes(one_db.shape, other_db.shape), np.inf)
    np.subtract(one_db, other_db, out=over_db, where=other_db > -np.inf)
    return over_db


def a_weighted_db(level_db: NDArray[np.float64]) -> NDArray[np.float64]:
    """A-weighted sum of bands, the last axis. [dB(A)]"""
    power = 10.0 ** ((level_db + a_weighting_db(mid_hz())) / 10.0)
    with np.errstate(divide="ignore"):
        return np.asarray(10.0 * np.log10(power.sum(-1)))


def evenness_db(level_db: NDArray[np.float64]) -> tuple[float, float]:
    """Difference between loud and soft seats (eight of ten lie within), and standard deviation.

    >>> evenness_db(np.array([90.0, 90.0, 90.0]))
    (0.0, 0.0)
    """
    low, high = np.percentile(level_db, EVEN_SHARE)
    return float(high - low), math.sqrt(float(np.var(level_db)))
