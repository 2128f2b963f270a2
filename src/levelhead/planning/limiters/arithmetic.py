"""From a loudspeaker's rating to the threshold of a limiter: volts, dBu, attack and release.

A loudspeaker is rated in volts, the root of watts times nominal ohms. IEC 60268-5 gives three of
them: rated noise (100 h), long-term maximum (1 min on, 2 min off, ten times) and short-term maximum
(1 s on, 1 min off, sixty times); AES2 tests with noise whose peaks stand 6 dB over its rms. So heat
is held by a limiter that looks at the rms and may take up to a second, and peaks by one that looks
at the peak and has no time at all.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

from levelhead.quantity.decibels import DBU_REFERENCE_V
from levelhead.quantity.peaks import SINE_CREST_DB

__all__ = [
    "AES2_CREST_DB",
    "SHORT_TERM_S",
    "Timing",
    "dbu_of",
    "gain_from_sensitivity_db",
    "peak_threshold_v",
    "rated_v",
    "timing",
]

AES2_CREST_DB: Final = 6.0  # peak over rms of the noise of the test, AES2
SHORT_TERM_S: Final = 1.0  # IEC 60268-5, short-term maximum input voltage
ATTACK_PERIODS: Final = 0.7  # of the lowest frequency, common practice
RELEASE_OF_ATTACK: Final = 16.0  # common practice, printed in manuals of processors
LOWEST_HZ: Final = 20.0
_ROUNDED: Final = (1.0, 1.2, 1.5, 2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 8.0)


def rated_v(power_w: float, impedance_ohm: float) -> float:
    """Rms volts of so many watts in a nominal impedance: ``U = sqrt(P R)``, IEC 60268-5. [V]

    >>> round(rated_v(300.0, 8.0), 1)
    49.0
    """
    return math.sqrt(power_w * impedance_ohm)


def dbu_of(volts: float) -> float:
    """Level of rms volts, above zero. [dBu]"""
    return 20 * math.log10(volts / DBU_REFERENCE_V)


def gain_from_sensitivity_db(
    *, power_w: float, impedance_ohm: float, sensitivity_v: float
) -> float:
    """Voltage gain of an amplifier by what it wants for its full output. [dB]

    >>> round(gain_from_sensitivity_db(power_w=500.0, impedance_ohm=8.0, sensitivity_v=1.5), 1)
    32.5
    """
    return 20 * math.log10(rated_v(power_w, impedance_ohm) / sensitivity_v)


def peak_threshold_v(*, long_term_v: float, peak_rating_v: float | None, ceiling_v: float) -> float:
    """Where a limiter of peaks stands at a loudspeaker: rms of the sine with the same peak. [V]

    Peaks that stand 6 dB over the rms of the long term (AES2) are those of a sine 3.01 dB above it.
    Less where a peak rating says so, or where the amplifier clips before.

    >>> round(peak_threshold_v(long_term_v=49.0, peak_rating_v=98.0, ceiling_v=80.0), 1)
    69.1
    """
    test_v = long_term_v * 10 ** ((AES2_CREST_DB - SINE_CREST_DB) / 20)
    return min(test_v, ceiling_v, *([] if peak_rating_v is None else [peak_rating_v]))


@dataclass(frozen=True, slots=True)
class Timing:
    """Times of a limiter. [s]"""

    attack_s: float
    release_s: float


def timing(lowest_hz: float) -> Timing:
    """Attack and release of a limiter for a loudspeaker that plays down to a frequency.

    Attack is most of a period of the lowest frequency: shorter ones follow the wave itself and
    distort it; longer ones, up to the second of IEC 60268-5, are harmless to the coil. Release is
    sixteen times that. Common practice: tables in manuals of processors run so, octave by octave.

    >>> timing(45.0)
    Timing(attack_s=0.015, release_s=0.24)
    """
    attack_s = min(_round(ATTACK_PERIODS / max(lowest_hz, LOWEST_HZ)), SHORT_TERM_S)
    return Timing(attack_s, RELEASE_OF_ATTACK * attack_s)


def _round(value: float) -> float:
    """The nearest value that a dial of times has."""
    decade = 10 ** math.floor(math.log10(value))
    steps = [step * decade for step in (*_ROUNDED, 10.0)]
    return float(f"{min(steps, key=lambda each: abs(math.log(each / value))):.3g}")
