"""A buzz against the signal that it comes with, where no loudspeaker tells how loud it is."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from levelhead.circuit.hum.sums import HumSum
from levelhead.verdicts.hum.sound import CLEAN_DB, COVERED_DB, hum_doubts
from levelhead.verdicts.told.finding import Compared, Severity
from levelhead.verdicts.told.limit_state import ROUNDING, Doubt, LimitState

__all__ = ["BUZZ", "Bearable", "UnderSignal", "under_signal"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Bearable:
    """How far a signal stands over what comes with it, A-weighted. [dB]

    From ``clean_db`` on it is fine (``ample_db`` more: whatever the doubts), below ``covered_db``
    it fails.
    """

    clean_db: float
    covered_db: float
    ample_db: float


BUZZ: Final = Bearable(clean_db=CLEAN_DB, covered_db=COVERED_DB, ample_db=0.0)


@dataclass(frozen=True, slots=True)
class UnderSignal:
    """How far a buzz lies under the signal: the usual, and from least to most. [dB]"""

    least_db: float
    over_db: float
    most_db: float
    bearable: Bearable
    state: LimitState

    @property
    def severity(self) -> Severity:
        """What is covered by the signal is care only."""
        severity = self.state.severity(ample=self.bearable.ample_db)
        is_covered = self.over_db >= self.bearable.covered_db - ROUNDING
        return Severity.CARE if severity is Severity.FAILS and is_covered else severity

    @property
    def words(self) -> dict[str, str]:
        """Levels for a sentence."""
        return {
            "below": f"{self.over_db:.0f} dB",
            "range": f"{self.least_db:.0f} to {self.most_db:.0f}, A-weighted",
        }

    @property
    def compared(self) -> tuple[Compared, ...]:
        """The numbers that led here."""
        limit_db = self.bearable.clean_db
        return (Compared("signal over it, A-weighted", self.over_db, limit_db, "dB"),)


def under_signal(
    signal: float, power: HumSum, bearable: Bearable = BUZZ, *, besides: Sequence[Doubt] = ()
) -> UnderSignal:
    """A buzz at a point where a signal has this A-weighted rms, in the unit of the buzz.

    ``besides`` are doubts that the hum itself does not know of.
    """
    level = power.rms_a()
    least_db, over_db, most_db = (
        20 * math.log10(signal / end) for end in (level.high, level.value, level.low)
    )
    state = LimitState(over_db - bearable.clean_db, "dB", lambda: (*hum_doubts(power), *besides))
    return UnderSignal(least_db, over_db, most_db, bearable, state)
