"""Pages of whole shows: an example, a copy of it, a file of the folder, a remedy done in it."""

from __future__ import annotations

from http import HTTPStatus
from pathlib import Path
from typing import Any, Final

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import BaseRoute, Route

from levelhead.errors import LevelheadError, ShowError
from levelhead.gear.book import GearBook
from levelhead.planning.check import check_show
from levelhead.show.document import ShowDocument, load_show, save_show
from levelhead.show.edits import Edit, apply
from levelhead.show.shipped import shipped_example
from levelhead.verdicts.told.finding import Finding, Remedy
from levelhead.web.access.door import person_of
from levelhead.web.files.shelf import Shelf
from levelhead.web.forms import form_fields
from levelhead.web.live.room import Room
from levelhead.web.live.rooms import Rooms
from levelhead.web.pages import refused, rendered
from levelhead.web.question import question_from_form
from levelhead.web.views.check import CheckView

__all__ = ["opened", "seen", "show_routes"]

LARGEST_FORM: Final = 32_768  # bytes
SEE_OTHER: Final = HTTPStatus.SEE_OTHER
_NEW: Final = "new"
_DONE: Final = "done"
_ADDED: Final = "added"
_SAID: Final = {
    _NEW: "The file is written. What it has to say stands below.",
    _DONE: "Done, and checked again.",
    _ADDED: "It is in the show now. What that makes of the whole stands below.",
}


def show_routes() -> list[BaseRoute]:
    """Pages around ``app.state.shelf`` and ``app.state.asker``."""
    return [
        Route("/example/{name}", show_example),
        Route("/begin", begin, methods=["POST"]),
        Route("/keep", keep, methods=["POST"]),
        Route("/keep/into", keep_into, methods=["POST"]),
        Route("/file/{name}", show_file),
        Route("/file/{name}/do", do_remedy, methods=["POST"]),
    ]


async def show_example(request: Request) -> Response:
    """An example: what it is, what is wrong in it, and how to begin with it."""
    try:
        example = shipped_example(request.path_params["name"])
    except ShowError as error:
        return refused(error, "/", HTTPStatus.NOT_FOUND)
    view = await run_in_threadpool(_checked, example.document, _book(request))
    return rendered(
        "checked.html", view=view, about=example.summary, example=example.name, name="", said="",
    )  # fmt: skip


async def begin(request: Request) -> Response:
    """A copy of an example, under a name of its own."""
    fields = await form_fields(request, LARGEST_FORM)
    name, example = fields.get("name", "").strip(), fields.get("example", "")
    try:
        _shelf(request).put(name, shipped_example(example).text)
    except ShowError as error:
        return refused(error, f"/example/{example}")
    return seen(name, _NEW)


async def keep(request: Request) -> Response:
    """The rig of a question, as answered, as a new show."""
    fields = await form_fields(request, LARGEST_FORM)
    name = fields.pop("name", "").strip()
    try:
        path = _shelf(request).path_of(name)
        question = question_from_form(fields)
        title = name.replace("-", " ").capitalize()
        text = await run_in_threadpool(request.app.state.asker.show_text, question, title)
        _shelf(request).put(path.stem, text)
    except LevelheadError as error:
        return refused(error, "/")
    return seen(name, _NEW)


async def keep_into(request: Request) -> Response:
    """The rig of a question, as answered, put into a show of the folder."""
    fields = await form_fields(request, LARGEST_FORM)
    name = fields.pop("show", "").strip()
    try:
        room, asker = await _open_room(request, name), request.app.state.asker
        question = question_from_form(fields)
        if room is not None:
            show = room.hand.opened.show
            await room.edit(
                await run_in_threadpool(asker.edits_into, question, show),
                person_of(request.scope, request.headers),
            )
            return opened(name)
        await run_in_threadpool(_put_into, _shelf(request).path_of(name), asker, question)
    except LevelheadError as error:
        return refused(error, "/")
    return seen(name, _ADDED)


async def show_file(request: Request) -> Response:
    """A show file of the folder, checked."""
    name = request.path_params["name"]
    try:
        document = load_show(_shelf(request).path_of(name))
        view = await run_in_threadpool(_checked, document, _book(request))
    except LevelheadError as error:
        return refused(error, "/")
    said = _SAID.get(request.query_params.get("after", ""), "")
    return rendered(
        "checked.html", view=view, about=f"{name}.yaml.", example="", name=name, said=said,
    )  # fmt: skip


async def do_remedy(request: Request) -> Response:
    """Do a remedy in the file: the one that is told now for that finding, in those words."""
    name = request.path_params["name"]
    fields = await form_fields(request, LARGEST_FORM)
    try:
        room = await _open_room(request, name)
        if room is not None:
            show = room.hand.opened.document
            await room.edit(
                await run_in_threadpool(_told, show, _book(request), fields),
                person_of(request.scope, request.headers),
            )
            return opened(name, "findings")
        await run_in_threadpool(_do, _shelf(request).path_of(name), _book(request), fields)
    except LevelheadError as error:
        return refused(error, f"/file/{name}")
    return seen(name, _DONE)


def seen(name: str, after: str) -> Response:
    """Off to the page of a file."""
    return RedirectResponse(f"/file/{name}?after={after}", SEE_OTHER)


def opened(name: str, view: str = "inputs") -> Response:
    """Off to the show itself, open to work on."""
    return RedirectResponse(f"/show/{name}#{view}", SEE_OTHER)


def _checked(document: ShowDocument, book: GearBook) -> CheckView:
    return CheckView.of(document.show, check_show(document.show, book, document))


def _put_into(path: Path, asker: Any, question: dict[str, Any]) -> None:
    document = load_show(path)
    edits = asker.edits_into(question, document.show)
    save_show(document.with_show(apply(document.show, edits)[0]), path)


def _do(path: Path, book: GearBook, fields: dict[str, str]) -> None:
    document = load_show(path)
    edits = _told(document, book, fields)
    save_show(document.with_show(apply(document.show, edits)[0]), path)


def _told(document: ShowDocument, book: GearBook, fields: dict[str, str]) -> tuple[Edit, ...]:
    """Edits of the remedy that a form names, as it is told now."""
    check = check_show(document.show, book, document)
    return tuple(_remedy(check.shown(include_fine=False), fields).edits)


def _remedy(findings: tuple[Finding, ...], fields: dict[str, str]) -> Remedy:
    for finding in findings:
        if (finding.code, finding.where) == (fields.get("code"), fields.get("where")):
            for remedy in finding.remedies:
                if remedy.do == fields.get("do"):
                    return remedy
    raise ShowError(
        "the show is not as it was when this was offered",
        where="the file",
        expected="the finding that the remedy is for",
        remedy="Look at it again; it may be mended already.",
    )


async def _open_room(request: Request, name: str) -> Room | None:
    """The room of a show that is being worked on: changes go there, where they can be undone."""
    rooms: Rooms = request.app.state.rooms
    return None if rooms.known(name) is None else await rooms.room(name)


def _shelf(request: Request) -> Shelf:
    shelf: Shelf = request.app.state.shelf
    return shelf


def _book(request: Request) -> Any:
    return request.app.state.shelf_book()
