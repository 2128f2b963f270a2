"""Where limiters stand for one amplifier channel or one powered loudspeaker, as values."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from levelhead.planning.limiters.arithmetic import Timing
from levelhead.quantity.decibels import DBU_REFERENCE_V
from levelhead.show.edits import Set

__all__ = ["Limit", "LimiterSetting"]


@dataclass(frozen=True, slots=True)
class Limit:
    """A threshold: rms of a sine at the loudspeaker, and at the output before the amplifier.

    ``why`` names what decides; ``dbu`` is ``None`` where nothing leads there as controls stand.
    """

    volts: float
    dbu: float | None
    why: str

    @property
    def at_v(self) -> float | None:
        """Volts at the output before the amplifier, rms. [V]"""
        return None if self.dbu is None else DBU_REFERENCE_V * 10 ** (self.dbu / 20)


@dataclass(frozen=True, slots=True)
class LimiterSetting:
    """Where limiters stand for one amplifier channel or one powered loudspeaker.

    Attributes
    ----------
    output
        Address of the loudspeaker output, or of the input of a powered loudspeaker.
    loudspeakers
        Labels of what it drives.
    at
        Address of the output that feeds it, where thresholds in dBu count; ``None`` without one.
    rms, peak
        Thresholds; a powered loudspeaker has a peak one only, its own limiter knows its coil.
    lowest_hz
        Down to where it plays. [Hz]
    rms_times
        Attack and release of the rms limiter.
    control, now, edits
        The dial of a limiter before it, where that stands, and what sets it.
    notes
        What else has to be known.
    """

    output: str
    label: str
    is_powered: bool
    loudspeakers: tuple[str, ...]
    at: str | None
    at_label: str
    rms: Limit | None
    peak: Limit
    lowest_hz: float
    rms_times: Timing
    control: str | None = None
    now: str | None = None
    edits: tuple[Set, ...] = ()
    notes: tuple[str, ...] = ()
    caution: str | None = None

    def to_json(self) -> dict[str, Any]:
        """As docs/formats.md prints it."""
        return {
            "output": self.output,
            "label": self.label,
            "powered": self.is_powered,
            "loudspeakers": list(self.loudspeakers),
            "at": self.at,
            "rms": _limit_json(self.rms),
            "peak": _limit_json(self.peak),
            "lowest_hz": round(self.lowest_hz, 1),
            "attack_s": self.rms_times.attack_s,
            "release_s": self.rms_times.release_s,
            "control": self.control,
            "now": self.now,
            "edits": [{"address": each.address, "value": each.value} for each in self.edits],
            "notes": list(self.notes),
            "caution": self.caution,
        }


def _limit_json(limit: Limit | None) -> dict[str, Any] | None:
    if limit is None:
        return None
    return {
        "volts": round(limit.volts, 2),
        "dbu": None if limit.dbu is None else round(limit.dbu, 2),
        "why": limit.why,
    }
