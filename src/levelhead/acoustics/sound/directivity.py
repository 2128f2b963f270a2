"""Where a loudspeaker plays to, and where a microphone listens.

A loudspeaker is told by its nominal coverage: the full angle, across and up, at which it is 6 dB
down. Between the axis and the back the pressure follows ``((1 + cos) / 2) ** k``: smooth, 6 dB
down at the edge of the coverage, the same all around for 360 degrees, a heart for 180. Its
directivity factor is exact: ``2 k + 1``, and ``sqrt(Q Q)`` of two planes. What spills to sides and
back is added.

References
----------
.. [1] D. B. Keele, "What's so sacred about exponential horns?", AES preprint 1038, 1975: width is
   25 kHz m deg over angle and frequency, below which coverage is lost; `from memory`.
.. [2] H. F. Olson, "Directional microphones" (1972), in Eargle, "The Microphone Book", Table 6-1.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final, Protocol

import numpy as np
from numpy.typing import ArrayLike, NDArray

from levelhead.acoustics.sound.air import USUAL_AIR, Air
from levelhead.errors import QuantityError
from levelhead.quantity.bands import BANDS, mid_hz

__all__ = [
    "PATTERNS",
    "Coverage",
    "Directivity",
    "Pattern",
    "all_around",
    "column_coverage",
    "coverage_of_size",
    "proximity_rise_db",
    "seen_from",
]

ALL_AROUND_DEG: Final = 360.0
EDGE: Final = 0.5  # pressure at the edge of the coverage: 6 dB down, common practice
SPILL: Final = 0.01  # power that leaves in all directions, 20 dB down `from memory`
KEELE_HZ_M_DEG: Final = 25_306.0  # [1]: 10**6 Hz inch deg
LINE_EDGE: Final = 0.6034  # sin(pi x) / (pi x) is one half: a line of that many wave lengths
NEAREST: Final = 1e-12


class Directivity(Protocol):
    """Power in a direction against the axis, and what it makes of the whole sphere."""

    @property
    def q(self) -> NDArray[np.float64]:
        """Directivity factor, (31,): power on the axis against the mean of all directions."""
        ...

    def gain(self, direction: NDArray[np.float64]) -> NDArray[np.float64]:
        """Power against the axis, (..., 31), for unit vectors (..., 3): ahead, right, up."""
        ...


def seen_from(
    vectors: NDArray[np.float64], axis: NDArray[np.float64]
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Distances and directions of vectors, for who looks along an axis with the head upright.

    Parameters
    ----------
    vectors : ndarray, (..., 3)
        From the loudspeaker to places: right, into the hall, up. [m]
    axis : ndarray, (3,)
        Where it looks; any length but zero. One that looks straight up or down has its width
        across the hall.

    Returns
    -------
    ndarray, (...)
        Distances. [m]
    ndarray, (..., 3)
        Unit vectors: ahead, right, up.
    """
    ahead = axis / np.linalg.norm(axis)
    right = np.array([ahead[1], -ahead[0], 0.0])
    length = float(np.linalg.norm(right))
    right = right / length if length > NEAREST else np.array([1.0, 0.0, 0.0])
    frame = np.stack((ahead, right, np.cross(right, ahead)), axis=-1)
    distance_m = np.sqrt(np.einsum("...i,...i->...", vectors, vectors))
    return distance_m, (vectors @ frame) / np.maximum(distance_m, NEAREST)[..., None]


def _exponent(angle_deg: ArrayLike) -> NDArray[np.float64]:
    """How steeply the pressure falls, so that it is half at half of the full angle."""
    half = np.radians(np.asarray(angle_deg, dtype=np.float64)) / 2.0
    with np.errstate(divide="ignore"):  # 360 degrees: it never falls, and k is zero
        return np.asarray(np.log(EDGE) / np.log((1.0 + np.cos(half)) / 2.0))


@dataclass(frozen=True, slots=True, kw_only=True)
class Coverage:
    """Nominal coverage of a loudspeaker in the 31 bands: full angles at 6 dB down. [degrees]

    ``spill`` is the power that leaves in all directions alike, against the axis.

    Raises
    ------
    QuantityError
        An angle is not between 1 and 360 degrees.
    """

    across_deg: NDArray[np.float64]
    up_deg: NDArray[np.float64]
    spill: float = SPILL

    def __post_init__(self) -> None:
        angles = np.concatenate((self.across_deg, self.up_deg))
        if not np.all((angles >= 1.0) & (angles <= ALL_AROUND_DEG)):
            raise QuantityError(
                f"coverage of {angles.min():g} to {angles.max():g} degrees",
                where="coverage of a loudspeaker",
                expected="full angles from 1 to 360 degrees",
                remedy="Give the angle from edge to edge at which it is 6 dB down.",
            )

    @property
    def q(self) -> NDArray[np.float64]:
        """Directivity factor, (31,): the integral over the sphere has a closed form."""
        across, up = _exponent(self.across_deg), _exponent(self.up_deg)
        beam = 1.0 / np.sqrt((2.0 * across + 1.0) * (2.0 * up + 1.0))
        return np.asarray(1.0 / ((1.0 - self.spill) * beam + self.spill))

    def gain(self, direction: NDArray[np.float64]) -> NDArray[np.float64]:
        """Power against the axis, (..., 31), for unit vectors (..., 3): ahead, right, up."""
        across2, up2 = direction[..., 1] ** 2, direction[..., 2] ** 2
        sideways = np.maximum(across2 + up2, NEAREST)
        fall = 2.0 * np.log(np.maximum((1.0 + direction[..., 0]) / 2.0, NEAREST))
        parts = np.stack((fall * across2 / sideways, fall * up2 / sideways), axis=-1)
        beam = np.exp(parts @ np.stack((_exponent(self.across_deg), _exponent(self.up_deg))))
        return np.asarray((1.0 - self.spill) * beam + self.spill)


