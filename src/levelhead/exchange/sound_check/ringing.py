"""All microphones open, nobody speaking, masters slowly up: what rings first, and what then."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from levelhead.acoustics.rings.rings_of import Ringing
from levelhead.exchange.sound_check.sounding import Sounding
from levelhead.exchange.sound_check.steps import Step
from levelhead.quantity.bands import band_labels
from levelhead.quantity.formatting import format_level
from levelhead.verdicts.air.asked import may_ring

__all__ = ["ringing_steps"]

_CAUTION: Final = (
    "A ring is loud at once: a hand stays on the master, nobody stands before a loudspeaker, "
    "earphones are off the ears."
)


def ringing_steps(sounding: Sounding) -> Iterator[Step]:
    """One step, where a microphone and a loudspeaker can hear each other."""
    work, ends = sounding.work, sounding.loudspeakers
    if not ends or not any(each.is_in_the_air for each in sounding.channels):
        return
    ringing = work.ringing if may_ring(work.check.trial.solution) else None
    if ringing is not None and not ringing.is_possible:
        return
    yield Step(
        "ringing",
        "Every microphone that is open at the same time up to its mark, nobody speaking. Masters "
        "from 10 dB under their marks slowly up to them, monitors likewise. What rings gets its "
        "fader or send down, a low cut if it rings low, or a narrow cut of the equaliser at that "
        f"frequency.{_first(ringing)}",
        at=ends[0].item.id,
        caution=_CAUTION,
    )


def _first(ringing: Ringing | None) -> str:
    """Who is the first to ring by the numbers, and how near."""
    margin = None if ringing is None else ringing.margin
    if ringing is None or margin is None:
        return ""
    name = ringing.shares()[0][0][0]
    where = "over" if margin.median_db >= 0 else "under"
    by = format_level(abs(margin.median_db), "dB")
    return (
        f" First by the numbers: {name} at {band_labels()[margin.band]}, in half of such places "
        f"{by} {where} the marks."
    )
