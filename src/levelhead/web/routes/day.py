"""Pages of the show day: one card after another."""

from __future__ import annotations

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import BaseRoute, Route

from levelhead.errors import LevelheadError
from levelhead.web.live.rooms import Rooms
from levelhead.web.pages import refused, rendered

__all__ = ["day_routes"]


def day_routes() -> list[BaseRoute]:
    """Pages of the shows in ``app.state.rooms``; their socket is that of the show."""
    return [Route("/show/{name}/day", show_day)]


async def show_day(request: Request) -> Response:
    """The page without its cards: those come by the socket, so that they are never old."""
    name = request.path_params["name"]
    rooms: Rooms = request.app.state.rooms
    try:
        room = await rooms.room(name)
    except LevelheadError as error:
        return refused(error, "/")
    return rendered("day.html", name=room.hand.opened.show.name, file=name)
