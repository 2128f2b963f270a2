"""Differences that count in a gain plan: what is heard, and what is worth moving a switch for.

All are common practice.
"""

from __future__ import annotations

from typing import Final

__all__ = [
    "GAVE_WAY_DB",
    "LEVEL_HEARD_DB",
    "METERS_FOR_SWITCH_DB",
    "MIX_FOR_SWITCH_DB",
    "NOISE_FOR_SWITCH_DB",
    "NOISE_HEARD_DB",
]

LEVEL_HEARD_DB: Final = 1.0  # less of a difference in loudness nobody hears
NOISE_HEARD_DB: Final = 1.0  # less of a difference in noise nobody hears
MIX_FOR_SWITCH_DB: Final = 10.0  # of all that pass a switch of several sources: half as loud
METERS_FOR_SWITCH_DB: Final = 6.0  # half the volts
NOISE_FOR_SWITCH_DB: Final = 3.0  # half the power
GAVE_WAY_DB: Final = 0.35  # less comes of setting tenths, and nobody hears it
