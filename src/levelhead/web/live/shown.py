"""Questions of drawing, level picture and plan: what of a message goes into which look."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any, Final

from levelhead.quantity.bands import BANDS
from levelhead.web.live import day_cards as live_day_cards
from levelhead.web.live import drawing as live_drawing
from levelhead.web.live import levels as live_levels
from levelhead.web.live import part as live_part
from levelhead.web.live import plan as live_plan
from levelhead.web.live.hand import Hand
from levelhead.web.live.looks import Looks
from levelhead.web.live.messages import edits_of

__all__ = ["Looks", "is_shown", "shown"]

Message = Mapping[str, Any]
_MOST: Final = 512  # names in a message
_LONGEST: Final = 200  # of a name


def _name(message: Message, field: str) -> str:
    return str(message.get(field, ""))[:_LONGEST]


def _names(message: Message, field: str) -> list[str]:
    given = message.get(field)
    return [str(each)[:_LONGEST] for each in given[:_MOST]] if isinstance(given, list) else []


def _numbers(message: Message, field: str) -> list[int]:
    return [int(each) for each in _names(message, field) if each.isdecimal()]


def _drawing(message: Message) -> tuple[Any, ...]:
    view = "wiring" if message.get("view") == "wiring" else "flow"
    return live_drawing.drawing, view, _names(message, "fold"), _name(message, "has")


def _levels(message: Message) -> tuple[Any, ...]:
    given = message.get("band")
    is_band = isinstance(given, int) and not isinstance(given, bool) and 0 <= given < BANDS
    edits = edits_of(message) if message.get("edits") else []
    names = _name(message, "source"), _name(message, "goal")
    return live_levels.levels, *names, given if is_band else None, edits


def is_shown(message: Message) -> bool:
    """Whether a question is one of these; the line check is, the sound check needs the plan."""
    what = str(message.get("find"))
    return what in SHOWN and not (what == "day" and message.get("text") == "sound-check")


SHOWN: Final[Mapping[str, Callable[[Message], tuple[Any, ...]]]] = {
    "drawing": _drawing,
    "levels": _levels,
    "part": lambda message: (live_part.part, _name(message, "item")),
    "day": lambda _: (live_day_cards.line_cards,),
    "lead": lambda message: (live_part.lead, _numbers(message, "links")),
    "seats-map": lambda message: (live_plan.seats, _name(message, "text")),
    "first-places": lambda message: (live_plan.first, _name(message, "text")),
}
"""By what a page asks for: the look, then its values."""


async def shown(message: Message, hand: Hand, looks: Looks, results: dict[str, Any] | None) -> Any:
    """The answer to one of these questions; nothing while the show cannot be built.

    Raises
    ------
    LevelheadError
        It means nothing.
    """
    opened = hand.opened
    if hand.rig is None:
        return []
    look, *values = SHOWN[str(message["find"])](message)
    return await looks.ask(
        look, *values, show=opened.show, revision=opened.revision, results=results
    )
