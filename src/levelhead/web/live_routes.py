"""The page of an open show and its socket."""

from __future__ import annotations

import asyncio
import contextlib
import json
import re
from typing import Any, Final

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import BaseRoute, Route, WebSocketRoute
from starlette.websockets import WebSocket, WebSocketDisconnect

from levelhead.web.live_room import Page, Room
from levelhead.web.pages import rendered

__all__ = ["live_routes"]

LARGEST_MESSAGE: Final = 1_000_000  # characters; a text of 128 channels has 30 thousand
_PAGE_ID: Final = re.compile(r"[0-9a-f]{8,32}")
_POLICY, _TOO_BIG, _TRY_AGAIN = 1008, 1009, 1013


def live_routes() -> list[BaseRoute]:
    """Page and socket; the room is in ``app.state.room``."""
    return [Route("/show", show_page), WebSocketRoute("/show/live", live)]


async def show_page(request: Request) -> Response:
    """The page without its rows: those come by the socket, so that they are never old."""
    room: Room = request.app.state.room
    return rendered("build.html", name=room.hand.opened.show.name)


async def live(websocket: WebSocket) -> None:
    """One page: its messages in, what happens out."""
    room: Room = websocket.app.state.room
    page_id = websocket.query_params.get("page", "")
    if not _PAGE_ID.fullmatch(page_id):
        await websocket.close(_POLICY)
        return
    await websocket.accept()
    page = room.came(page_id)
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
        await websocket.send_text(json.dumps(news, ensure_ascii=False, separators=(",", ":")))