def all_around() -> Coverage:
    """Coverage of what is small against the wave: a subwoofer, a source without a direction."""
    wide = np.full(BANDS, ALL_AROUND_DEG)
    return Coverage(across_deg=wide, up_deg=wide)


def coverage_of_size(
    *, across_deg: float, up_deg: float, width_m: float, height_m: float
) -> Coverage:
    """Coverage of a box with a nominal angle, which it loses where it is small against the wave.

    Below ``25306 / (angle * size)`` hertz [1] the angle grows as the wave does, up to 360 degrees.

    >>> box = coverage_of_size(across_deg=90, up_deg=60, width_m=0.35, height_m=0.6)
    >>> [round(float(angle)) for angle in box.across_deg[[8, 14, 20, 26]]]
    [360, 144, 90, 90]
    """
    return Coverage(
        across_deg=_widened_deg(across_deg, width_m), up_deg=_widened_deg(up_deg, height_m)
    )


def _widened_deg(angle_deg: float, size_m: float) -> NDArray[np.float64]:
    """A nominal angle in the bands, wider where the wave is long against the size."""
    wide_deg = KEELE_HZ_M_DEG / (mid_hz() * size_m)
    return np.clip(np.maximum(angle_deg, wide_deg), None, ALL_AROUND_DEG)


def column_coverage(
    length_m: float, *, across_deg: float, up_deg: float = 10.0, air: Air = USUAL_AIR
) -> Coverage:
    """Coverage of a column in which all drivers play alike: it narrows as the wave gets short.

    A line is 6 dB down where ``sin(x) / x`` is one half: ``2 asin(0.603 wave / length)``. It stays
    at ``up_deg`` or more, where drivers are apart by a wave (a real column is bent or shaded).
    """
    waves = air.speed_m_per_s / (mid_hz() * length_m)
    line_deg = 2.0 * np.degrees(np.arcsin(np.minimum(LINE_EDGE * waves, 1.0)))
    open_deg = np.where(waves * LINE_EDGE >= 1.0, ALL_AROUND_DEG, line_deg)
    return Coverage(across_deg=np.full(BANDS, across_deg), up_deg=np.maximum(open_deg, up_deg))


@dataclass(frozen=True, slots=True, kw_only=True)
class Pattern:
    """How a microphone hears: ``omni + (1 - omni) cos``, the family of first-order patterns [2].

    ``behind`` is the power that it hears from its deafest direction, against the axis: a real one
    is no better than some 20 dB there.
    """

    omni: float
    behind: float = SPILL

    @property
    def q(self) -> NDArray[np.float64]:
        """Directivity factor, (31,): 1 over the share of a diffuse field that it hears [2]."""
        heard = self.omni**2 + (1.0 - self.omni) ** 2 / 3.0
        return np.full(BANDS, 1.0 / ((1.0 - self.behind) * heard + self.behind))

    @property
    def distance_factor(self) -> float:
        """How much farther away it may stand than one that hears all around [2]."""
        return float(np.sqrt(self.q[0]))

    def gain(self, direction: NDArray[np.float64]) -> NDArray[np.float64]:
        """Power against the axis, (..., 31), for unit vectors (..., 3): ahead, right, up."""
        heard = (self.omni + (1.0 - self.omni) * direction[..., 0]) ** 2
        return np.repeat(((1.0 - self.behind) * heard + self.behind)[..., None], BANDS, axis=-1)


PATTERNS: Final[Mapping[str, Pattern]] = MappingProxyType(
    {
        "omni": Pattern(omni=1.0),
        "cardioid": Pattern(omni=0.5),
        "supercardioid": Pattern(omni=(3**0.5 - 1.0) / 2.0),  # the most of what comes from ahead
        "hypercardioid": Pattern(omni=0.25),
        "figure-8": Pattern(omni=0.0),
    }
)
"""The patterns of the trade by name [2]."""


def proximity_rise_db(
    pattern: Pattern, distance_m: ArrayLike, frequency_hz: ArrayLike, *, air: Air = USUAL_AIR
) -> NDArray[np.float64]:
    """How much more a near source is, on axis, than a far one of the same pressure. [dB]

    The pressure part hears it as it is, the gradient part with ``1 + 1 / (j k r)``: so 10 lg
    ``(1 + 1/(kr)^2)`` for a figure of eight, half and half for a cardioid (Eargle).

    >>> round(float(proximity_rise_db(PATTERNS["figure-8"], 0.05, 100.0)), 1)
    20.8
    """
    kr = 2.0 * np.pi * np.asarray(frequency_hz) / air.speed_m_per_s * np.asarray(distance_m)
    heard = pattern.omni + (1.0 - pattern.omni) * (1.0 + 1.0 / (1j * kr))
    return np.asarray(20.0 * np.log10(np.abs(heard)))
