"""A loudspeaker in a room: where it stands, where it looks, and how loud it plays as it is driven.

Its level follows the volts that arrive: a limiter, a long cable or an amplifier that clips are in
them already. What heat takes is added here.

References
----------
.. [1] IEC 60268-5, sensitivity: level at 1 m on the axis for 2.83 V, in free field.
.. [2] D. J. Button, "Heat dissipation and power compression in loudspeakers", J. Audio Eng. Soc. 40
   (1992), 32-41: some 3 dB (2 to 6) at the rated power; `from memory`.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final, Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

from levelhead.acoustics.sound.directivity import Directivity
from levelhead.errors import QuantityError

__all__ = [
    "SENSITIVITY_V",
    "Loudspeaker",
    "ceiling_grid",
    "level_at_1_m_db",
    "power_compression_db",
]

SENSITIVITY_V: Final = 2.83  # [1]
COMPRESSION_AT_RATING_DB: Final = 3.0  # [2]

Overlap = Literal["edge-to-edge", "no-gaps", "centre-to-centre"]
STEP_OF_RADIUS: Final[dict[Overlap, float]] = {  # common practice of ceiling layouts
    "edge-to-edge": 2.0,
    "no-gaps": math.sqrt(2.0),
    "centre-to-centre": 1.0,
}


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Loudspeaker:
    """One loudspeaker at its place.

    Parameters
    ----------
    at_m : ndarray, (3,)
        To the right, into the hall, and up. [m]
    axis : ndarray, (3,)
        Where it looks, any length but zero.
    level_db : ndarray, (31,)
        On the axis at 1 m in free field, as it is driven. [dB SPL]
    directivity : Directivity
        Coverage, or a table.
    delay_s : float
        By how much its signal is late already: processors, converters. [s]
    signal : str
        Loudspeakers of one signal interfere; those of different ones add as power.
    inverted : bool
        It pulls where the others push.
    name : str
        What the crew calls it.

    Raises
    ------
    QuantityError
        It looks nowhere.
    """

    at_m: NDArray[np.float64]
    axis: NDArray[np.float64]
    level_db: NDArray[np.float64]
    directivity: Directivity
    delay_s: float = 0.0
    signal: str = ""
    inverted: bool = False
    name: str = ""

    def __post_init__(self) -> None:
        if not float(np.linalg.norm(self.axis)) > 0:
            raise QuantityError(
                "it is turned to the place where it stands",
                where=self.name or "loudspeaker",
                expected="a point to look at that is somewhere else",
                remedy="Aim it at the listeners.",
            )


def level_at_1_m_db(volts_v: ArrayLike, *, sensitivity_db: ArrayLike) -> NDArray[np.float64]:
    """Level at 1 m on the axis of the volts that arrive; silence is ``-inf``. [dB SPL]

    Parameters
    ----------
    volts_v : array_like
        Rms volts at its terminals, in bands or in all. [V]
    sensitivity_db : array_like
        Level at 1 m for 2.83 V, broadcast against the volts. [dB SPL]

    Examples
    --------
    >>> round(float(level_at_1_m_db(28.3, sensitivity_db=96.0)), 1)
    116.0
    """
    with np.errstate(divide="ignore"):  # no volts, no sound
        gain_db = 20.0 * np.log10(np.asarray(volts_v, dtype=np.float64) / SENSITIVITY_V)
    return np.asarray(np.asarray(sensitivity_db, dtype=np.float64) + gain_db)


def power_compression_db(
    volts_v: ArrayLike,
    *,
    rated_v: ArrayLike,
    at_rating_db: float = COMPRESSION_AT_RATING_DB,
) -> NDArray[np.float64]:
    """What a hot voice coil takes off the level after minutes. [dB]

    Its resistance rises with the power that it turns into heat, and that power falls with its
    resistance: ``rho = 1 + k x / rho`` for ``x`` of the rated power, with ``k`` so that the rated
    volts lose ``at_rating_db`` [2].

    Parameters
    ----------
    volts_v, rated_v : array_like
        Long-term rms volts, as driven and as rated, all bands together. [V]

    Examples
    --------
    >>> [round(float(power_compression_db(v, rated_v=40.0)), 1) for v in (4.0, 20.0, 40.0)]
    [0.1, 1.1, 3.0]
    """
    hot = 10.0 ** (at_rating_db / 20.0)
    heat = hot * (hot - 1.0) * np.square(np.asarray(volts_v) / np.asarray(rated_v))
    return np.asarray(20.0 * np.log10((1.0 + np.sqrt(1.0 + 4.0 * heat)) / 2.0))


def ceiling_grid(
    *,
    size_m: tuple[float, float],
    height_m: float,
    ear_m: float,
    coverage_deg: float,
    overlap: Overlap = "no-gaps",
) -> NDArray[np.float64]:
    """Places of ceiling loudspeakers over a rectangle whose corner is the origin, (n, 3). [m]

    Each covers a circle of ``(height - ear) tan(coverage / 2)`` at the ears; they stand two radii
    apart, closer so that no gap is left, or one radius. They look straight down.

    Raises
    ------
    QuantityError
        The ceiling is not above the ears, or a coverage of 180 degrees has no edge.

    Examples
    --------
    >>> ceiling_grid(size_m=(8, 6), height_m=3.2, ear_m=1.2, coverage_deg=90).shape
    (9, 3)
    """
    radius_m = (height_m - ear_m) * math.tan(math.radians(coverage_deg) / 2.0)
    if not (radius_m > 0 and coverage_deg < 180):  # noqa: PLR2004 - half a sphere
        raise QuantityError(
            f"ceiling at {height_m:g} m, ears at {ear_m:g} m, coverage {coverage_deg:g} degrees",
            where="ceiling loudspeakers",
            expected="a ceiling above the ears and a coverage below 180 degrees",
            remedy="Give the height of the ceiling and of the ears above the same floor.",
        )
    step_m = STEP_OF_RADIUS[overlap] * radius_m
    right, into = (_middles(length_m, step_m) for length_m in size_m)
    grid = np.stack(np.meshgrid(right, into, indexing="ij"), axis=-1).reshape(-1, 2)
    return np.column_stack((grid, np.full(len(grid), height_m)))


def _middles(length_m: float, step_m: float) -> NDArray[np.float64]:
    """Middles of equal parts of a length that are no longer than a step."""
    count = max(1, math.ceil(length_m / step_m - 1e-9))
    return (np.arange(count) + 0.5) * length_m / count
