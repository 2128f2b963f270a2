"""Whether a gain plan rings: the loop through the air, with every control where the plan has it."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from levelhead.chain.solution import Solution
from levelhead.quantity.bands import band_labels
from levelhead.quantity.formatting import format_level
from levelhead.verdicts.air.numbers import ringing_in

__all__ = ["ringing_words"]

_NEAR_DB: Final = 6.0  # from the even chance: the margin that handbooks ask of the loop


def ringing_words(after: Solution) -> Iterator[str]:
    """Where a plan comes near ringing: which microphone, and by how much it would be too loud."""
    ringing = ringing_in(after)
    if ringing is None or ringing.margin is None or ringing.margin.median_db >= _NEAR_DB:
        return
    margin = ringing.margin
    microphones, _ = ringing.shares()
    first = f"{microphones[0][0]} at {band_labels()[margin.band]}"
    by = format_level(abs(margin.median_db), "dB")
    sure = format_level(abs(margin.sure_db), "dB")
    if margin.median_db < 0:
        yield (
            f"The plan rings before it is reached: half of such rooms {by} under it, one in twenty "
            f"{sure} under it, {first} first. Turn the masters down by as much, or bring voices "
            "nearer to their microphones and loudspeakers further off. "
            "What buys most: levelhead feedback PLANNED.yaml"
        )
    elif margin.sure_db < 0:
        yield (
            f"Whether the plan rings turns on the room: half of such rooms ring {by} over it, one "
            f"in twenty {sure} under it, {first} first. What buys most: levelhead feedback "
            "PLANNED.yaml"
        )
    else:
        yield (
            f"Ringing is near: half of such rooms ring {by} over the plan, one in twenty {sure} "
            f"over it, {first} first. What buys most: levelhead feedback PLANNED.yaml"
        )
