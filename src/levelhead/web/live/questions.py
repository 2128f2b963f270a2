"""Questions of a page that change nothing: what may be meant, what fits where, the text."""

from __future__ import annotations

import asyncio
from collections.abc import Awaitable, Callable, Mapping
from functools import partial
from typing import Any, Final

from levelhead.errors import EditError
from levelhead.gear.book import GearBook
from levelhead.rig.model import Rig
from levelhead.show.edit_json import edit_to_json
from levelhead.show.model import Show
from levelhead.web.live import tasks as live_tasks
from levelhead.web.live.hand import Hand
from levelhead.web.live.messages import text_of
from levelhead.web.live.results import Results

__all__ = ["answered", "gear_meant", "known_names", "list_meant"]

MOST_FOUND: Final = 12
LONGEST_TEXT: Final = 200
LONGEST_LIST: Final = 100_000  # characters; a list of 128 inputs has 10 thousand
_OF_TEXT: Final[Mapping[str, Callable[[str, str], Any]]] = {
    "day": live_tasks.sound_check_cards,
    "day-reading": live_tasks.said_by_reading,
}
_LONG: Final[Mapping[str, Callable[[Mapping[str, Any]], tuple[Any, ...]]]] = {
    "gains": lambda message: (live_tasks.gain_plan, message.get("as-set") is True),
    "ring-moves": lambda _: (live_tasks.ring_moves,),
    "more": lambda message: (live_tasks.proposals, _text(message)),
}
"""Questions that may be stopped, by the name that the page gave them."""
_OF_OUTPUTS: Final = {"sockets": live_tasks.sockets, "ways-out": live_tasks.ways_out_of}
_SOUNDING: Final = frozenset({"microphone", "instrument", "player", "feed"})


async def answered(
    message: Mapping[str, Any],
    hand: Hand,
    by_hand: Callable[[Callable[..., Any]], Awaitable[Any]],
    results: Results,
) -> Any:
    """The answer to one question; ``by_hand`` lets the hand look something up in its turn.

    Raises
    ------
    LevelheadError
        It means nothing.
    """
    what, text = text_of(message, "find"), str(message.get("text", "")).strip()[:LONGEST_TEXT]
    rig, revision = hand.rig, hand.opened.revision
    if what == "text":
        return await by_hand(hand.text)
    if what == "list":
        given = str(message.get("text", ""))[:LONGEST_LIST]
        return await asyncio.to_thread(
            list_meant, hand.opened.show, hand.book, given, message.get("answers")
        )
    if what in {"gear", "known"}:
        found = gear_meant if what == "gear" else partial(known_names, rig)
        return await asyncio.to_thread(found, hand.book, text)
    if rig is None:
        return []
    if what == "cable":
        return await asyncio.to_thread(_cables, rig, str(message.get("row", "")), text)
    return await _of_worker(message, rig, results, revision)


def _text(message: Mapping[str, Any]) -> str:
    return str(message.get("text", "")).strip()[:LONGEST_TEXT]


async def _of_worker(message: Mapping[str, Any], rig: Rig, results: Results, revision: int) -> Any:
    """What the worker answers of the newest state."""
    what, text = str(message["find"]), _text(message)
    if what == "stop":
        return results.stop_question(text)
    if what in _OF_TEXT:
        return await results.ask(_OF_TEXT[what], text, revision=revision)
    if what in _LONG:
        task, *values = _LONG[what](message)
        name = str(message.get("name", ""))[:LONGEST_TEXT]
        return await results.ask_until_stopped(task, *values, revision=revision, name=name)
    output = str(message.get("output", ""))
    if what in _OF_OUTPUTS and output not in rig.ports:
        raise _refusal(f"no socket {output[:60]!r}")
    if what in _OF_OUTPUTS:
        return await results.ask(_OF_OUTPUTS[what], output, text, revision=revision)
    raise _refusal(f"no question {what[:40]!r}")


def known_names(rig: Rig | None, book: GearBook, of: str) -> list[dict[str, str]]:
    """What a field may hold: types of gear, sockets or controls of the show, cables, supplies.

    Raises
    ------
    LevelheadError
        There is no such list.
    """
    if of == "type":
        plain = [each for each in book.ids if not book.sketch(each).ends]
        return [{"value": each, "label": book.entry(each).label} for each in plain]
    if of == "socket":
        ports = () if rig is None else rig.ports.values()
        return [{"value": each.address, "label": each.label} for each in ports]
    if of == "control":
        return [{"value": each, "label": ""} for each in (() if rig is None else rig.controls)]
    if of == "supply":
        supplies = () if rig is None else rig.show.supplies.values()
        return [{"value": each.id, "label": each.outlet} for each in supplies]
    raise _refusal(f"no list {of[:40]!r}")


def gear_meant(book: GearBook, text: str) -> list[dict[str, str]]:
    """Gear that makes a sound and that the text may mean, best first, each type once."""
    from levelhead.planning.typed.names import find_candidates, find_sources

    found = [*find_sources(book, text), *find_candidates(book, text, "from")]
    found = [
        each
        for each in found
        if book.entry(each.type_id).air is not None or book.entry(each.type_id).kind in _SOUNDING
    ]
    found.sort(key=lambda each: -each.score)
    ids = list(dict.fromkeys(each.type_id for each in found))
    return [{"value": each, "label": book.entry(each).label} for each in ids[:MOST_FOUND]]


def list_meant(show: Show, book: GearBook, text: str, answers: Any) -> dict[str, Any]:
    """What a band's list makes of the show: edits, and what has to be asked before the rest.

    Raises
    ------
    LevelheadError
        It is no list, or an answer means nothing.
    """
    from levelhead.exchange.lists import plan_list, read_list
    from levelhead.web.views.lists import ListView

    known = answers if isinstance(answers, dict) else {}
    read = read_list(text, answers={str(key): str(said) for key, said in known.items()}, book=book)
    plan = plan_list(read, show, book=book)
    view = ListView.of(read, plan, book)
    rows = zip(read.channels, view.rows, strict=True)
    return {
        "inputs": [
            {"where": channel.where, "name": row.name, "numbers": row.numbers}
            | {"gear": list(row.gear), "guesses": list(row.guesses)}
            for channel, row in rows
            if channel not in plan.left
        ],
        "aside": [f"{where}: {text} ({why})" for where, text, why in view.skipped],
        "questions": [each.to_json() for each in (*read.questions, *plan.questions)],
        "guesses": list(view.guesses),
        "notes": [*read.notes, *plan.notes],
        "edits": [edit_to_json(each) for each in plan.edits],
    }


def _cables(rig: Rig, row: str, text: str) -> list[dict[str, str]]:
    """Cables that fit the last link of a row."""
    from levelhead.exchange.things.cable_words import cable_choices

    link = next(
        (each for each in rig.links for end in each.ports if end.rpartition(".")[0] == row), None
    )
    if link is None:
        return []
    ports = [rig.ports[end] for end in link.ports]
    ids = cable_choices(rig.book, ports, text)[:MOST_FOUND]
    return [{"value": each, "label": rig.book.entry(each).label} for each in ids]


def _refusal(what: str) -> EditError:
    return EditError(
        what, where="page", expected="a question that the page knows", remedy="Load the page again."
    )
