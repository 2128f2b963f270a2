"""The walk along a channel as a page: plain links and one form, so that it works on any phone."""

from __future__ import annotations

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import BaseRoute, Route

from levelhead.errors import LevelheadError
from levelhead.web.live.rooms import Rooms
from levelhead.web.pages import refused, rendered
from levelhead.web.views.walk import WalkAsked, WalkView

__all__ = ["walk_routes"]

_MOST_ANSWERS = 64
_LONGEST = 120


def walk_routes() -> list[BaseRoute]:
    """Pages of the shows in ``app.state.rooms``."""
    return [Route("/show/{name}/walk", show_walk)]


async def show_walk(request: Request) -> Response:
    """``?at=desk.ch3.mic&symptom=silent&seen=3=right&seen=4=-40``; without a channel a choice."""
    name = request.path_params["name"]
    rooms: Rooms = request.app.state.rooms
    asked = _asked(request)
    try:
        room = await rooms.room(name)
        show, book = room.hand.opened.show, room.hand.book
        view = await run_in_threadpool(WalkView.of, show, book, asked)
    except LevelheadError as error:
        back = f"/show/{name}/walk" if asked.at else "/"
        return refused(error, back)
    return rendered("walk.html", view=view, file=name)


def _asked(request: Request) -> WalkAsked:
    given = request.query_params
    seen = [each[:_LONGEST] for each in given.getlist("seen")[:_MOST_ANSWERS]]
    stop, value = given.get("stop", ""), given.get("value", "").strip()
    if stop and value:  # the form of a reading: the field is put behind the answers so far
        sign = "-" if given.get("sign") == "-" and value[:1] not in "+-\N{MINUS SIGN}" else ""
        seen.append(f"{stop[:4]}={sign}{value}"[:_LONGEST])
    return WalkAsked(
        at=given.get("at", "")[:_LONGEST],
        symptom=given.get("symptom", "silent")[:_LONGEST],
        to=given.get("to", "")[:_LONGEST] or None,
        seen=tuple(seen),
    )
