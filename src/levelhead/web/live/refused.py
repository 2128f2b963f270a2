"""Steps and questions that are not taken, as the page that asked reads them."""

from __future__ import annotations

import logging
from typing import Any, Final

from levelhead.errors import LevelheadError
from levelhead.exchange.paperwork.named import Named
from levelhead.exchange.rows.needs_gear import NeedsGearError
from levelhead.show.opened.undoing import StaleError
from levelhead.web.live.messages import Message
from levelhead.web.live.view import error_json

__all__ = ["refused"]

_LOG: Final = logging.getLogger(__name__)
Json = dict[str, Any]


def refused(message: Message, given: Exception, names: Named) -> Json:
    """Why a message is not taken, in four parts.

    Places are named as the crew calls them; where a text was typed, the file's own words stand.
    """
    error = given if isinstance(given, LevelheadError) else _our_mistake(given)
    if isinstance(error, StaleError):
        reason = "stale"
    else:
        reason = "needs-gear" if isinstance(error, NeedsGearError) else "no"
    is_typed = message.get("do") == "text"
    return {
        "kind": "refused",
        "ask": message.get("ask"),
        "reason": reason,
        "error": error_json(error if is_typed else names.refused(error)),
    }


def _our_mistake(error: Exception) -> LevelheadError:
    """What a page is told when the program went wrong; the window where it runs has it all."""
    _LOG.error("a message of a page could not be taken", exc_info=error)
    return LevelheadError(
        f"levelhead went wrong: {type(error).__name__}",
        where="program",
        expected="an answer",
        remedy="Nothing was changed. Go on, and report what you did.",
    )
