"""Paper of an open show: what was made, what changed since, and those sheets made anew."""

from __future__ import annotations

import asyncio
import threading
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import UTC, datetime
from typing import Final
from urllib.parse import urlencode

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import BaseRoute, Route

from levelhead.errors import LevelheadError, PaperError
from levelhead.exchange.paperwork.named import Named
from levelhead.exchange.printed.as_now import hows_of, usual_how
from levelhead.exchange.printed.changes_sheet import changed_sheet, exchange_lines, time_words
from levelhead.exchange.printed.made import (
    Paper,
    remember,
    since_printed,
    stale_names,
    wanted_pages,
)
from levelhead.exchange.printed.since import Since
from levelhead.exchange.sheet.values import Sheet, SheetHead
from levelhead.exchange.sheets.pack import PLANS, USUAL
from levelhead.show.fingerprint import fingerprint
from levelhead.show.history.printed import How, Printed, last_printed
from levelhead.show.model import Show
from levelhead.web.access.door import person_of
from levelhead.web.forms import form_fields
from levelhead.web.live import tasks as live_tasks
from levelhead.web.live.paper import Made, Pages, Press
from levelhead.web.live.room import Room
from levelhead.web.live.rooms import Rooms
from levelhead.web.pages import refused, rendered

__all__ = ["printed_routes"]

LARGEST_FORM: Final = 4_096  # bytes
LOOK_EVERY_S: Final = 0.3  # whether the tab that waits for paper is still open


def printed_routes() -> list[BaseRoute]:
    """Pages of the shows in ``app.state.rooms``."""
    return [
        Route("/show/{name}/printed", show_printed),
        Route("/show/{name}/printed", print_sheets, methods=["POST"]),
        Route("/show/{name}/printed/waiting", wait_for_trials),
    ]


async def show_printed(request: Request) -> Response:
    """What was printed, what changed since, and a button for what is out of date."""
    name = request.path_params["name"]
    try:
        room = await _room(request, name)
        found = await _since(room, _press(request))
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
        exchange=exchange_lines,
        trying=room.results.trying,
    )


async def print_sheets(request: Request) -> Response:
    """The sheets of a form as a PDF, remembered; ``changed`` are pages that are out of date.

    Where one tells ways out that are still being tried, it is said how far that is; ``now`` prints
    without the rest.
    """
    name = request.path_params["name"]
    fields = await form_fields(request, LARGEST_FORM)
    try:
        room, press = await _room(request, name), _press(request)
        names: Sequence[str] = [each for each in PLANS if f"sheet-{each}" in fields] or USUAL
        asked = _Asked(dict.fromkeys(names, How()))
        if "changed" in fields:
            asked = _changed(room.hand.opened.show, await _since(room, press))
        has_trials = any(PLANS[each].has_trials for each in asked.hows)
        if has_trials and "now" not in fields and room.results.trying is not None:
            return RedirectResponse(_waiting(name, fields), status_code=303)
        pdf = await _made(request, room, asked, press)
    except LevelheadError as error:
        return refused(error, f"/show/{name}/printed")
    headers = {"Content-Disposition": f'inline; filename="{_file_name(name)}.pdf"'}
    return Response(pdf, media_type="application/pdf", headers=headers)


async def _made(request: Request, room: Room, asked: _Asked, press: Press) -> bytes:
    """Sheets made and drawn where it is solved, set apart, then remembered."""
    revision = room.hand.opened.revision
    made: Made = await room.results.ask(
        live_tasks.sheets_made, press, asked.hows, list(asked.before), revision=revision
    )
    pdf, pages = await _printed(request, press, asked, made)
    ours = {name: pages[name] for name in made.contents}
    paper = Paper(made.contents, asked.hows, ours, asked.kept)
    by = person_of(request.scope, request.headers)
    await run_in_threadpool(_remember, room, paper, by)
    return pdf


async def _printed(
    request: Request, press: Press, asked: _Asked, made: Made
) -> tuple[bytes, Pages]:
    """The PDF, while the tab that waits for it is open; closing that stops it."""
    is_gone = threading.Event()
    printing = asyncio.create_task(
        run_in_threadpool(press.pdf, made.prepared, asked.only, lambda: not is_gone.is_set())
    )
    while not (await asyncio.wait([printing], timeout=LOOK_EVERY_S))[0]:
        if await request.is_disconnected():
            is_gone.set()
    return await printing


def _waiting(name: str, fields: Mapping[str, str]) -> str:
    wanted = [each for each in fields if each == "changed" or each.removeprefix("sheet-") in PLANS]
    return f"/show/{name}/printed/waiting?{urlencode(dict.fromkeys(wanted, '1'))}"


async def wait_for_trials(request: Request) -> Response:
    """How far the trying of ways out is; once it is over, the form prints by itself."""
    name = request.path_params["name"]
    try:
        room = await _room(request, name)
    except LevelheadError as error:
        return refused(error, "/")
    wanted = [each for each in request.query_params if each.removeprefix("sheet-") in PLANS]
    wanted += ["changed"] if "changed" in request.query_params else []
    return rendered(
        "printing.html",
        title=room.hand.opened.show.name,
        file=name,
        at=room.results.trying,
        wanted=wanted,
    )


@dataclass(frozen=True, slots=True)
class _Asked:
    """Sheets to print and how, what comes before them, and of which a few pages are enough."""

    hows: Mapping[str, How]
    before: Sequence[Sheet] = ()
    only: Mapping[str, Sequence[int]] = field(default_factory=dict)
    kept: Mapping[str, Printed] = field(default_factory=dict)


def _changed(show: Show, found: Sequence[Since]) -> _Asked:
    """Pages that are out of date, and before them what changed and what paper goes."""
    head = SheetHead(show.name, show.date, show.version, fingerprint(show))
    sheets = [sheet.printed for since in found for sheet in since.sheets]
    stale = [each for each in sheets if each.name in stale_names(found)]
    only = wanted_pages(found)
    return _Asked(
        hows_of(stale, usual_how(sheets).page),
        [changed_sheet(head, found)],
        only,
        {each.name: each for each in stale if each.name in only},
    )


def _press(request: Request) -> Press:
    press: Press | None = request.app.state.press
    if press is None:
        raise PaperError(
            "this program prints nothing",
            where="paper",
            expected="the app as levelhead open starts it",
            remedy="Start the program anew.",
        )
    return press


def _file_name(name: str) -> str:
    return "".join(each for each in name if each.isalnum() or each in "-_") or "show"


async def _room(request: Request, name: str) -> Room:
    rooms: Rooms = request.app.state.rooms
    return await rooms.room(name)


async def _since(room: Room, press: Press) -> tuple[Since, ...]:
    """What was printed beside what would be printed now; sheets are made where it is solved."""
    opened = room.hand.opened
    printed = await run_in_threadpool(last_printed, opened.history)
    if not printed:
        return ()
    size = usual_how(printed).page
    now = await room.results.ask(
        live_tasks.beside_printed, press, list(printed), size, revision=opened.revision
    )
    found = await run_in_threadpool(since_printed, opened.history, opened.show, now)
    named = Named(opened.show, room.hand.rig)
    return tuple(each.said(named.sentence) for each in found)


def _remember(room: Room, paper: Paper, person: str) -> None:
    opened = room.hand.opened
    text, at = opened.document.text(), datetime.now(UTC)
    remember(opened.history, opened.show, text, paper, at=at, by=person)
