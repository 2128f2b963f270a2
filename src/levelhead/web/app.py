"""The local app: one page that asks one question and shows its answer.

One question needs no open channel, so it goes out by a plain POST and comes back as a piece of the
page; without scripts the same form works by its address. The answers come from an `Asker`; nothing
is computed or judged here.
"""

from __future__ import annotations

import json
from collections.abc import Sequence
from functools import cache
from http import HTTPStatus
from pathlib import Path
from typing import Any, Final, Protocol

from jinja2 import Environment, PackageLoader, StrictUndefined
from starlette.applications import Starlette
from starlette.concurrency import run_in_threadpool
from starlette.exceptions import HTTPException
from starlette.middleware import Middleware
from starlette.middleware.trustedhost import TrustedHostMiddleware
from starlette.requests import Request
from starlette.responses import HTMLResponse, JSONResponse, Response
from starlette.routing import Mount, Route
from starlette.staticfiles import StaticFiles

from levelhead.drawing.marks import MARKS, badge, mark_of
from levelhead.errors import AskError, LevelheadError
from levelhead.web.answer_view import AnswerView
from levelhead.web.figures import breakable, metres
from levelhead.web.guard import LOOPBACK_HOSTS, OwnPagesOnly
from levelhead.web.question import (
    LONGEST_TEXT,
    SETTING_PREFIX,
    Question,
    question_from_form,
    question_from_json,
)

LARGEST_BODY: Final = 16_384  # bytes of one question
MOST_CANDIDATES: Final = 12
SIDES: Final = ("from", "to")
STATIC_FOLDER: Final = Path(__file__).parent / "static"


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


def create_app(asker: Asker) -> Starlette:
    """The app around one asker, ready to be served on this machine."""
    app = Starlette(
        routes=[
            Route("/", show_page),
            Route("/ask", ask, methods=["POST"]),
            Route("/candidates", find_candidates),
            Mount("/static", StaticFiles(directory=STATIC_FOLDER)),
        ],
        middleware=[
            Middleware(
                TrustedHostMiddleware, allowed_hosts=list(LOOPBACK_HOSTS), www_redirect=False
            ),
            Middleware(OwnPagesOnly),
        ],
    )
    app.state.asker = asker
    return app


async def show_page(request: Request) -> Response:
    """The page; with ``?from=...&to=...`` in its address it shows the answer too."""
    fields = dict(request.query_params)
    if not fields.get("from") and not fields.get("to"):
        return _rendered("page.html", request={}, answer=None, refusal=None)
    try:
        question = question_from_form(fields)
        answer = await _answered(request, question)
    except LevelheadError as error:
        return _rendered("page.html", request=fields, answer=None, refusal=error)
    return _rendered(
        "page.html", request=question, answer=AnswerView.from_json(answer), refusal=None
    )


async def ask(request: Request) -> Response:
    """Answer a question sent as JSON: as a piece of the page, or as JSON."""
    wants_page = "text/html" in request.headers.get("accept", "")
    try:
        question = question_from_json(await _json_body(request))
        answer = await _answered(request, question)
    except LevelheadError as error:
        if wants_page:
            return _rendered("refusal.html", refusal=error)  # the page says it; it is no fault
        parts = {name: getattr(error, name) for name in ("what", "where", "expected", "remedy")}
        return JSONResponse({"error": parts}, HTTPStatus.UNPROCESSABLE_ENTITY)
    if wants_page:
        return _rendered("answer.html", request=question, answer=AnswerView.from_json(answer))
    return JSONResponse(answer)


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
    body = bytearray()
    async for part in request.stream():
        body += part
        if len(body) > LARGEST_BODY:
            raise HTTPException(HTTPStatus.REQUEST_ENTITY_TOO_LARGE, "a question is short")
    try:
        return json.loads(body)
    except ValueError as error:
        raise AskError(
            "the text is no JSON",
            where="request",
            expected="an object with from and to",
            remedy="Reload the page and ask again.",
        ) from error


def _rendered(template: str, **values: Any) -> HTMLResponse:
    return HTMLResponse(_pages().get_template(template).render(values))


@cache
def _pages() -> Environment:
    """Templates; a name that is missing is an error, and every text is escaped."""
    pages = Environment(
        loader=PackageLoader("levelhead.web"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    pages.filters["breakable"] = breakable
    pages.globals.update(
        badge=badge,
        mark_of=mark_of,
        marks=MARKS,
        setting_prefix=SETTING_PREFIX,
        longest=LONGEST_TEXT,
        metres=metres,
    )
    return pages
