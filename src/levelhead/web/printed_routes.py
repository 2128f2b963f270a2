"""Paper of an open show: what was made, what changed since, and those sheets made anew."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import UTC, datetime
from typing import Final

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import BaseRoute, Route

from levelhead.errors import LevelheadError, PaperError
from levelhead.exchange.changes_sheet import changes_sheet, group_words, time_words
from levelhead.exchange.paper_made import (
    printed_names,
    remember,
    since_printed,
    stale_names,
)
from levelhead.exchange.sheet import Sheet, SheetHead
from levelhead.exchange.sheets import PLANS, USUAL
from levelhead.exchange.since_printed import Since
from levelhead.show.fingerprint import fingerprint
from levelhead.show.model import Show
from levelhead.web import live_tasks
from levelhead.web.door import person_of
from levelhead.web.forms import form_fields
from levelhead.web.live_paper import Press
from levelhead.web.live_room import Room
from levelhead.web.live_rooms import Rooms
from levelhead.web.pages import refused, rendered

__all__ = ["printed_routes"]

LARGEST_FORM: Final = 4_096  # bytes


def printed_routes() -> list[BaseRoute]:
    """Pages of the shows in ``app.state.rooms``."""
    return [
        Route("/show/{name}/printed", show_printed),
        Route("/show/{name}/printed", print_sheets, methods=["POST"]),
    ]


async def show_printed(request: Request) -> Response:
    """What was printed, what changed since, and a button for what is out of date."""
    name = request.path_params["name"]
    try:
        room = await _room(request, name)
        found = await _since(room)
    except LevelheadError as error:
        return refused(error, "/")
    show = room.hand.opened.show
    return rendered(
        "printed.html",
        title=show.name,
        file=name,
        now=fingerprint(show),
        found=found,
        stale=stale_names(found),
        plans=[(plan, plan.name in USUAL) for plan in PLANS.values()],
        when=time_words,
    )


async def print_sheets(request: Request) -> Response:
    """The sheets of a form as a PDF, remembered; ``changed`` are those that are out of date."""
    name = request.path_params["name"]
    fields = await form_fields(request, LARGEST_FORM)
    try:
        room, press = await _room(request, name), _press(request)
        show, before = room.hand.opened.show, list[Sheet]()
        names: Sequence[str] = [each for each in PLANS if f"sheet-{each}" in fields] or USUAL
        if "changed" in fields:
            found = await _since(room)
            names, before = stale_names(found), [_changes(show, found)]
        revision = room.hand.opened.revision
        pdf, contents = await room.results.ask(
            live_tasks.pressed, press, list(names), before, revision=revision
        )
        by = person_of(request.scope, request.headers)
        await run_in_threadpool(_remember, room, contents, by)
    except LevelheadError as error:
        return refused(error, f"/show/{name}/printed")
    headers = {"Content-Disposition": f'inline; filename="{_file_name(name)}.pdf"'}
    return Response(pdf, media_type="application/pdf", headers=headers)


def _changes(show: Show, found: Sequence[Since]) -> Sheet:
    """The changes of all states that stale sheets were made of."""
    state = fingerprint(show)
    head = SheetHead(show.name, show.date, show.version, state)
    groups = [(group_words(each), each.changes) for each in found if each.is_stale]
    return changes_sheet(head, groups, f"What changed up to state {state}.")


def _press(request: Request) -> Press:
    press: Press | None = request.app.state.press
    if press is None:
        raise PaperError(
            "this program prints nothing",
            where="paper",
            expected="the app as levelhead open starts it",
            remedy="Print with: levelhead paper SHOW -o FILE.pdf",
        )
    return press


def _file_name(name: str) -> str:
    return "".join(each for each in name if each.isalnum() or each in "-_") or "show"


async def _room(request: Request, name: str) -> Room:
    rooms: Rooms = request.app.state.rooms
    return await rooms.room(name)


async def _since(room: Room) -> tuple[Since, ...]:
    """What was printed beside what would be printed now; sheets are made where it is solved."""
    opened = room.hand.opened
    names = await run_in_threadpool(printed_names, opened.history)
    if not names:
        return ()
    made = await room.results.ask(live_tasks.made, list(names), revision=opened.revision)
    return await run_in_threadpool(since_printed, opened.history, opened.show, made)


def _remember(room: Room, contents: Mapping[str, str], person: str) -> None:
    opened = room.hand.opened
    text, at = opened.document.text(), datetime.now(UTC)
    remember(opened.history, opened.show, text, contents, at=at, by=person)
