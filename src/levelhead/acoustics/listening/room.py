"""What a room gives back: reverberation time, critical distance, level of the reverberation.

The reverberation falls with distance, as halls show it (revised theory [1]); a constant diffuse
field [2] is the cross-check. Below the Schroeder frequency [3] single modes decide, so that no
level at a place can be told; the spread says how far off it may be.

References
----------
.. [1] M. Barron and L.-J. Lee, "Energy relations in concert auditoriums. I", J. Acoust. Soc. Am.
   84 (1988), 618-628: late sound starts when the direct sound arrives, ``exp(-13.8 r / (c T))``.
.. [2] F. H. Hopkins and N. F. Stryker, Proc. IRE 36 (1948), 315-335.
.. [3] M. R. Schroeder and K. H. Kuttruff, J. Acoust. Soc. Am. 34 (1962), 76-80:
   ``2000 sqrt(T / V)``.
.. [4] D. Lubman, "Fluctuations of sound with position in a reverberant room", J. Acoust. Soc. Am.
   44 (1968), 1491-1502: standard deviation of the level of a band, `from memory`.
.. [5] H. Kuttruff, "Room Acoustics": formulas of Sabine and Eyring.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

from levelhead.acoustics.sound.air import DB_PER_NEPER_OF_POWER, USUAL_AIR, Air, absorption_db_per_m
from levelhead.errors import QuantityError
from levelhead.quantity.bands import BANDS, mid_hz, octave_mid_hz, width_hz

__all__ = [
    "Room",
    "Surface",
    "absorption_area_m2",
    "critical_distance_m",
    "eyring_s",
    "of_octaves",
    "room_constant_m2",
    "room_of_surfaces",
    "sabine_s",
]

DECAY_NEPERS: Final = 6 * math.log(10)  # 60 dB of power: 13.8155
SPREAD_OF_A_TONE_DB: Final = 5.57  # level of a tone from place to place in a diffuse field [4]
SHARE_OF_BT: Final = 0.238  # [4]: degrees of freedom of a band of width B are 1 + 0.238 B T
BLACK: Final = 0.9999  # absorption beyond which Eyring has no reverberation left


def of_octaves(values: ArrayLike, *, first_octave: int = 0) -> NDArray[np.float64]:
    """Values at octaves, straight over the logarithm of frequency; level beyond both ends.

    Parameters
    ----------
    values : array_like, (n,)
        One for each octave, beginning with ``first_octave`` counted from 31.5 Hz; or one for all.

    Returns
    -------
    ndarray, (31,)
        The same quantity in third octaves.
    """
    given = np.atleast_1d(np.asarray(values, dtype=np.float64))
    if given.size == 1:
        return np.full(BANDS, given[0])
    at_hz = octave_mid_hz()[first_octave : first_octave + given.size]
    return np.asarray(np.interp(np.log(mid_hz()), np.log(at_hz), given))


def sabine_s(
    volume_m3: ArrayLike, absorption_m2: ArrayLike, *, air: Air = USUAL_AIR
) -> NDArray[np.float64]:
    """Reverberation time of Sabine: ``24 ln 10 / c * V / A``, 0.161 V / A at 20 degrees C. [s]

    >>> round(float(sabine_s(3000.0, 300.0)), 2)
    1.61
    """
    time_s = 4 * DECAY_NEPERS / air.speed_m_per_s * np.asarray(volume_m3, dtype=np.float64)
    with np.errstate(divide="ignore"):  # nothing absorbs: it never dies
        return np.asarray(time_s / np.asarray(absorption_m2, dtype=np.float64))


def eyring_s(
    volume_m3: float, surface_m2: float, coefficient: ArrayLike, *, air: Air = USUAL_AIR
) -> NDArray[np.float64]:
    """Reverberation time of Eyring: Sabine's with ``-S ln (1 - a)`` for the absorption. [s]

    ``coefficient`` is the mean absorption coefficient of the surfaces, 0 to 1, any shape.

    >>> round(float(eyring_s(3000.0, 1500.0, 0.2)), 2)
    1.44
    """
    mean = np.minimum(np.asarray(coefficient, dtype=np.float64), BLACK)
    return sabine_s(volume_m3, -surface_m2 * np.log1p(-mean), air=air)


def absorption_area_m2(
    volume_m3: ArrayLike, reverberation_s: ArrayLike, *, air: Air = USUAL_AIR
) -> NDArray[np.float64]:
    """Absorption that makes a reverberation time (Sabine, turned round): ``55.3 V / (c T)``. [m2]

    >>> round(float(absorption_area_m2(480.0, 3.0)), 2)
    25.76
    """
    return sabine_s(volume_m3, reverberation_s, air=air)


def critical_distance_m(q: ArrayLike, absorption_m2: ArrayLike) -> NDArray[np.float64]:
    """Where the reverberation is as loud as the direct sound: ``sqrt(Q A / 16 pi)``. [m]

    Parameters
    ----------
    q : array_like
        Directivity factor towards the listener; 1 for a source that plays all around.
    absorption_m2 : array_like
        Absorption area, or the room constant. [m2]

    >>> round(float(critical_distance_m(10.0, absorption_area_m2(3000.0, 1.5))), 1)
    8.0
    """
    return np.asarray(np.sqrt(np.asarray(q) * np.asarray(absorption_m2) / (16.0 * math.pi)))


def room_constant_m2(surface_m2: float, coefficient: ArrayLike) -> NDArray[np.float64]:
    """Room constant ``S a / (1 - a)`` of the constant diffuse field [2]. [m2]"""
    mean = np.minimum(np.asarray(coefficient, dtype=np.float64), BLACK)
    return np.asarray(surface_m2 * mean / (1.0 - mean))


@dataclass(frozen=True, slots=True, kw_only=True)
class Surface:
    """A part of the walls: its area and how much of the sound it swallows, (31,), 0 to 1."""

    area_m2: float
    absorption: NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class Room:
    """A room by its volume, its surface, and its reverberation time in the 31 bands.

    The time is what somebody measured, or what :func:`room_of_surfaces` makes of walls.

    Raises
    ------
    QuantityError
        A volume, surface or time is not above zero.
    """

    volume_m3: float
    surface_m2: float
    reverberation_s: NDArray[np.float64]
    air: Air = field(default=USUAL_AIR)

    def __post_init__(self) -> None:
        smallest = min(self.volume_m3, self.surface_m2, float(np.min(self.reverberation_s)))
        if not smallest > 0:
            raise QuantityError(
                f"volume {self.volume_m3:g} m3, surface {self.surface_m2:g} m2, shortest"
                f" reverberation time {np.min(self.reverberation_s):g} s",
                where="room",
                expected="each of them above zero",
                remedy="Give the size of the room, or say that it is outdoors.",
            )
        if not np.all(np.isfinite(self.reverberation_s)):
            raise QuantityError(
                "nothing in the room swallows sound, so it would never die away",
                where="absorption of the room",
                expected="absorption above zero in every band",
                remedy="Bare concrete has 0.01 to 0.02; people, curtains and seats have more.",
            )

    @property
    def absorption_m2(self) -> NDArray[np.float64]:
        """Absorption area that its reverberation time tells, (31,). [m2]"""
        return absorption_area_m2(self.volume_m3, self.reverberation_s, air=self.air)

    @property
    def coefficient(self) -> NDArray[np.float64]:
        """Mean absorption coefficient by Eyring's formula, of walls and air together, (31,)."""
        return np.asarray(-np.expm1(-self.absorption_m2 / self.surface_m2))

    @property
    def schroeder_hz(self) -> float:
        """Below this frequency single modes decide [3]; of the time around 500 Hz. [Hz]"""
        middle_s = float(np.mean(self.reverberation_s[13:18]))  # 400 Hz to 1 kHz
        return 2000.0 * math.sqrt(middle_s / self.volume_m3)

    @property
    def spread_db(self) -> NDArray[np.float64]:
        """Standard deviation of the reverberant level of a band from place to place, (31,). [dB]

        A band has ``1 + 0.238 B T`` degrees of freedom [4], but no more than one for each mode.
        """
        freedom = 1.0 + SHARE_OF_BT * width_hz() * self.reverberation_s
        modes = 1.0 + self.modes_in_bands
        return np.asarray(SPREAD_OF_A_TONE_DB / np.sqrt(np.minimum(freedom, modes)))

    @property
    def modes_in_bands(self) -> NDArray[np.float64]:
        """How many modes lie in each band: ``4 pi V f^2 B / c^3`` [5], (31,)."""
        speed = self.air.speed_m_per_s
        return np.asarray(4 * math.pi * self.volume_m3 * mid_hz() ** 2 * width_hz() / speed**3)

    def reverberant(
        self, distance_m: ArrayLike, q: ArrayLike, *, constant: bool = False
    ) -> NDArray[np.float64]:
        """Power of the reverberation against the direct sound on the axis at 1 m.

        Parameters
        ----------
        distance_m : array_like, any shape
            From the loudspeaker to the place. [m]
        q : array_like, (31,)
            Directivity factor of the loudspeaker in the bands.
        constant : bool
            The same level everywhere, with the room constant [2], in place of one that falls [1].

        Returns
        -------
        ndarray, (..., 31)
            ``16 pi / (Q A) exp(-13.8 r / (c T))``; its 10 lg is a level. [ratio]
        """
        if constant:
            area_m2 = room_constant_m2(self.surface_m2, self.coefficient)
            shape = (*np.shape(distance_m), BANDS)
            return np.broadcast_to(16.0 * math.pi / (np.asarray(q) * area_m2), shape)
        fall = np.multiply.outer(
            np.asarray(distance_m, dtype=np.float64),
            DECAY_NEPERS / (self.air.speed_m_per_s * self.reverberation_s),
        )
        return np.asarray(16.0 * math.pi / (np.asarray(q) * self.absorption_m2) * np.exp(-fall))


