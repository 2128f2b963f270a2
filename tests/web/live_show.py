"""A show on disk and its app in process, for tests of the page that builds."""

from __future__ import annotations

from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from starlette.testclient import TestClient, WebSocketTestSession

from levelhead.gear.book import load_book
from levelhead.web import create_app
from levelhead.web.access.passes import NAME_COOKIE
from levelhead.web.files.shelf import Shelf
from levelhead.web.library import Library
from levelhead.web.live.start import opened_room
from tests.web.fake_asker import FakeAsker

OWN = "http://127.0.0.1:8000"


FOLLOWS = frozenset({"results", "mended", "open-ends", "head", "progress", "unsaved"})
"""What comes when it is worked out: before the answer to a step or behind it."""


class Line:
    """One page's end of the socket."""

    def __init__(self, socket: WebSocketTestSession) -> None:
        self.socket = socket
        self.number = 0
        self.heard: list[dict[str, Any]] = []
        self.followed = 0  # how many of them ``until`` has looked through
        self.revision = -1
        self.buttons: dict[str, Any] = {}
        self.snapshot = self.until("snapshot", "caught-up")

    def until(self, *kinds: str) -> dict[str, Any]:
        """The next message of a kind; others are kept in ``heard``.

        What follows a step may have come before its answer, and then it stands there already.
        """
        while self.followed < len(self.heard):
            news = self.heard[self.followed]
            self.followed += 1
            if news["kind"] in kinds and news["kind"] in FOLLOWS:
                return news
        while True:
            news = self.next()
            self.followed = len(self.heard)
            if news["kind"] in kinds:
                return news

    def next(self) -> dict[str, Any]:
        """The next message, whatever it is."""
        news: dict[str, Any] = self.socket.receive_json()
        self.heard.append(news)
        if news["kind"] in {"patch", "snapshot", "caught-up"}:
            self.revision = news["revision"]
        if news["kind"] in {"buttons", "done", "snapshot", "caught-up"}:
            self.buttons = {name: news[name] for name in ("undo", "redo")}
        return news

    @property
    def patch(self) -> dict[str, Any]:
        """The last patch that was heard."""
        return next(news for news in reversed(self.heard) if news["kind"] == "patch")

    def ask(self, **message: Any) -> dict[str, Any]:
        """Send something and wait for its own answer."""
        self.number += 1
        name = message.pop("ask", f"t-{self.number}")
        self.socket.send_json({"base": self.revision, **message, "ask": name})
        while True:
            news = self.next()
            if news["kind"] in {"done", "refused", "answer"} and news["ask"] == name:
                return news

    def to_the_end(self) -> None:
        """Take messages until the server ends the socket."""
        while True:
            self.socket.receive_json()

    def cells(self, *cells: list[str], **more: Any) -> dict[str, Any]:
        """Type into cells of the input list."""
        return self.ask(do="cells", cells=list(cells), **more)


@contextmanager
def on_folder(folder: Path, **given: Any) -> Iterator[TestClient]:
    """The app with a folder of shows, none of them open; ``given`` as of the client."""
    app = create_app(Library(load_book), shelf=Shelf(folder), book=load_book)
    with TestClient(app, base_url=OWN, client=("127.0.0.1", 50_000), **given) as client:
        yield client


@contextmanager
def on_shelf(path: Path, **given: Any) -> Iterator[TestClient]:
    """The app started on a show, with the folder that it stands in; ``given`` as of the client."""
    workers = ThreadPoolExecutor(1)
    with (
        opened_room(path, None, workers) as room,
        TestClient(
            create_app(Library(load_book), room, shelf=Shelf(path.parent), book=load_book),
            base_url=OWN,
            client=("127.0.0.1", 50_000),
            **given,
        ) as client,
    ):
        yield client
    workers.shutdown()


@contextmanager
def live(path: Path, gear: str | None = None) -> Iterator[TestClient]:
    """The app around a show, with its worker in a thread."""
    workers = ThreadPoolExecutor(1)
    with (
        opened_room(path, gear, workers) as room,
        TestClient(
            create_app(FakeAsker(), room), base_url=OWN, client=("127.0.0.1", 50_000)
        ) as client,
    ):
        yield client
    workers.shutdown()


@contextmanager
def page(client: TestClient, name: str = "a", person: str = "", more: str = "") -> Iterator[Line]:
    """A page that has come in; ``more`` is what it says of itself."""
    show = client.get("/show").url.path
    address = f"ws://127.0.0.1:8000{show}/live?page={name * 8}{more}"
    headers = {"origin": OWN, **({"cookie": f"{NAME_COOKIE}={person}"} if person else {})}
    with client.websocket_connect(address, headers=headers) as socket:
        yield Line(socket)
