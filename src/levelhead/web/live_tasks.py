"""Tasks of the worker, for the process that sends them: what solves and judges is loaded there.

The page of a show needs none of it to stand on a screen, and to load it takes longer than the rest.
"""

from __future__ import annotations

from typing import Any

from levelhead.show.model import Show

__all__ = [
    "first_places",
    "gain_plan",
    "judge",
    "open_ends",
    "proposals",
    "remedies",
    "ring_moves",
    "seats_map",
    "sockets",
    "solve_show",
    "warm_up",
    "ways_out_of",
]

Json = dict[str, Any]


def warm_up(gear: str | None) -> int:
    """See ``live_worker.warm_up``."""
    from levelhead.web import live_worker

    return live_worker.warm_up(gear)


def solve_show(key: str, show: Show, gear: str | None) -> None:
    """See ``live_worker.solve_show``."""
    from levelhead.web import live_worker

    live_worker.solve_show(key, show, gear)


def judge(key: str) -> Json:
    """See ``live_worker.judge``."""
    from levelhead.web import live_worker

    return live_worker.judge(key)


def open_ends(key: str) -> Json:
    """See ``live_worker.open_ends``."""
    from levelhead.web import live_worker

    return live_worker.open_ends(key)


def remedies(key: str, number: int) -> Json:
    """See ``live_worker.remedies``."""
    from levelhead.web import live_worker

    return live_worker.remedies(key, number)


def proposals(key: str, text: str) -> Json:
    """See ``live_worker.proposals``."""
    from levelhead.web import live_worker

    return live_worker.proposals(key, text)


def sockets(key: str, output: str, text: str = "") -> list[Json]:
    """See ``live_worker.sockets``."""
    from levelhead.web import live_worker

    return live_worker.sockets(key, output, text)


def ways_out_of(key: str, output: str, text: str) -> list[Json]:
    """See ``live_worker.ways_out_of``."""
    from levelhead.web import live_worker

    return live_worker.ways_out_of(key, output, text)


def gain_plan(key: str, is_as_set: bool) -> Json:  # noqa: FBT001 -- a question's only word
    """See ``live_gains.plan``."""
    from levelhead.web import live_gains

    return live_gains.plan(key, is_as_set)


def seats_map(key: str, shown: str) -> Json:
    """See ``live_plan.seats``."""
    from levelhead.web import live_plan

    return live_plan.seats(key, shown)


def ring_moves(key: str, text: str = "") -> list[Json]:
    """See ``live_plan.moves``."""
    from levelhead.web import live_plan

    return live_plan.moves(key, text)


def first_places(key: str, item: str) -> Json:
    """See ``live_plan.first``."""
    from levelhead.web import live_plan

    return live_plan.first(key, item)
