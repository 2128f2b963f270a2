"""What meters read and what leaves the rig, with a gain plan in place."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Literal

from levelhead.planning.gains.planned.tenths import tenths

__all__ = ["EndLevel", "MeterMark"]


@dataclass(frozen=True, slots=True)
class MeterMark:
    """What a meter should read at sound check with the plan in place.

    Attributes
    ----------
    at
        Address of the point where the meter sits.
    align
        ``rms``: a sustained source, whose nominal level stands at the meter's zero. ``peak``: a
        percussive one, whose peaks stand so far above it. ``all``: everything at once, at a mix.
    reads_db
        What the meter shows by its detector, against its own zero.
    low_db, high_db
        Between which it is right.
    alone
        The source that plays alone; nothing at a mix. ``who`` is what people call it.
    """

    at: str
    label: str
    kind: str
    align: Literal["rms", "peak", "all"]
    reads_db: float
    low_db: float
    high_db: float
    alone: str | None = None
    who: str = ""

    def to_json(self) -> dict[str, Any]:
        """As docs/formats.md prints it."""
        return {
            "at": self.at,
            "meter": self.kind,
            "align": self.align,
            "alone": self.alone,
            "reads_db": tenths(self.reads_db),
            "low_db": tenths(self.low_db),
            "high_db": tenths(self.high_db),
        }


@dataclass(frozen=True, slots=True)
class EndLevel:
    """What leaves the rig at a loudspeaker, an earphone or a recorder, now and with the plan.

    Levels are in ``unit``; ``peak`` is the loudest moment, everything playing its loud passage, as
    the sine of the same peak.
    """

    at: str
    label: str
    unit: str
    peak_now: float | None
    peak_planned: float | None
    ceiling: float | None
    noise_a_now: float | None
    noise_a_planned: float | None
    asked: str

    def to_json(self) -> dict[str, Any]:
        """As docs/formats.md prints it."""
        return {
            "at": self.at,
            "unit": self.unit,
            "peak_now": tenths(self.peak_now),
            "peak_planned": tenths(self.peak_planned),
            "ceiling": tenths(self.ceiling),
            "noise_a_now": tenths(self.noise_a_now),
            "noise_a_planned": tenths(self.noise_a_planned),
            "asked": self.asked,
        }
