"""Doses of sound: how long a level may last, and what a stay makes of a working day.

References
----------
.. [1] NIOSH 98-126, "Criteria for a Recommended Standard: Occupational Noise Exposure", 1998,
   Table 1-1: 85 dB(A) for 8 h, half the time for each 3 dB.
.. [2] Directive 2003/10/EC, art. 2 and 3: LEX,8h; 80 and 85 dB(A) call for action, 87 dB(A) at the
   ear is the limit.
.. [3] WHO, "Global standard for safe listening venues and events", 2022, feature 1: 100 dB
   LAeq,15min.
.. [4] EN 50332-1 and -2, EN 62368-1, 10.6: a player with its headphones gives 100 dB(A) at most.
"""

from __future__ import annotations

import math
from typing import Final

__all__ = [
    "ACTION_AT_WORK_DB",
    "DAY_H",
    "DAY_LEVEL_DB",
    "LIMIT_AT_WORK_DB",
    "PLAYER_LIMIT_DB",
    "USUAL_STAY_S",
    "VENUE_LIMIT_DB",
    "allowed_h",
    "daily_exposure_db",
]

DAY_H: Final = 8.0
USUAL_STAY_S: Final = 3 * 3600.0  # of who is there for one event, common practice
DAY_LEVEL_DB: Final = 85.0  # [1]
_EXCHANGE_DB: Final = 3.0  # [1]
ACTION_AT_WORK_DB: Final = 85.0  # [2], upper: hearing protection has to be worn
LIMIT_AT_WORK_DB: Final = 87.0  # [2], at the ear
VENUE_LIMIT_DB: Final = 100.0  # [3]
PLAYER_LIMIT_DB: Final = 100.0  # [4], at the ear


def allowed_h(level_db: float) -> float:
    """Hours in which a level makes a day's dose. [dB(A) to h]

    Examples
    --------
    >>> allowed_h(85.0), allowed_h(88.0)
    (8.0, 4.0)
    """
    return float(DAY_H / 2 ** ((level_db - DAY_LEVEL_DB) / _EXCHANGE_DB))


def daily_exposure_db(level_db: float, hours: float) -> float:
    """LEX,8h of a stay at a level, the rest of the day quiet. [dB(A)]

    Examples
    --------
    >>> round(daily_exposure_db(97.0, 4.0), 1)
    94.0
    """
    return level_db + 10 * math.log10(hours / DAY_H)
