"""Music into each loudspeaker before anybody plays: does it play, where, and are all of one mind.

What is turned, missing or rattling is found sooner with music that one knows than with a singer who
waits (common practice).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from levelhead.exchange.paperwork.work import Paperwork, listed
from levelhead.exchange.sound_check.heard_ends import HeardEnd
from levelhead.exchange.sound_check.sounding import Sounding
from levelhead.exchange.sound_check.steps import Step, few_of
from levelhead.verdicts.air.asked import has_place

__all__ = ["music_steps"]

_SOFTLY: Final = (
    "Begin softly: nothing here is set yet, and who stands before a loudspeaker is warned first."
)


def music_steps(sounding: Sounding) -> Iterator[Step]:
    """Every loudspeaker alone; all for the audience together; their delays."""
    work, ends = sounding.work, sounding.loudspeakers
    if not ends:
        return
    names = few_of(list(dict.fromkeys(work.called(each.item) for each in ends)))
    yield Step(
        "loudspeakers",
        f"{_player(sounding)} softly into one after another: {listed(names)}. "
        "Each plays where its name says, clean, and nothing beside it rattles. Then down again.",
        at=ends[0].item.id,
        caution=_SOFTLY,
    )
    yield from _together(ends)
    yield from _delays(work)


def _player(sounding: Sounding) -> str:
    """What of the rig can play music; else anything can."""
    player = next((each for each in sounding.channels if each.plays_music), None)
    if player is None:
        return "Music that you know, by a free input,"
    return f"Music that you know from {player.who},"


def _together(ends: Sequence[HeardEnd]) -> Iterator[Step]:
    """Turned polarity is heard in the bass, from the middle between two."""
    front = [each for each in ends if each.item.plan.listeners != "performers"]
    if len({each.item.id for each in front}) > 1:
        yield Step(
            "loudspeakers",
            "The same into all that the audience hears, from the middle between them: the bass is "
            "fuller than that of one alone. If it gets thinner, the polarity of one is turned; "
            "look at its leads before anything else.",
            at=front[0].item.id,
        )


def _delays(work: Paperwork) -> Iterator[Step]:
    """Loudspeakers that are to wait for others, where the show says where they stand."""
    if not has_place(work.check.trial.solution):
        return
    told = [f"{each.name} {1000 * each.set_s:.1f} ms" for each in work.heard.delays]
    if told:
        yield Step(
            "loudspeakers",
            f"Delays: {listed(told)}. Walk from the front to them: no voice comes twice, and the "
            "front seems to speak.",
        )
