"""The order of sound check of a rig, numbered, with what every meter should read.

Power from the sources to the loudspeakers, everything at rest, phantom power, music into each
loudspeaker, then one source after another at its loudest passage, the hot ones first; monitors;
what rings; everybody at once (common practice).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from levelhead.exchange.paperwork.work import Paperwork
from levelhead.exchange.sound_check.loudest import loudest_steps
from levelhead.exchange.sound_check.music import music_steps
from levelhead.exchange.sound_check.ringing import ringing_steps
from levelhead.exchange.sound_check.sends import send_steps
from levelhead.exchange.sound_check.sounding import Sounding
from levelhead.exchange.sound_check.sources import source_steps
from levelhead.exchange.sound_check.steps import PARTS, Step
from levelhead.exchange.sound_check.switching import (
    phantom_steps,
    power_down_steps,
    power_up_steps,
    rest_steps,
)
from levelhead.planning.gains.planned.ends import MeterMark
from levelhead.planning.gains.planned.plan import Position

__all__ = ["SoundCheck", "sound_check"]


@dataclass(frozen=True, slots=True)
class SoundCheck:
    """Steps in their order, numbered from 1."""

    steps: tuple[Step, ...]

    def by_part(self) -> Iterator[tuple[str, tuple[tuple[int, Step], ...]]]:
        """Headings with their steps and numbers."""
        numbered = list(enumerate(self.steps, start=1))
        for part, heading in PARTS.items():
            found = tuple((number, step) for number, step in numbered if step.part == part)
            if found:
                yield heading, found

    @property
    def cautions(self) -> tuple[str, ...]:
        """What holds for all of it, each once; of a single source it stands at its step."""
        found = (each.caution for each in self.steps if each.part != "sources" and each.caution)
        return tuple(dict.fromkeys(found))

    def to_json(self) -> list[dict[str, Any]]:
        """As docs/formats.md prints it."""
        return [step.to_json(number) for number, step in enumerate(self.steps, start=1)]


def sound_check(
    work: Paperwork, meters: Sequence[MeterMark] = (), positions: Sequence[Position] = ()
) -> SoundCheck:
    """The order for a show that is set as planned.

    Parameters
    ----------
    work
        The show with the edits of its gain plan applied.
    meters
        What meters should read, from the same plan.
    positions
        Controls of that plan: those before a mixer are set at their source.
    """
    sounding = Sounding(work)
    return SoundCheck(
        (
            *power_up_steps(sounding),
            *rest_steps(sounding),
            *phantom_steps(work),
            *music_steps(sounding),
            *source_steps(sounding, meters, positions),
            *send_steps(sounding),
            *ringing_steps(sounding),
            *loudest_steps(sounding, meters),
            *power_down_steps(sounding),
        )
    )
