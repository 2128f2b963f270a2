"""Limiters and compressors: what a level-dependent gain makes of nominal and peak.

The static curve with a hard knee is ``y = x`` up to the threshold ``T`` and ``T + (x - T) / R``
above it (levels in dB; a limiter has an infinite ratio ``R``). It acts on the short-term level, so
a passage whose level wanders loses more of its peaks than of its rms, and its crest falls. Attack
is taken to be short against the short term, and release of about its length; a slower release turns
everything down more and leaves the crest where it was.

A detector of peaks holds the level of the sine with the same peak, which of noise stands on average
2 dB under its highest peaks while it falls back; one of rms sees the short-term rms. Behind a
limiter of peaks no peak stands above its threshold.

References
----------
D. Giannoulis, M. Massberg, J. D. Reiss, Digital Dynamic Range Compressor Design, JAES 60 (2012),
399-408, eq. 3 (static curve, hard knee).
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache
from typing import Final, Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

from levelhead.chain.stages.short_term import STEADY_CREST_DB, short_term
from levelhead.quantity.peaks import SINE_CREST_DB

__all__ = ["Detector", "Limited", "Limiter", "limited", "moved_db", "reduction_db"]

Detector = Literal["peak", "rms"]

_ROUNDING_DB: Final = 1e-3  # levels and crests are looked up in steps of this
_FALLS_BACK_DB: Final = 2.0  # release of 50 ms on noise of 4 kHz: computed, see the tests
_PLACES: Final = 81  # at which the curve is computed between the ends of a spread


@dataclass(frozen=True, slots=True)
class Limiter:
    """A limiter or compressor as it is set; ``threshold`` is a rms in the unit of its point."""

    threshold: float
    ratio: float = math.inf
    detector: Detector = "peak"


@dataclass(frozen=True, slots=True)
class Limited:
    """What a limiter does to a passage.

    Attributes
    ----------
    gain_db : float
        By which the rms of the passage changes, zero or less. [dB]
    crest_db : float
        Peak-to-rms behind it. [dB]
    peak_gain_db : float
        By which its peaks change, zero or less. [dB]
    """

    gain_db: float
    crest_db: float
    peak_gain_db: float


def reduction_db(over_db: ArrayLike, ratio: float) -> NDArray[np.float64]:
    """Gain reduction for a level over the threshold, zero or more. [dB]

    >>> float(reduction_db(10.0, 4.0)), float(reduction_db(-3.0, 4.0))
    (7.5, 0.0)
    """
    return np.maximum(np.asarray(over_db, dtype=np.float64), 0.0) * (1 - 1 / ratio)


def limited(limiter: Limiter, *, nominal: float, crest_db: float) -> Limited:
    """What a limiter makes of a passage of this rms (in its unit) and peak-to-rms.

    >>> tone = limited(Limiter(1.0), nominal=2.0, crest_db=3.0103)
    >>> round(tone.gain_db, 2), round(tone.peak_gain_db, 2), round(tone.crest_db, 2)
    (-6.02, -6.02, 3.01)
    """
    over_db = 20 * math.log10(nominal / limiter.threshold) if nominal > 0 else -math.inf
    if over_db + crest_db - SINE_CREST_DB <= 0:  # not even its peaks reach the threshold
        return Limited(0.0, crest_db, 0.0)
    return _limited(
        round(over_db / _ROUNDING_DB) * _ROUNDING_DB,
        round(crest_db / _ROUNDING_DB) * _ROUNDING_DB,
        limiter.ratio,
        limiter.detector,
    )


def moved_db(
    limiter: Limiter, by_db: ArrayLike, *, nominal: float, crest_db: float, of_peaks: bool = False
) -> NDArray[np.float64]:
    """By how much what leaves a limiter moves when what enters it moves, any shape. [dB]

    >>> tone = {"nominal": 2.0, "crest_db": 3.0103}
    >>> moved_db(Limiter(1.0, 4.0), [0.0, 4.0, -40.0], **tone).round(1).tolist()
    [0.0, 1.0, -35.5]
    """
    by = np.asarray(by_db, dtype=np.float64)
    places = np.linspace(min(by.min(), -1.0), max(by.max(), 1.0), _PLACES)
    moved = nominal * 10 ** (places / 20)
    taken = [limited(limiter, nominal=float(each), crest_db=crest_db) for each in moved]
    gain_db = [each.peak_gain_db if of_peaks else each.gain_db for each in taken]
    now = limited(limiter, nominal=nominal, crest_db=crest_db)
    now_db = now.peak_gain_db if of_peaks else now.gain_db
    return np.asarray(by + np.interp(by, places, gain_db) - now_db)


@lru_cache(maxsize=4096)
def _limited(over_db: float, crest_db: float, ratio: float, detector: Detector) -> Limited:
    """The same for a level over the threshold. [dB]"""
    terms = short_term(crest_db)
    seen_above_rms_db = _held_above_rms_db(terms.crest_db) if detector == "peak" else 0.0
    turned_db = -reduction_db(over_db + terms.level_db + seen_above_rms_db, ratio)
    left = float(np.sum(terms.share * 10 ** ((terms.level_db + turned_db) / 10)))
    gain_db = 10 * math.log10(left)
    peak_over_db = over_db + crest_db - SINE_CREST_DB
    seen_db = peak_over_db
    if detector == "rms":  # the short term of the highest peaks
        seen_db = peak_over_db - (terms.crest_db - SINE_CREST_DB)
    peak_gain_db = -float(reduction_db(seen_db, ratio))
    return Limited(gain_db, crest_db + peak_gain_db - gain_db, peak_gain_db)


def _held_above_rms_db(crest_db: float) -> float:
    """Level that a detector of peaks holds, over the short-term rms: of a sine its peak. [dB]"""
    above_db = crest_db - SINE_CREST_DB
    like_noise = max(above_db, 0.0) / (STEADY_CREST_DB - SINE_CREST_DB)
    return above_db - like_noise * _FALLS_BACK_DB