def room_of_surfaces(
    volume_m3: float, surfaces: Sequence[Surface], *, air: Air = USUAL_AIR, sabine: bool = False
) -> Room:
    """A room by what its walls swallow: Eyring's formula, or Sabine's; the air swallows too.

    Raises
    ------
    QuantityError
        There is no surface, or in some band none of them swallows anything.
    """
    area_m2 = float(sum(each.area_m2 for each in surfaces))
    swallowed_m2 = np.sum([each.area_m2 * each.absorption for each in surfaces], axis=0)
    if not surfaces or np.any(swallowed_m2 <= 0):
        raise QuantityError(
            "nothing in the room swallows sound, so it would never die away",
            where="absorption of the room",
            expected="surfaces with absorption above zero in every band",
            remedy="Bare concrete has 0.01 to 0.02; people, curtains and seats have more.",
        )
    mean = np.minimum(swallowed_m2 / area_m2, BLACK)
    walls_m2 = swallowed_m2 if sabine else -area_m2 * np.log1p(-mean)
    time_s = sabine_s(volume_m3, walls_m2 + _air_area_m2(volume_m3, air), air=air)
    return Room(volume_m3=volume_m3, surface_m2=area_m2, reverberation_s=time_s, air=air)


def _air_area_m2(volume_m3: float, air: Air) -> NDArray[np.float64]:
    """What the air in a room swallows, as an area: ``4 m V`` [5], (31,). [m2]"""
    return 4.0 * volume_m3 * absorption_db_per_m(mid_hz(), air) / DB_PER_NEPER_OF_POWER
