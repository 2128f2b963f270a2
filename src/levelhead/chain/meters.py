"""What a meter reads of a passage: by its detector, sustained or percussive.

A meter is calibrated with a steady sine, on which all of them agree. On programme they differ.

- **VU** (IEC 60268-17): the mean of the rectified signal over 300 ms. Against the rms of a sine it
  reads noise 1.05 dB low (the form factors are 1.111 and 1.253), and the more its level wanders,
  the lower.
- **PPM** (IEC 60268-10, type II): a quasi-peak; a burst of 10 ms reads 2 dB low, 5 ms 4 dB, 1.5 ms
  9 dB, 0.5 ms 17 dB. Of sustained programme true peaks stand up to 3 dB above its reading (ITU-R
  BS.645-2). The peaks of percussion last about as long as a burst of 5 ms (common practice).
- **Peak**: the highest sample or lamp; of programme it shows the peak. **True peak** the same,
  between samples too (ITU-R BS.1770-4, Annex 2).
"""

from __future__ import annotations

import math
from typing import Final, Literal

import numpy as np

from levelhead.chain.levels import REFERENCE_OF_UNIT, PointLevels
from levelhead.chain.stages.short_term import STEADY_CREST_DB, short_term
from levelhead.gear.plan import MeterPlan
from levelhead.quantity.peaks import SINE_CREST_DB

__all__ = [
    "MeterKind",
    "burst_shortfall_db",
    "meter_reading_db",
    "peak_shortfall_db",
    "reading_level_db",
    "vu_shortfall_db",
]

MeterKind = Literal["vu", "ppm", "peak", "true-peak"]

_SINE_FORM_DB: Final = 20 * math.log10(math.pi / (2 * math.sqrt(2)))  # rms over rectified mean
_NOISE_FORM_DB: Final = 20 * math.log10(math.sqrt(math.pi / 2))
_BURST_S: Final = (0.5e-3, 1.5e-3, 5e-3, 10e-3, 100e-3)  # IEC 60268-10, type II
_BURST_DB: Final = (17.0, 9.0, 4.0, 2.0, 0.0)
_SUSTAINED_DB: Final = 3.0  # ITU-R BS.645-2: true peaks over the permitted maximum of a PPM
_SUSTAINED_CREST_DB: Final = 12.0  # speech and music without drums, common practice
_PERCUSSIVE_CREST_DB: Final = 20.0  # a drum, common practice
_PERCUSSIVE_S: Final = 5e-3


def burst_shortfall_db(duration_s: float) -> float:
    """How far a PPM of type II stays below a single burst of tone, zero or more. [dB]

    Between the printed durations along the logarithm of time (IEC 60268-10).

    >>> burst_shortfall_db(5e-3), burst_shortfall_db(1.0)
    (4.0, 0.0)
    """
    return float(np.interp(math.log(duration_s), np.log(_BURST_S), _BURST_DB))


def peak_shortfall_db(crest_db: float) -> float:
    """How far a PPM stays below the peaks of programme of this peak-to-rms. [dB]

    A sine reads true; sustained programme up to 3 dB low, percussion as a burst of 5 ms.

    >>> peak_shortfall_db(3.0), peak_shortfall_db(12.0), peak_shortfall_db(20.0)
    (0.0, 3.0, 4.0)
    """
    crests = (SINE_CREST_DB, _SUSTAINED_CREST_DB, _PERCUSSIVE_CREST_DB)
    return float(
        np.interp(crest_db, crests, (0.0, _SUSTAINED_DB, burst_shortfall_db(_PERCUSSIVE_S)))
    )


def vu_shortfall_db(crest_db: float) -> float:
    """How far a VU meter stays below the rms of programme of this peak-to-rms. [dB]

    >>> vu_shortfall_db(3.0), round(vu_shortfall_db(10.35), 2)
    (0.0, 1.05)
    """
    terms = short_term(crest_db)
    like_noise = (terms.crest_db - SINE_CREST_DB) / (STEADY_CREST_DB - SINE_CREST_DB)
    form_db = max(like_noise, 0.0) * (_NOISE_FORM_DB - _SINE_FORM_DB)
    mean = float(np.sum(terms.share * 10 ** (terms.level_db / 20)))  # against an rms of 1
    return form_db - 20 * math.log10(mean)


def reading_level_db(levels: PointLevels, kind: MeterKind) -> float | None:
    """Level of the steady sine at which a meter would read the same; none for silence.

    In the unit of the levels.

    Parameters
    ----------
    levels
        At the point where the meter sits; its peak-to-rms says how sustained the signal is.
    kind
        The meter's detector.
    """
    if levels.nominal is None or levels.peak is None:
        return None
    crest_db = levels.peak - levels.nominal + SINE_CREST_DB
    if kind == "vu":
        return levels.nominal - vu_shortfall_db(crest_db)
    if kind == "ppm":
        return levels.peak - peak_shortfall_db(crest_db)
    return levels.peak


def meter_reading_db(levels: PointLevels, meter: MeterPlan) -> float | None:
    """What a meter shows, against its own zero; ``None`` for silence. [dB]

    Examples
    --------
    >>> from levelhead.gear.figures import Figure
    >>> tone = PointLevels("desk.main", "dBu", 7.0, 7.0, None, None, None)
    >>> zero = Figure(1.2277, 1.2, 1.25, "V", "standard")
    >>> round(meter_reading_db(tone, MeterPlan("vu", zero)), 1)
    3.0
    """
    kind: MeterKind = meter.kind
    reading_db = reading_level_db(levels, kind)
    if reading_db is None or meter.zero.value <= 0:
        return None
    reference = REFERENCE_OF_UNIT[meter.zero.unit][0]
    return reading_db - 20 * math.log10(meter.zero.value / reference)
