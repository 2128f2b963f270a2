"""The connection of an open show is cut, and comes back: what was typed meanwhile is sent once."""

from __future__ import annotations

import contextlib
import socket
import threading
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from levelhead.web import create_app
from levelhead.web.live_start import opened_room
from tests.browser.conftest import Served
from tests.web.fake_asker import FakeAsker
from tests.web.hall import TEXT

pytestmark = pytest.mark.browser


class Cable:
    """A TCP proxy that can be cut and mended."""

    def __init__(self, port: int) -> None:
        self.to = port
        self.is_cut = False
        self.ends: list[socket.socket] = []
        self.listener = socket.create_server(("127.0.0.1", 0))
        self.port = self.listener.getsockname()[1]
        threading.Thread(target=self._take, daemon=True).start()

    def _take(self) -> None:
        with contextlib.suppress(OSError):
            while True:
                near, _ = self.listener.accept()
                if self.is_cut:
                    near.close()
                    continue
                far = socket.create_connection(("127.0.0.1", self.to))
                self.ends += [near, far]
                for one, other in ((near, far), (far, near)):
                    threading.Thread(target=self._pass, args=(one, other), daemon=True).start()

    def _pass(self, one: socket.socket, other: socket.socket) -> None:
        with contextlib.suppress(OSError):
            while content := one.recv(65_536):
                other.sendall(content)
        for end in (one, other):
            with contextlib.suppress(OSError):
                end.shutdown(socket.SHUT_RDWR)

    def cut(self) -> None:
        self.is_cut = True
        for end in self.ends:
            with contextlib.suppress(OSError):
                end.shutdown(socket.SHUT_RDWR)
            end.close()
        self.ends.clear()

    def mend(self) -> None:
        self.is_cut = False

    def close(self) -> None:
        """Let go of every socket: one that is left would be found open in another test."""
        with contextlib.suppress(OSError):
            self.listener.shutdown(socket.SHUT_RDWR)  # wakes the thread that waits there
        self.listener.close()
        self.cut()


@pytest.fixture
def served(tmp_path: Path) -> Iterator[Served]:
    (tmp_path / "hall.yaml").write_text(TEXT)
    workers = ThreadPoolExecutor(1)
    with (
        opened_room(tmp_path / "hall.yaml", None, workers) as room,
        Served(create_app(FakeAsker(), room)) as served,
    ):
        yield served
    workers.shutdown()


def test_what_is_typed_without_a_connection_is_sent_when_it_is_back(
    served: Served, open_page: Callable[..., Page]
) -> None:
    """The field that is open stays as it is; the page is not loaded again."""
    port = int(served.address.rstrip("/").rpartition(":")[2])
    with contextlib.closing(Cable(port)) as cable:
        _typed_without_a_connection(cable, open_page())


def _typed_without_a_connection(cable: Cable, page: Page) -> None:
    page.goto(f"http://127.0.0.1:{cable.port}/show")
    page.wait_for_selector("body[data-ready]")
    gain = page.locator('tr[data-row="desk.ch1"] td[data-column="gain"]')
    note = page.locator('tr[data-row="desk.ch1"] td[data-column="note"]')
    cable.cut()
    expect(page.locator("#file")).to_contain_text("no connection")
    gain.focus()
    page.keyboard.type("41")
    page.keyboard.press("Enter")
    expect(page.locator("#file")).to_contain_text("1 not sent yet")
    note.focus()
    page.keyboard.type("half typ")
    cable.mend()
    expect(gain).to_have_text("41 dB", timeout=10_000)
    assert note.locator("input").input_value() == "half typ"
    expect(page.locator("#file")).not_to_contain_text("no connection")
    page.keyboard.press("Escape")
    page.locator("#undo").click()
    expect(gain).to_have_text("36 dB")
