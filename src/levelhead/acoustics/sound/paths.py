"""The ways of sound from loudspeakers to places: straight, and once off the floor or a wall.

For each way: how long it takes, and what is left of the power at 1 m on the axis after spreading,
directivity, the air and the surface. A mirror image plays the reflection.
"""

from __future__ import annotations

from collections.abc import Hashable, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from levelhead.acoustics.sound.air import DB_PER_NEPER_OF_POWER, Air, absorption_db_per_m
from levelhead.acoustics.sound.directivity import seen_from
from levelhead.acoustics.sound.loudspeaker import Loudspeaker
from levelhead.quantity.bands import BANDS, mid_hz
from levelhead.quantity.decibels import P_REFERENCE_PA

__all__ = ["INSIDE_M", "Paths", "Plane", "paths_to"]

PA2_AT_0_DB: Final = P_REFERENCE_PA**2  # mean-square pressure of 0 dB SPL
INSIDE_M: Final = 0.25  # nearer than this a place is inside the box; levels stay as they are there


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Plane:
    """A floor or a wall: a point of it, its normal into the room, what it swallows, (31,)."""

    point_m: NDArray[np.float64]
    normal: NDArray[np.float64]
    absorption: NDArray[np.float64]

    def height_m(self, places_m: NDArray[np.float64]) -> NDArray[np.float64]:
        """How far places are before it. [m]"""
        return np.asarray((places_m - self.point_m) @ (self.normal / np.linalg.norm(self.normal)))

    def mirrored(self, places_m: NDArray[np.float64]) -> NDArray[np.float64]:
        """Where places seem to be behind it. [m]"""
        normal = self.normal / np.linalg.norm(self.normal)
        return np.asarray(places_m - 2.0 * np.multiply.outer(self.height_m(places_m), normal))


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Paths:
    """Ways from loudspeakers to places; the first of each loudspeaker is the straight one.

    Parameters
    ----------
    distance_m, time_s : ndarray, (loudspeakers, ways, places)
        Length, and time with the delay of the loudspeaker's signal. [m, s]
    power : ndarray, (loudspeakers, ways, places, 31)
        Against 1 Pa squared: mean-square pressure of each. [Pa^2]
    towards : ndarray, (loudspeakers, ways, places, 3)
        Unit vectors from where it seems to come from, to the place.
    """

    distance_m: NDArray[np.float64]
    time_s: NDArray[np.float64]
    power: NDArray[np.float64]
    towards: NDArray[np.float64]


def paths_to(
    places_m: NDArray[np.float64],
    loudspeakers: Sequence[Loudspeaker],
    *,
    air: Air,
    planes: Sequence[Plane] = (),
) -> Paths:
    """Ways from each loudspeaker to each place, (places, 3). [m]

    A plane reflects only where both are before it; it is as wide as the world.
    """
    shape = (len(loudspeakers), 1 + len(planes), len(places_m))
    paths = Paths(
        distance_m=np.empty(shape),
        time_s=np.empty(shape),
        power=np.empty((*shape, BANDS)),
        towards=np.empty((*shape, 3)),
    )
    swallowed = absorption_db_per_m(mid_hz(), air) / DB_PER_NEPER_OF_POWER
    first: dict[Hashable, int] = {}
    for number, each in enumerate(loudspeakers):
        known = first.setdefault(_stand(each), number)
        if known == number:
            _fill(paths, (number, 0), each, places_m, swallowed)
            for way, plane in enumerate(planes, start=1):
                _fill(paths, (number, way), each, plane.mirrored(places_m), swallowed)
                _reflect(paths, (number, way), each, places_m, plane)
        else:
            _play(paths, number, known, each.level_db - loudspeakers[known].level_db)
        paths.time_s[number] = each.delay_s + paths.distance_m[number] / air.speed_m_per_s
    return paths


def _stand(loudspeaker: Loudspeaker) -> Hashable:
    """Equal for loudspeakers of one box: several signals go the same ways from there."""
    at, axis = loudspeaker.at_m.tobytes(), loudspeaker.axis.tobytes()
    return at, axis, id(loudspeaker.directivity)


def _play(paths: Paths, number: int, known: int, louder_db: NDArray[np.float64]) -> None:
    """Another signal of a box whose ways are known."""
    paths.distance_m[number] = paths.distance_m[known]
    paths.towards[number] = paths.towards[known]
    np.multiply(paths.power[known], 10.0 ** (louder_db / 10.0), out=paths.power[number])


def _fill(
    paths: Paths,
    where: tuple[int, int],
    loudspeaker: Loudspeaker,
    places_m: NDArray[np.float64],
    swallowed: NDArray[np.float64],
) -> None:
    """Write one straight way: spreading and air in one exponential, then directivity."""
    vectors = places_m - loudspeaker.at_m
    distance_m, direction = seen_from(vectors, loudspeaker.axis)
    held_m = np.maximum(distance_m, INSIDE_M)
    power = np.multiply.outer(held_m, -swallowed)
    power += loudspeaker.level_db / DB_PER_NEPER_OF_POWER + np.log(PA2_AT_0_DB)
    np.exp(power, out=power)
    power *= loudspeaker.directivity.gain(direction)
    power /= np.square(held_m)[:, None]
    paths.power[where] = power
    paths.distance_m[where] = held_m
    paths.towards[where] = vectors / held_m[:, None]


def _reflect(
    paths: Paths,
    where: tuple[int, int],
    loudspeaker: Loudspeaker,
    places_m: NDArray[np.float64],
    plane: Plane,
) -> None:
    """Take off what a plane swallows, and all of it where one of both is behind the plane."""
    before = (plane.height_m(places_m) > 0) & (plane.height_m(loudspeaker.at_m) > 0)
    paths.power[where] *= (1.0 - plane.absorption) * before[:, None]
    normal = plane.normal / np.linalg.norm(plane.normal)
    towards = paths.towards[where]
    paths.towards[where] = towards - 2.0 * np.multiply.outer(towards @ normal, normal)
