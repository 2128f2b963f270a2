"""What a meter reads, typed on a page of the show day, on its way into the show."""

from __future__ import annotations

from collections.abc import Awaitable, Callable

from levelhead.show.edit_json import edit_from_json
from levelhead.web.live import tasks as live_tasks
from levelhead.web.live.day import BY_READING, short_text
from levelhead.web.live.hand import Hand
from levelhead.web.live.messages import Message
from levelhead.web.live.results import Results

__all__ = ["by_reading"]


async def by_reading(
    message: Message, page: str, hand: Hand, results: Results, edit: Callable[..., Awaitable[None]]
) -> None:
    """Write what a reading says into the show: the source's level, and the gain turned.

    Asked twice it is taken once; ``edit(edits, by=...)`` takes the step.

    Raises
    ------
    LevelheadError
        It is no reading, or nothing is expected at that meter.
    """
    if hand.day.log.has_taken(f"{page} {message.get('ask')}"):
        return
    typed = short_text(message, "reading")
    found = await results.ask(live_tasks.said_by_reading, typed, revision=hand.opened.revision)
    edits = [edit_from_json(each) for each in found["edits"]]
    if edits:
        await edit(edits, by=BY_READING)
