"""Where verdicts on the air turn, each number once: rules, explanations and lines of the plan.

Limits that belong to a formula stand with it (delays, exposure and speech in ``acoustics``).
"""

from __future__ import annotations

from typing import Final

from levelhead.acoustics.listening.speech import RANGE_DB, RATINGS
from levelhead.acoustics.listening.speech import STI_SPREAD as TWO_DEVIATIONS
from levelhead.acoustics.sound.delay import COLOURED, ripple_db

__all__ = [
    "APART_DB",
    "COLOUR_DB",
    "EXPOSURE_HARM_DB",
    "LARGE_SHARE",
    "LIMIT_OF_STAFF_DB",
    "NOISE_COUNTS_DB",
    "OFF_DB",
    "STI_FAILS",
    "STI_FINE",
    "STI_SPREAD",
    "SUB_CARE_DEG",
]

OFF_DB: Final = 3.0  # of a level that is wanted: heard as another loudness, common practice
APART_DB: Final = 6.0  # eight seats of ten: plus and minus 3 dB, common practice
COLOUR_DB: Final = round(ripple_db(COLOURED), 1)  # peak to dip of a copy 10 dB down
STI_FAILS: Final = RATINGS[1][0]  # IEC 60268-16: poor below
STI_SPREAD: Final = TWO_DEVIATIONS / 2  # standard deviation of the index
STI_FINE: Final = STI_FAILS + TWO_DEVIATIONS
NOISE_COUNTS_DB: Final = RANGE_DB  # IEC 60268-16: more signal over noise adds nothing
LARGE_SHARE: Final = 0.2  # of the loop: who has less is not named
EXPOSURE_HARM_DB: Final = 110.0  # NIOSH 98-126, Table 1-1: a day's dose in 1 min 29 s
LIMIT_OF_STAFF_DB: Final = 87.0  # Directive 2003/10/EC, LEX,8h
SUB_CARE_DEG: Final = 120.0  # from here on two equal tones are less than one
