"""What an evening does to ears: mean level, dose, and four rules that count differently.

Which of the rules binds is local law: this page counts, it does not advise. Hearing that is lost
does not come back; nobody is helped by a number that was just within a limit.

References
----------
.. [1] NIOSH 98-126, 1998, Table 1-1: 85 dB(A) for 8 h, halved for each 3 dB.
.. [2] 29 CFR 1910.95 (OSHA), Tables G-16 and G-16a, Appendix A: 90 dB(A) for 8 h, halved for each
   5 dB; levels below 80 dB(A) do not count.
.. [3] Directive 2003/10/EC, art. 2 and 3 (LEX,8h of ISO 1999): action at 80 and 85, limit 87 dB(A)
   with hearing protection counted; peaks 112, 140 and 200 Pa.
.. [4] WHO, "Global standard for safe listening venues and events", 2022, feature 1: 100 dB
   LAeq,15min.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

from levelhead.errors import QuantityError

__all__ = [
    "EU_2003_10",
    "LOCAL_LAW",
    "NIOSH",
    "OSHA",
    "RULES",
    "WHO_VENUES_DB",
    "Evening",
    "Rule",
    "Stay",
    "daily_level_db",
    "evening",
    "mean_level_db",
    "worst_mean_db",
]

DAY_S: Final = 8 * 3600.0
WHO_VENUES_DB: Final = 100.0  # [4]
WHO_WINDOW_S: Final = 15 * 60.0  # [4]
PEAK_LIMIT_PA: Final = 200.0  # [3]: limit
PEAK_UPPER_ACTION_PA: Final = 140.0  # [3]
PEAK_LOWER_ACTION_PA: Final = 112.0  # [3]
LOCAL_LAW: Final = "Which of these binds is local law; for staff the employer must know."


@dataclass(frozen=True, slots=True, kw_only=True)
class Rule:
    """A rule of exposure: a level for a day of 8 h, and by how much it rises for half the time."""

    name: str
    criterion_db: float
    exchange_db: float
    threshold_db: float
    day_factor: float
    source: str

    def allowed_s(self, level_db: ArrayLike) -> NDArray[np.float64]:
        """How long a level makes a dose of 100 %, without regard to the threshold. [s]

        >>> float(NIOSH.allowed_s(88.0)) / 3600
        4.0
        """
        over = (np.asarray(level_db, dtype=np.float64) - self.criterion_db) / self.exchange_db
        return np.asarray(DAY_S / 2.0**over)

    def dose_percent(self, stays: Iterable[Stay]) -> float:
        """Dose of a day that is made of stays; what lies below the threshold does not count. [%]"""
        counted = [each for each in stays if each.level_db >= self.threshold_db]
        shares = (each.duration_s / float(self.allowed_s(each.level_db)) for each in counted)
        return 100.0 * sum(shares)

    def day_level_db(self, dose_percent: float) -> float:
        """Steady level of 8 h that makes a dose: 16.61 lg (D/100) + 90 for [2]. [dB(A)]

        NIOSH prints 10 lg (D/100) + 85, though it halves the time for each 3 dB and not for 3.01.
        """
        if dose_percent <= 0:
            return -math.inf
        return self.criterion_db + self.day_factor * math.log10(dose_percent / 100.0)


NIOSH: Final = Rule(
    name="NIOSH",
    criterion_db=85.0,
    exchange_db=3.0,
    threshold_db=80.0,
    day_factor=10.0,
    source="NIOSH 98-126",
)
OSHA: Final = Rule(
    name="OSHA",
    criterion_db=90.0,
    exchange_db=5.0,
    threshold_db=80.0,
    day_factor=5.0 / math.log10(2.0),  # printed as 16.61
    source="29 CFR 1910.95",
)
EU_2003_10: Final = Rule(
    name="EU 2003/10/EC",
    criterion_db=87.0,
    exchange_db=10 * math.log10(2.0),  # equal energy
    threshold_db=-math.inf,
    day_factor=10.0,
    source="Directive 2003/10/EC, limit value; action begins at 80 and 85 dB(A)",
)
RULES: Final = (NIOSH, OSHA, EU_2003_10)


@dataclass(frozen=True, slots=True, kw_only=True)
class Stay:
    """A time somebody spends at a mean level. [dB(A), s]

    Raises
    ------
    QuantityError
        The time is not above zero.
    """

    level_db: float
    duration_s: float

    def __post_init__(self) -> None:
        if not self.duration_s > 0:
            raise QuantityError(
                f"a stay of {self.duration_s:g} s",
                where="exposure",
                expected="a time above zero",
                remedy="Give how long people stay, in minutes or hours.",
            )


def mean_level_db(stays: Sequence[Stay]) -> float:
    """LAeq over all the stays together. [dB(A)]"""
    whole_s = sum(each.duration_s for each in stays)
    energy = sum(each.duration_s * 10.0 ** (each.level_db / 10.0) for each in stays)
    return 10.0 * math.log10(energy / whole_s) if energy > 0 else -math.inf


def daily_level_db(stays: Sequence[Stay]) -> float:
    """LEX,8h: the same energy as a steady level of 8 h (ISO 1999, ISO 9612). [dB(A)]

    >>> round(daily_level_db([Stay(level_db=100.0, duration_s=2 * 3600)]), 2)
    93.98
    """
    whole_s = sum(each.duration_s for each in stays)
    return mean_level_db(stays) + 10.0 * math.log10(whole_s / DAY_S)


def worst_mean_db(stays: Sequence[Stay], window_s: float = WHO_WINDOW_S) -> float:
    """Highest mean level of any window of the evening, stays in order without a gap. [dB(A)]

    The worst window begins or ends where a stay does; a shorter evening counts as long as it is.
    """
    edges = np.concatenate(([0.0], np.cumsum([each.duration_s for each in stays])))
    energy = np.concatenate(
        ([0.0], np.cumsum([each.duration_s * 10.0 ** (each.level_db / 10.0) for each in stays]))
    )
    window = min(window_s, float(edges[-1]))
    starts = np.clip(np.concatenate((edges, edges - window)), 0.0, edges[-1] - window)
    heard = np.interp(starts + window, edges, energy) - np.interp(starts, edges, energy)
    loudest = float(heard.max()) / window
    return 10.0 * math.log10(loudest) if loudest > 0 else -math.inf


@dataclass(frozen=True, slots=True, kw_only=True)
class Evening:
    """What somebody gets in an evening, by each rule.

    ``doses_percent`` are in the order of ``RULES``; ``over_venue_db`` is how far the worst quarter
    of an hour is over the guidance for venues [4] (under it if negative).
    """

    mean_db: float
    daily_db: float
    worst_quarter_db: float
    doses_percent: tuple[float, ...]
    over_venue_db: float
    law: str = LOCAL_LAW


def evening(stays: Sequence[Stay]) -> Evening:
    """Count an evening by all rules.

    Raises
    ------
    QuantityError
        There is no stay.
    """
    if not stays:
        raise QuantityError(
            "nobody stays anywhere",
            where="exposure",
            expected="one stay or more",
            remedy="Give how long people stay, and at which level.",
        )
    worst_db = worst_mean_db(stays)
    return Evening(
        mean_db=mean_level_db(stays),
        daily_db=daily_level_db(stays),
        worst_quarter_db=worst_db,
        doses_percent=tuple(rule.dose_percent(stays) for rule in RULES),
        over_venue_db=worst_db - WHO_VENUES_DB,
    )
