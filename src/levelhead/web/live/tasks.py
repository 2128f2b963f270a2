"""Tasks of the worker, for the process that sends them: what solves and judges is loaded there.

The page of a show needs none of it to stand on a screen, and to load it takes longer than the rest.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

from levelhead.show.model import Show

if TYPE_CHECKING:
    from levelhead.exchange.printed.since import Beside
    from levelhead.exchange.sheet.values import Sheet
    from levelhead.show.history.printed import How, Printed
    from levelhead.web.live.paper import Made, Press

__all__ = [
    "beside_printed",
    "gain_plan",
    "judge",
    "open_ends",
    "proposals",
    "remedies",
    "ring_moves",
    "said_by_reading",
    "sheets_made",
    "sockets",
    "solve_show",
    "sound_check_cards",
    "warm_up",
    "ways_out_of",
]

Json = dict[str, Any]


def warm_up(gear: str | None) -> int:
    """See ``live_worker.warm_up``."""
    from levelhead.web.live import worker as live_worker

    return live_worker.warm_up(gear)


def solve_show(key: str, show: Show, gear: str | None) -> None:
    """See ``live_worker.solve_show``."""
    from levelhead.web.live import worker as live_worker

    live_worker.solve_show(key, show, gear)


def judge(key: str) -> Json:
    """See ``live_worker.judge``."""
    from levelhead.web.live import worker as live_worker

    return live_worker.judge(key)


def open_ends(key: str, turn: int | None = None) -> Json | None:
    """See ``live_worker.open_ends``."""
    from levelhead.web.live import worker as live_worker

    return live_worker.open_ends(key, turn)


def remedies(key: str, number: int, turn: int | None = None) -> Json | None:
    """See ``live_worker.remedies``."""
    from levelhead.web.live import worker as live_worker

    return live_worker.remedies(key, number, turn)


def proposals(key: str, text: str, turn: int | None = None) -> Json | None:
    """See ``live_worker.proposals``."""
    from levelhead.web.live import worker as live_worker

    return live_worker.proposals(key, text, turn)


def sockets(key: str, output: str, text: str = "") -> list[Json]:
    """See ``live_worker.sockets``."""
    from levelhead.web.live import worker as live_worker

    return live_worker.sockets(key, output, text)


def ways_out_of(key: str, output: str, text: str) -> list[Json]:
    """See ``live_worker.ways_out_of``."""
    from levelhead.web.live import worker as live_worker

    return live_worker.ways_out_of(key, output, text)


def gain_plan(key: str, is_as_set: bool, turn: int | None = None) -> Json | None:  # noqa: FBT001 -- a question's only word
    """See ``live_gains.plan``."""
    from levelhead.web.live import gains as live_gains

    return live_gains.plan(key, is_as_set, turn)


def sound_check_cards(key: str, text: str = "") -> Json:
    """See ``live_day_cards.sound_check_cards``."""
    from levelhead.web.live import day_cards as live_day_cards

    del text  # which list it is
    return live_day_cards.sound_check_cards(key)


def said_by_reading(key: str, typed: str) -> Json:
    """See ``live_day_cards.said_by_reading``."""
    from levelhead.web.live import day_cards as live_day_cards

    return live_day_cards.said_by_reading(key, typed)


def beside_printed(key: str, press: Press, printed: Sequence[Printed], size: str) -> Beside:
    """See ``live_paper.beside_printed``."""
    from levelhead.web.live import paper as live_paper

    return live_paper.beside_printed(key, press, printed, size)


def sheets_made(key: str, press: Press, hows: Mapping[str, How], before: Sequence[Sheet]) -> Made:
    """See ``live_paper.sheets_made``."""
    from levelhead.web.live import paper as live_paper

    return live_paper.sheets_made(key, press, hows, before)


def ring_moves(key: str, turn: int | None = None) -> list[Json] | None:
    """See ``live_plan.moves``."""
    from levelhead.web.live import plan as live_plan

    return live_plan.moves(key, turn)
