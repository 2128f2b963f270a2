"""A real browser on the app, cut off from every other machine."""

from __future__ import annotations

import threading
import time
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import pytest
import uvicorn
from playwright.sync_api import Browser, Page, sync_playwright
from starlette.applications import Starlette

from levelhead.web import address_of, create_app, listen
from levelhead.web.access.passes import Passes
from levelhead.web.live.start import opened_room
from tests.web.fake_asker import FakeAsker

# Every other name leads nowhere; evil.example is this machine under a name that is not its own,
# hall.test the one under which phones of its network know it.
NAMES = (
    "MAP evil.example 127.0.0.1, MAP hall.test 127.0.0.1, "
    "MAP * ~NOTFOUND, EXCLUDE 127.0.0.1, EXCLUDE localhost"
)
FLAGS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    f"--host-resolver-rules={NAMES}",
]
LAPTOP = {"width": 1280, "height": 800}
PHONE = {"width": 390, "height": 844}


class Served:
    """An app on a port of this machine, a free one if none is named, in a thread of its own."""

    def __init__(self, app: Starlette | Callable[..., Any], port: int = 0) -> None:
        self.listener = listen(port)
        self.address = address_of(self.listener)
        config = uvicorn.Config(app, log_level="error", timeout_graceful_shutdown=1)
        self.server = uvicorn.Server(config)
        self.thread = threading.Thread(target=self.server.run, args=([self.listener],))

    def __enter__(self) -> Served:
        self.thread.start()
        while not self.server.started:
            time.sleep(0.01)
        return self

    def __exit__(self, *_: object) -> None:
        self.server.should_exit = True
        self.thread.join()
        self.listener.close()


@contextmanager
def served_show(
    path: Path, gear: str | None = None, *, passes: Passes | None = None, port: int = 0
) -> Iterator[Served]:
    """The app around a show, served, with its worker in a thread."""
    workers = ThreadPoolExecutor(1)
    with (
        opened_room(path, gear, workers) as room,
        Served(create_app(FakeAsker(), room, passes=passes), port) as served,
    ):
        yield served
    workers.shutdown()


@dataclass
class Seen:
    """What a page said and asked for while it was open."""

    complaints: list[str] = field(default_factory=list)
    addresses: list[str] = field(default_factory=list)


@pytest.fixture(scope="module")
def browser(chromium: str) -> Iterator[Browser]:
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=chromium, args=FLAGS)
        yield browser
        browser.close()


@pytest.fixture
def asker() -> FakeAsker:
    return FakeAsker()


@pytest.fixture
def served(asker: FakeAsker) -> Iterator[Served]:
    with Served(create_app(asker)) as served:
        yield served


@pytest.fixture
def seen() -> Seen:
    return Seen()


@pytest.fixture
def open_page(browser: Browser, served: Served, seen: Seen) -> Iterator[Callable[..., Page]]:
    """Open a page in a context of its own, closed before the app ends."""
    assert served.server.started
    contexts = []

    def open_one(viewport: dict[str, int] | None = None, **more: Any) -> Page:
        context = browser.new_context(viewport=viewport or LAPTOP, **more)  # type: ignore[arg-type]
        contexts.append(context)
        page = context.new_page()
        page.set_default_timeout(5000)
        page.on("console", lambda message: seen.complaints.append(message.text))
        page.on("pageerror", lambda error: seen.complaints.append(str(error)))
        page.on("request", lambda request: seen.addresses.append(request.url))
        return page

    yield open_one
    for context in contexts:
        context.close()
