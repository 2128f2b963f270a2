"""The page of an open show and its socket."""

from __future__ import annotations

import asyncio
import contextlib
import json
import re
from typing import TYPE_CHECKING, Any, Final

from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import BaseRoute, Route, WebSocketRoute
from starlette.websockets import WebSocket, WebSocketDisconnect

from levelhead.errors import LevelheadError
from levelhead.web.access.door import person_of, right_of
from levelhead.web.access.passes import reach_words
from levelhead.web.live.people import Page, as_text
from levelhead.web.live.rooms import Rooms
from levelhead.web.pages import refused, rendered

if TYPE_CHECKING:
    from levelhead.web.live.room import Room

__all__ = ["live_routes"]

LARGEST_MESSAGE: Final = 1_000_000  # characters; a text of 128 channels has 30 thousand
_PAGE_ID: Final = re.compile(r"[0-9a-f]{8,32}")
_REVISION: Final = re.compile(r"[0-9]{1,12}")
_POLICY, _TOO_BIG, _TRY_AGAIN = 1008, 1009, 1013


def live_routes() -> list[BaseRoute]:
    """Page and socket of each show; the rooms are in ``app.state.rooms``."""
    return [
        Route("/show", show_latest),
        Route("/show/{name}", show_page),
        WebSocketRoute("/show/{name}/live", live),
    ]


async def show_latest(request: Request) -> Response:
    """On to the show that was opened last."""
    rooms: Rooms = request.app.state.rooms
    return RedirectResponse(f"/show/{rooms.latest}" if rooms.latest else "/")


async def show_page(request: Request) -> Response:
    """The page without its rows: those come by the socket, so that they are never old."""
    rooms: Rooms = request.app.state.rooms
    name = request.path_params["name"]
    known = rooms.known(name)
    if known is None and request.headers.get("sec-fetch-site") == "cross-site":
        return RedirectResponse("/")  # a link on another page opens nothing
    try:
        opened = known or (await rooms.room(name)).hand.opened
    except LevelheadError as error:
        return refused(error, "/")
    rooms.latest = name
    reach = reach_words(request.app.state.passes)
    return rendered("build.html", name=opened.show.name, file=name, reach=reach)


async def live(websocket: WebSocket) -> None:
    """One page: its messages in, what happens out."""
    rooms: Rooms = websocket.app.state.rooms
    page_id = websocket.query_params.get("page", "")
    room = await _room_of(rooms, websocket.path_params["name"])
    if room is None or not _PAGE_ID.fullmatch(page_id):
        await websocket.close(_POLICY)
        return
    await websocket.accept()
    page = _page_of(websocket, page_id)
    room.came(page)
    sending = asyncio.create_task(_send(websocket, page))
    try:
        await _receive(websocket, room, page)
    except WebSocketDisconnect:
        pass
    finally:
        room.went(page)
        sending.cancel()
        with contextlib.suppress(asyncio.CancelledError, WebSocketDisconnect, RuntimeError):
            await sending


def _page_of(websocket: WebSocket, page_id: str) -> Page:
    """Who this is, what it may do, and what it knew when its last socket ended."""
    seen = websocket.query_params.get("seen", "")
    return Page(
        page_id,
        person_of(websocket.scope, websocket.headers),
        right_of(websocket.scope) == "change",
        websocket.query_params.get("run", ""),
        int(seen) if _REVISION.fullmatch(seen) else -1,
    )


async def _room_of(rooms: Rooms, name: str) -> Room | None:
    try:
        return await rooms.room(name)
    except LevelheadError:
        return None


async def _receive(websocket: WebSocket, room: Room, page: Page) -> None:
    while True:
        text = await websocket.receive_text()
        if len(text) > LARGEST_MESSAGE:
            await websocket.close(_TOO_BIG)
            return
        message = _parsed(text)
        if message is None:
            await websocket.close(_POLICY)
            return
        room.submit(page, message)


def _parsed(text: str) -> dict[str, Any] | None:
    try:
        message = json.loads(text)
    except (ValueError, RecursionError):
        return None
    return message if isinstance(message, dict) else None


async def _send(websocket: WebSocket, page: Page) -> None:
    while True:
        news = await page.outbox.get()
        if news is None:
            await websocket.close(_TRY_AGAIN)
            return
        await websocket.send_text(as_text(news))
