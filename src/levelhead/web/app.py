"""The local app: one page that asks one question and shows its answer.

One question needs no open channel, so it goes out by a plain POST and comes back as a piece of the
page; without scripts the same form works by its address. The answers come from an `Asker`; nothing
is computed or judged here.
"""

from __future__ import annotations

import asyncio
import json
from collections.abc import AsyncIterator, Callable, Sequence
from contextlib import asynccontextmanager, suppress
from functools import partial
from http import HTTPStatus
from typing import TYPE_CHECKING, Any, Final, Protocol

from starlette.applications import Starlette
from starlette.concurrency import run_in_threadpool
from starlette.exceptions import HTTPException
from starlette.middleware import Middleware
from starlette.middleware.trustedhost import TrustedHostMiddleware
from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import BaseRoute, Mount, Route

from levelhead.errors import AskError, LevelheadError
from levelhead.web.access.door import Door, door_routes
from levelhead.web.access.guard import LOOPBACK_HOSTS, OwnPagesOnly
from levelhead.web.access.passes import Passes
from levelhead.web.files.kept_files import KeptFiles
from levelhead.web.forms import body_of
from levelhead.web.later import LaterPages
from levelhead.web.live.ready import get_ready
from levelhead.web.live.rooms import Rooms
from levelhead.web.live.routes import live_routes
from levelhead.web.pages import rendered
from levelhead.web.question import (
    LONGEST_TEXT,
    Question,
    question_from_form,
    question_from_json,
)

if TYPE_CHECKING:
    from levelhead.gear.book import GearBook
    from levelhead.planning.asked.choices import Choices
    from levelhead.show.edits import Edit
    from levelhead.show.model import Show
    from levelhead.show.opened.open_show import OpenShow
    from levelhead.web.files.shelf import Shelf
    from levelhead.web.live.room import Room
    from levelhead.web.views.start import StartView

LARGEST_BODY: Final = 16_384  # bytes of one question
MOST_CANDIDATES: Final = 12
LONGEST_WAIT_S: Final = 10.0  # for the first verdict; who asks before loads what it takes
SIDES: Final = ("from", "to")


class Candidate(Protocol):
    """One thing that a typed text may mean."""

    @property
    def address(self) -> str:
        """What the question calls it."""

    @property
    def label(self) -> str:
        """What people call it."""

    @property
    def score(self) -> float:
        """How well it fits; the best comes first."""


class Asker(Protocol):
    """Whatever can answer: the app's only door to the rest of the program."""

    def find_candidates(self, text: str, side: str, /) -> Sequence[Candidate]:
        """Gear whose output ("from") or input ("to") the text may mean, best first."""

    def answer(self, request: Question, /) -> dict[str, Any]:
        """Answer from, to, cable, length_m, at and settings, as the JSON of the ask command."""

    def choices(self, given: dict[str, Any], /) -> Choices:
        """What an answer leaves to choose otherwise."""

    def show_text(self, request: Question, title: str, /) -> str:
        """The rig of a question, as answered, as the text of a show file."""

    def edits_into(self, request: Question, show: Show, /) -> Sequence[Edit]:
        """Edits that put the same rig into a show."""


def create_app(
    asker: Asker,
    room: Room | OpenShow | None = None,
    *,
    shelf: Shelf | None = None,
    book: Callable[[], GearBook] | None = None,
    gear: str | None = None,
    passes: Passes | None = None,
) -> Starlette:
    """The app around one asker; with a gear book, a folder of shows; with a room, an open show.

    A show that was only read gets its room while its page is being fetched; ``book`` is called
    when a gear book is needed. Shows of the folder are opened when somebody asks for them, with
    the user's own entries of ``gear``. With passes, other devices may come in.
    ``app.state.press`` makes a PDF of sheets, where there is one.
    """
    has_shows = shelf is not None and book is not None
    rooms = Rooms(room, shelf if has_shows else None, gear)
    later = LaterPages(partial(_later_routes, has_shows=has_shows, has_show=room is not None))
    app = Starlette(
        routes=[
            Route("/", show_page),
            Route("/ask", ask, methods=["POST"]),
            Route("/candidates", find_candidates),
            *door_routes(),
            *(live_routes() if has_shows or room is not None else ()),
            Mount("/static", KeptFiles()),
            Mount("/", later),
        ],
        middleware=[
            Middleware(
                TrustedHostMiddleware,
                allowed_hosts=[*LOOPBACK_HOSTS, *(() if passes is None else passes.hosts)],
                www_redirect=False,
            ),
            Middleware(OwnPagesOnly),
            Middleware(Door, passes=passes),
        ],
        lifespan=lambda _: _life(rooms, later),
    )
    app.state.asker, app.state.rooms, app.state.passes = asker, rooms, passes
    app.state.press = None
    app.state.names = dict[str, str]()  # of devices that came in, in this run of the program
    app.state.shelf, app.state.shelf_book = (shelf, book) if has_shows else (None, None)
    return app


