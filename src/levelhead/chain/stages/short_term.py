"""How the short-term level of programme spreads, read off its crest.

A loud passage is taken as noise whose short-term level (over some 10 to 50 ms) wanders: normally
distributed in decibels, with a spread that makes its peaks, exceeded 0.1 % of the time, stand as
far above the rms as its crest says. Noise of a steady level has a crest of 10.3 dB by that
definition; what has less (a sine, a squashed recording) keeps a steady level and its own crest.

References
----------
Peak exceeded 0.1 % of the time: the definition of peak that levelhead uses throughout. Scale
mixtures of the normal distribution: D. F. Andrews, C. L. Mallows, J. R. Stat. Soc. B 36 (1974),
99-102.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache
from typing import Final

import numpy as np
from numpy.typing import NDArray

__all__ = ["STEADY_CREST_DB", "ShortTerm", "short_term"]

Real = NDArray[np.float64]

_EXCEEDED: Final = 1e-3
STEADY_CREST_DB: Final = 20 * math.log10(3.290527)  # two-sided 0.1 % of the normal distribution
_WIDEST_DB: Final = 12.0  # a crest of 20.9 dB; wider ones lift the rms faster than the peaks
_REACH: Final = 5.0  # standard deviations to each side that are looked at
_PLACES: Final = 201
_MOST_STEPS: Final = 40
_CLOSED_DB: Final = 1e-11


@dataclass(frozen=True, slots=True, eq=False)
class ShortTerm:
    """Short-term levels against the rms of the passage.

    Attributes
    ----------
    level_db : float, (places,)
        [dB]
    share : float, (places,)
        Of the time; in sum 1.
    crest_db : float
        Of the signal within a short term. [dB]
    spread_db : float
        Standard deviation of the short-term level. [dB]
    """

    level_db: Real
    share: Real
    crest_db: float
    spread_db: float


@lru_cache(maxsize=1024)
def short_term(crest_db: float) -> ShortTerm:
    """Short-term levels of programme of this peak-to-rms. [dB]

    >>> short_term(3.0103).spread_db, round(short_term(16.0).spread_db, 1)
    (0.0, 5.2)
    """
    spread_db = _spread_of(crest_db)
    level_db, share = _levels(spread_db)
    return ShortTerm(level_db, share, min(crest_db, STEADY_CREST_DB), spread_db)


def _levels(spread_db: float) -> tuple[Real, Real]:
    """Levels with their shares of the time; their mean power is 1."""
    if spread_db == 0:
        return np.zeros(1), np.ones(1)
    place = np.linspace(-_REACH, _REACH, _PLACES)
    share = np.exp(-(place**2) / 2)
    share /= share.sum()
    level_db = spread_db * place
    return level_db - 10 * np.log10(np.sum(share * 10 ** (level_db / 10))), share


def _spread_of(crest_db: float) -> float:
    spreads_db, crests_db = _crests_by_spread()
    return float(np.interp(crest_db, crests_db, spreads_db))


@lru_cache(maxsize=1)
def _crests_by_spread() -> tuple[Real, Real]:
    """Spreads, and the crest that each makes. [dB]"""
    spreads_db = np.linspace(0.0, _WIDEST_DB, 25)
    return spreads_db, np.array([_crest_of(float(each)) for each in spreads_db])


def _crest_of(spread_db: float) -> float:
    """Level over rms that is exceeded 0.1 % of the time, by Newton's method on its logarithm. [dB]

    The logarithm of the time above a level bends down: from the second step on the root is come to
    from above, and a handful of steps closes to rounding.
    """
    level_db, share = _levels(spread_db)
    root_2_rms = math.sqrt(2) * 10 ** (level_db / 20)
    crest_db = STEADY_CREST_DB
    for _ in range(_MOST_STEPS):
        ratio = 10 ** (crest_db / 20) / root_2_rms
        above = float(np.dot(share, [math.erfc(each) for each in ratio]))
        density = float(np.dot(share, ratio * np.exp(-(ratio**2)))) * 2 / math.sqrt(math.pi)
        step_db = math.log(above / _EXCEEDED) * above / density * 20 / math.log(10)
        crest_db += step_db
        if abs(step_db) < _CLOSED_DB:
            break
    return crest_db
