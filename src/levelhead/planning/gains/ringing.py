"""Whether a gain plan rings: the loop through the air, with every control where the plan has it."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from levelhead.chain.solution import Solution
from levelhead.quantity.bands import band_labels
from levelhead.quantity.formatting import format_level
from levelhead.verdicts.air.numbers import ringing_in

__all__ = ["ringing_words", "rings_by_db"]

_SURE_DB: Final = 1.0  # nearer to the level that one in twenty rings, it is what decides
_NEAR_DB: Final = 6.0  # from the even chance: the margin that handbooks ask of the loop


def rings_by_db(solution: Solution) -> float:
    """How much softer everything has to be for nineteen of twenty such places to be quiet. [dB]

    Zero where nothing rings, and where the show does not say where things stand.
    """
    ringing = ringing_in(solution)
    margin = None if ringing is None else ringing.margin
    return 0.0 if margin is None else max(-margin.sure_db, 0.0)


def ringing_words(after: Solution) -> Iterator[str]:
    """Where a plan comes near ringing: which microphone, and by how much it would be too loud."""
    ringing = ringing_in(after)
    margin = None if ringing is None else ringing.margin
    if ringing is None or margin is None:
        return
    if margin.median_db >= _NEAR_DB and margin.sure_db >= _SURE_DB:
        return
    microphones, _ = ringing.shares()
    first = f"{microphones[0][0]} at {band_labels()[margin.band]}"
    by = format_level(abs(margin.median_db), "dB")
    sure = format_level(abs(margin.sure_db), "dB")
    if margin.median_db < 0:
        yield (
            f"The plan rings before it is reached: half of such places {by} under it, one in "
            f"twenty {sure} under it, {first} first. Turn the masters down by as much, or bring "
            "voices nearer to their microphones and loudspeakers further off. "
            "What buys most: levelhead feedback PLANNED.yaml"
        )
    elif margin.sure_db < 0:
        yield (
            f"Whether the plan rings turns on the place: half of such places ring {by} over it, "
            f"one in twenty {sure} under it, {first} first. What buys most: levelhead feedback "
            "PLANNED.yaml"
        )
    else:
        yield (
            f"Ringing is near: half of such places ring {by} over the plan, one in twenty {sure} "
            f"over it, {first} first. What buys most: levelhead feedback PLANNED.yaml"
        )
