"""Where a loop rings, of which only mean squares and times are known.

A loop does not ring at a peak by itself: its phase has to come round there. So the places count at
which the complex loop gain crosses the real axis beyond one. How often it does so in a hertz is
Rice's formula: the density of its values on the axis, times how fast the phase turns, which is the
time that sound takes round the loop. The chance that nothing rings is ``exp(-`` that number ``)``.

A steady way (the direct sound) moves the values away from zero. Where several ways through the desk
differ, the loop is a matrix, and its eigenvalues are spread less than one way alone.

References
----------
.. [1] S. O. Rice, "Mathematical analysis of random noise", Bell Syst. Tech. J. 23 and 24 (1944-45).
.. [2] J. Ginibre, J. Math. Phys. 6 (1965), 440-449: eigenvalues of random complex matrices.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, fields
from typing import Final

import numpy as np
from numpy.typing import NDArray

from levelhead.quantity.bands import width_hz

__all__ = ["Crossing", "ring_points_db"]

MOST_STEADY: Final = 100.0  # 20 dB of direct sound over the rest: more changes nothing
TURNS: Final = 32  # phases of the steady way, half a turn
GRID_STEP_DB: Final = 0.25
GRID_DB: Final = np.arange(-12.0, 14.01, GRID_STEP_DB)  # loop gain on the axis, against its mean
HEARD_DB: Final = 20.0  # bands so far below the highest never ring first
SEARCH_DB: Final = 30.0  # on both sides of a mean loop gain of one
STEPS: Final = 32
NEVER: Final = 1e-30


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Crossing:
    """What tells how often a loop's phase comes round, (31,) each.

    Parameters
    ----------
    steady : ndarray
        Power of the one steady way against all the rest.
    steady_s, mean_s, deviation_s : ndarray
        Time round the loop: of the steady way, and mean and standard deviation of all. [s]
    loops, rank : ndarray
        Loops that go round by themselves, and ways through the desk in each.
    """

    steady: NDArray[np.float64]
    steady_s: NDArray[np.float64]
    mean_s: NDArray[np.float64]
    deviation_s: NDArray[np.float64]
    loops: NDArray[np.float64]
    rank: NDArray[np.float64]

    def of(self, bands: NDArray[np.bool_]) -> Crossing:
        """The same in some bands."""
        return Crossing(**{each.name: getattr(self, each.name)[bands] for each in fields(self)})


def ring_points_db(
    mean_db: NDArray[np.float64], crossing: Crossing, *, chances: Sequence[float]
) -> list[float]:
    """Gains at which nothing rings, each with a chance. [dB]

    Parameters
    ----------
    mean_db : ndarray, (31,)
        Mean loop gain. [dB]
    chances : sequence of float
        0.5 for the median.
    """
    heard = mean_db > mean_db.max() - HEARD_DB
    crossings = _crossings_beyond(crossing.of(heard), width_hz()[heard])
    beyond = np.log(np.maximum(crossings, NEVER))
    return [_where_db(mean_db[heard], beyond, -math.log(chance)) for chance in chances]


def _where_db(bands_db: NDArray[np.float64], beyond: NDArray[np.float64], number: float) -> float:
    """Gain at which so many crossings of all bands lie beyond one, by halving. [dB]"""
    low, high = (-float(bands_db.max()) + side * SEARCH_DB for side in (-1.0, 1.0))
    for _ in range(STEPS):
        middle = 0.5 * (low + high)
        found = float(np.exp(_at(-(middle + bands_db), beyond)).sum())
        low, high = (middle, high) if found < number else (low, middle)
    return low


def _at(gain_db: NDArray[np.float64], rows: NDArray[np.float64]) -> NDArray[np.float64]:
    """Each row over the grid at a gain of its own; at the ends as on the last point."""
    place = np.clip((gain_db - GRID_DB[0]) / GRID_STEP_DB, 0.0, len(GRID_DB) - 1.0)
    below = np.minimum(place.astype(np.int64), len(GRID_DB) - 2)
    part, band = place - below, np.arange(len(rows))
    return np.asarray((1.0 - part) * rows[band, below] + part * rows[band, below + 1])


def _crossings_beyond(crossing: Crossing, width: NDArray[np.float64]) -> NDArray[np.float64]:
    """Expected crossings of the real axis in each band beyond each gain of the grid, (n, grid)."""
    from scipy.special import gammaincc

    k = np.minimum(crossing.steady, MOST_STEADY)[:, None, None]
    direct, rest = np.sqrt(k / (1.0 + k)), 1.0 / (1.0 + k)
    gain = 10.0 ** (GRID_DB / 20.0)[None, :, None]
    ahead = direct * np.cos((np.arange(TURNS) + 0.5) * np.pi / TURNS)[None, None, :]
    away2 = np.maximum(gain**2 - 2.0 * gain * ahead + direct**2, 0.0)
    rank = crossing.rank[:, None, None]
    density = gammaincc(rank, away2 * rank / rest) * rank / (np.pi * rest)
    rate = (density * _turning(crossing, gain, ahead, rest)).mean(-1)
    rate *= (crossing.loops * width)[:, None]
    steps = np.diff(gain[0, :, 0], prepend=gain[0, 0, 0])
    return np.asarray(np.cumsum((rate * steps)[:, ::-1], axis=-1)[:, ::-1])


def _turning(
    crossing: Crossing,
    gain: NDArray[np.float64],
    ahead: NDArray[np.float64],
    rest: NDArray[np.float64],
) -> NDArray[np.float64]:
    """How fast the imaginary part changes with frequency, on average, at a value on the axis."""
    from scipy.special import erf

    steady_s, mean_s, spread_s = (
        each[:, None, None] for each in (crossing.steady_s, crossing.mean_s, crossing.deviation_s)
    )
    drift = 2.0 * np.pi * np.abs(steady_s * ahead + mean_s * (gain - ahead))
    noise = 2.0 * np.pi * np.maximum(spread_s, 1e-6) * np.sqrt(rest / 2.0)
    ratio = drift / noise
    folded = np.sqrt(2.0 / np.pi) * np.exp(-0.5 * ratio**2) + ratio * erf(ratio / np.sqrt(2.0))
    return np.asarray(noise * folded)
