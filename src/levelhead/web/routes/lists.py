"""A list that comes in: pasted or read from a file, shown as understood, built when told to."""

from __future__ import annotations

from dataclasses import dataclass, replace
from http import HTTPStatus
from typing import Final

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import PlainTextResponse, Response
from starlette.routing import BaseRoute, Route

from levelhead.errors import LevelheadError
from levelhead.exchange.lists import (
    ListPlan,
    ReadList,
    desk_choices,
    empty_show,
    list_show,
    plan_list,
    read_list,
)
from levelhead.gear.book import GearBook
from levelhead.show.edits import apply
from levelhead.show.model import Show
from levelhead.show.written.writing import show_text
from levelhead.web.files.shelf import Shelf
from levelhead.web.forms import body_of, form_fields
from levelhead.web.pages import refused, rendered
from levelhead.web.routes.shows import opened
from levelhead.web.views.lists import ListView, text_of_tables
from levelhead.web.views.pressed import in_the_app

__all__ = ["list_routes"]

LARGEST_LIST: Final = 400_000  # bytes of a pasted list, as a form sends it
LARGEST_WORKBOOK: Final = 5_000_000  # bytes
ANSWER_PREFIX: Final = "answer."
_NAME: Final = "list"


@dataclass(frozen=True, slots=True)
class _Typed:
    """What the form holds: the list, and answers to its questions."""

    text: str
    answers: dict[str, str]

    @classmethod
    def of(cls, fields: dict[str, str]) -> _Typed:
        """An answer typed in words goes before one that was picked; empty ones are none."""
        answers = {
            name.removeprefix(ANSWER_PREFIX): text.strip()
            for name, text in fields.items()
            if name.startswith(ANSWER_PREFIX) and text.strip()
        }
        return cls(fields.get("text", "").replace("\r\n", "\n"), answers)

    def understood(self, book: GearBook, name: str = _NAME) -> tuple[ReadList, ListPlan]:
        """The list, and what would be built of it."""
        read = read_list(self.text, name=name, book=book)
        return read, plan_list(read, None, self.answers, book=book)

    def built(self, book: GearBook, name: str) -> Show:
        """The show of the list, its gains at a place to begin with."""
        from levelhead.exchange.lists.gains import planned_gains  # what solves is loaded for it

        read, plan = self.understood(book, name)
        show = list_show(read, plan)
        return apply(show, planned_gains(Show(show.name), plan.edits, book))[0]


def list_routes() -> list[BaseRoute]:
    """The page of a list, its preview, and the show that is built of it."""
    return [
        Route("/list", show_form, methods=["GET"]),
        Route("/list", preview, methods=["POST"]),
        Route("/list/file", read_file, methods=["POST"]),
        Route("/list/build", build, methods=["POST"]),
        Route("/list/empty", begin_empty, methods=["POST"]),
    ]


async def show_form(request: Request) -> Response:
    """An empty box to paste into."""
    return _page(request, _Typed("", {}))


def _page(
    request: Request,
    typed: _Typed,
    view: ListView | None = None,
    refusal: LevelheadError | None = None,
    name: str = "",
) -> Response:
    """The box, with what it holds and what was understood of it."""
    desks = desk_choices(request.app.state.shelf_book())
    return rendered("list.html", typed=typed, view=view, refusal=refusal, name=name, desks=desks)


async def preview(request: Request) -> Response:
    """What was understood, what is guessed, what is asked; nothing is built."""
    typed = _Typed.of(await form_fields(request, LARGEST_LIST))
    book = request.app.state.shelf_book()
    try:
        read, plan = await run_in_threadpool(typed.understood, book)
        if typed.answers:
            read = read.answered(typed.answers)
    except LevelheadError as error:
        return _page(request, typed, await run_in_threadpool(_asked_again, typed, book), error)
    return _page(request, typed, ListView.of(read, plan, book))


def _asked_again(typed: _Typed, book: GearBook) -> ListView | None:
    """Every question of a list, for one of its answers was refused; none of what is no list."""
    try:
        return ListView.of(*replace(typed, answers={}).understood(book), book)
    except LevelheadError:
        return None


def _understood(typed: _Typed, book: GearBook) -> ListView | None:
    """What was understood with the answers; every question again where one is refused."""
    try:
        read, plan = typed.understood(book)
        read = read.answered(typed.answers) if typed.answers else read
    except LevelheadError:
        return _asked_again(typed, book)
    return ListView.of(read, plan, book)


async def read_file(request: Request) -> Response:
    """The rows of a file as text for the box; the page's script sends it as it is."""
    content = await body_of(request, LARGEST_WORKBOOK)
    name = request.query_params.get("name", _NAME)[:120]
    try:
        read = await run_in_threadpool(read_list, content, name=name)
    except LevelheadError as error:
        return PlainTextResponse(in_the_app(str(error)), 422)
    return PlainTextResponse(text_of_tables(read))


async def build(request: Request) -> Response:
    """A new show of what was understood; rows with open questions are left out."""
    fields = await form_fields(request, LARGEST_LIST)
    typed, name = _Typed.of(fields), fields.get("name", "").strip()
    shelf: Shelf = request.app.state.shelf
    try:
        path = shelf.path_of(name)
        built = await run_in_threadpool(typed.built, request.app.state.shelf_book(), name)
        shelf.put(path.stem, show_text(built))
    except LevelheadError as error:  # what was pasted and answered stays
        view = await run_in_threadpool(_understood, typed, request.app.state.shelf_book())
        page = _page(request, typed, view, error, name)
        page.status_code = HTTPStatus.UNPROCESSABLE_ENTITY
        return page
    return opened(name)


async def begin_empty(request: Request) -> Response:
    """A new show with a desk and nothing plugged in: its list is typed row by row."""
    fields = await form_fields(request, LARGEST_LIST)
    name, desk = fields.get("empty", "").strip(), fields.get("desk", "")
    shelf: Shelf = request.app.state.shelf
    try:
        title = shelf.path_of(name).stem.replace("-", " ").capitalize()
        shelf.put(name, show_text(empty_show(title, desk, request.app.state.shelf_book())))
    except LevelheadError as error:
        return refused(error, "/list")
    return opened(name)
