"""Page of gains and sound check of an open show: looked at, taken over, readings typed in."""

from __future__ import annotations

from http import HTTPStatus
from typing import Final

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import BaseRoute, Route

from levelhead.errors import LevelheadError
from levelhead.exchange.paperwork.work import Paperwork
from levelhead.web.access.door import person_of
from levelhead.web.forms import form_fields
from levelhead.web.live.room import Room
from levelhead.web.live.rooms import Rooms
from levelhead.web.pages import refused, rendered
from levelhead.web.views.sound_check import SoundCheckView, facts_of, work_of

__all__ = ["sound_check_routes"]

LARGEST_FORM: Final = 8_192  # bytes
MOST_READINGS: Final = 32
LONGEST_READING: Final = 120


def sound_check_routes() -> list[BaseRoute]:
    """Pages of the shows in ``app.state.rooms``."""
    return [
        Route("/show/{name}/sound-check", show_sound_check),
        Route("/show/{name}/sound-check/take-over", take_over, methods=["POST"]),
        Route("/show/{name}/sound-check/seen", take_facts, methods=["POST"]),
    ]


async def show_sound_check(request: Request) -> Response:
    """The plan beside what is set, the order and the limiters; ``?seen=`` adds readings."""
    name = request.path_params["name"]
    seen = _readings(request.query_params.get("seen", ""))
    try:
        room = await _room(request, name)
        work = await run_in_threadpool(_work, room)
        view = await run_in_threadpool(SoundCheckView.of, work, seen)
    except LevelheadError as error:
        back = f"/show/{name}/sound-check" if seen else "/"
        return refused(error, back)
    return rendered("sound_check.html", view=view, file=name, seen="\n".join(seen))


async def take_over(request: Request) -> Response:
    """Every control where the plan has it, as one step that can be undone."""
    name = request.path_params["name"]
    await form_fields(request, LARGEST_FORM)
    try:
        room = await _room(request, name)
        work = await run_in_threadpool(_work, room)
        plan = await run_in_threadpool(lambda: work.gain_plan)
        if plan.edits:
            await room.edit(plan.edits, person_of(request.scope, request.headers))
    except LevelheadError as error:
        return refused(error, f"/show/{name}/sound-check")
    return RedirectResponse(f"/show/{name}/sound-check", HTTPStatus.SEE_OTHER)


async def take_facts(request: Request) -> Response:
    """What readings say written into the show, and the gains turned, as one step."""
    name = request.path_params["name"]
    fields = await form_fields(request, LARGEST_FORM)
    try:
        room = await _room(request, name)
        work = await run_in_threadpool(_work, room)
        edits = await run_in_threadpool(facts_of, work, _readings(fields.get("seen", "")))
        if edits:
            await room.edit(edits, person_of(request.scope, request.headers))
    except LevelheadError as error:
        return refused(error, f"/show/{name}/sound-check")
    return RedirectResponse(f"/show/{name}/sound-check", HTTPStatus.SEE_OTHER)


async def _room(request: Request, name: str) -> Room:
    rooms: Rooms = request.app.state.rooms
    return await rooms.room(name)


def _work(room: Room) -> Paperwork:
    return work_of(room.hand.opened.show, room.hand.book)


def _readings(typed: str) -> list[str]:
    """Lines that somebody typed; empty ones count for nothing."""
    lines = [line.strip()[:LONGEST_READING] for line in typed.splitlines()]
    return [line for line in lines if line][:MOST_READINGS]