def _later_routes(*, has_shows: bool, has_show: bool) -> list[BaseRoute]:
    """Pages that need more than a show on the screen does."""
    from levelhead.web.routes.day import day_routes
    from levelhead.web.routes.lists import list_routes
    from levelhead.web.routes.printed import printed_routes
    from levelhead.web.routes.shows import show_routes
    from levelhead.web.routes.sound_check import sound_check_routes
    from levelhead.web.routes.walk import walk_routes

    of_shows = (*show_routes(), *list_routes()) if has_shows else ()
    of_open = (*sound_check_routes(), *day_routes(), *walk_routes(), *printed_routes())
    return [*of_shows, *(of_open if has_shows or has_show else ())]


@asynccontextmanager
async def _life(rooms: Rooms, later: LaterPages) -> AsyncIterator[None]:
    """Rooms are open until the app ends; once a page is there, the rest is loaded."""
    async with rooms.open():
        loading = asyncio.create_task(_load_when_quiet(rooms, later))
        yield
        loading.cancel()


async def _load_when_quiet(rooms: Rooms, later: LaterPages) -> None:
    """The first verdict goes before: it is waited for, and there may be no more than two cores."""
    with suppress(TimeoutError):
        waited_for = rooms.first_verdict() if rooms.names else asyncio.sleep(LONGEST_WAIT_S)
        async with asyncio.timeout(LONGEST_WAIT_S):
            await waited_for
    await asyncio.to_thread(get_ready)
    await later.load()


async def show_page(request: Request) -> Response:
    """The page; with ``?from=...&to=...`` in its address it shows the answer too."""
    fields = dict(request.query_params)
    if not fields.get("from") and not fields.get("to"):
        return rendered("page.html", **_nothing_asked(request), start=_start(request))
    try:
        question = question_from_form(fields)
        shown = await _shown(request, question)
    except LevelheadError as error:
        values = {**_nothing_asked(request), "request": fields, "refusal": error}
        return rendered("page.html", **values, start=None)
    return rendered("page.html", **shown, refusal=None, start=None)


async def ask(request: Request) -> Response:
    """Answer a question sent as JSON: as a piece of the page, or as JSON."""
    wants_page = "text/html" in request.headers.get("accept", "")
    try:
        question = question_from_json(await _json_body(request))
        if wants_page:
            return rendered("answer.html", **await _shown(request, question))
        return JSONResponse(await _answered(request, question))
    except LevelheadError as error:
        if wants_page:
            return rendered("refusal.html", refusal=error)  # the page says it; it is no fault
        parts = {name: getattr(error, name) for name in ("what", "where", "expected", "remedy")}
        return JSONResponse({"error": parts}, HTTPStatus.UNPROCESSABLE_ENTITY)


async def _shown(request: Request, question: Question) -> dict[str, Any]:
    """What the templates of an answer need."""
    from levelhead.web.views.answer import AnswerView

    answer = await _answered(request, question)
    asker: Asker = request.app.state.asker
    return {
        "request": question,
        "answer": AnswerView.from_json(answer),
        "choices": asker.choices(answer),
        **_keeping(request),
    }


def _nothing_asked(request: Request) -> dict[str, Any]:
    nothing: dict[str, Any] = {"request": {}, "answer": None, "refusal": None, "choices": None}
    return {**nothing, **_keeping(request)}


def _keeping(request: Request) -> dict[str, Any]:
    """Whether an answer can be kept, and the shows that it may go into."""
    shelf = request.app.state.shelf
    return {"may_keep": shelf is not None, "shows": () if shelf is None else shelf.shows()}


def _start(request: Request) -> StartView | None:
    from levelhead.web.views.start import StartView

    state = request.app.state
    return None if state.shelf is None else StartView.of(state.shelf, state.rooms.names)


async def find_candidates(request: Request) -> Response:
    """What a half-typed text may mean."""
    text = request.query_params.get("text", "").strip()[:LONGEST_TEXT]
    side = request.query_params.get("side", "")
    if side not in SIDES:
        raise HTTPException(HTTPStatus.BAD_REQUEST, "side is from or to")
    asker: Asker = request.app.state.asker
    found = await run_in_threadpool(asker.find_candidates, text, side)
    return JSONResponse(
        [{"address": one.address, "label": one.label} for one in found[:MOST_CANDIDATES]]
    )


async def _answered(request: Request, question: Question) -> dict[str, Any]:
    """Ask in another thread, so that a long answer holds up no other page."""
    asker: Asker = request.app.state.asker
    return await run_in_threadpool(asker.answer, question)


async def _json_body(request: Request) -> Any:
    """The body as JSON, refused when it is large or something else."""
    if request.headers.get("content-type", "").partition(";")[0] != "application/json":
        raise HTTPException(HTTPStatus.UNSUPPORTED_MEDIA_TYPE, "send application/json")
    body = await body_of(request, LARGEST_BODY)
    try:
        return json.loads(body)
    except ValueError as error:
        raise AskError(
            "the text is no JSON",
            where="request",
            expected="an object with from and to",
            remedy="Reload the page and ask again.",
        ) from error
