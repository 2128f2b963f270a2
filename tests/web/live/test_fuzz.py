"""Whatever comes in by a socket or a request: no crash, no 500, no damaged state."""

from __future__ import annotations

import contextlib
import json
import logging
import random
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from starlette.routing import Mount, Route
from starlette.testclient import TestClient
from starlette.websockets import WebSocketDisconnect

from levelhead.show.edits import apply
from tests.web.hall import TEXT
from tests.web.live.fuzz import TEXTS, Chaos
from tests.web.live_show import OWN, Line, on_shelf, page

Json = dict[str, Any]


class Mirror:
    """A page that only follows what it is told."""

    def __init__(self, line: Line) -> None:
        self.line = line
        self.tables: dict[str, Json] = line.snapshot["tables"]
        self.orders: dict[str, list[str]] = line.snapshot["orders"]
        self.at = len(line.heard)

    def follow(self) -> None:
        for news in self.line.heard[self.at :]:
            for name, patch in news.get("tables", {}).items() if news["kind"] == "patch" else ():
                self.tables[name].update(patch.get("set", {}))
                self.orders[name] = patch.get("order", self.orders[name])
        self.at = len(self.line.heard)

    def shown(self) -> dict[str, Json]:
        self.follow()
        return {
            name: {key: self.tables[name][key] for key in order}
            for name, order in self.orders.items()
        }


def answer(line: Line, message: Json) -> Json:
    """Send it, and wait for what is said to it."""
    ask = message.get("ask")
    line.socket.send_text(json.dumps(message))
    while True:
        news = line.until("done", "refused", "answer")
        if news["ask"] == ask:
            return news


def is_whole(client: TestClient, mirror: Mirror) -> None:
    """The journal makes the show, the text is a show, and every page sees the same."""
    rooms = client.app.state.rooms  # type: ignore[attr-defined]
    opened = rooms.known(rooms.latest)
    show = opened.show
    for step in reversed(opened.history.steps_after(0)):
        if isinstance(step.back, str):
            show = opened.document.with_text(step.back).show
        else:
            show, _ = apply(show, step.back)
    assert show == opened.document.with_text(TEXT).show
    assert opened.document.with_text(opened.document.text()).show == opened.show
    with page(client, "f") as fresh:
        assert mirror.shown() == fresh.snapshot["tables"]


def bombarded(client: TestClient, chaos: Chaos, messages: int) -> None:
    """Two people's pages throw messages in turns."""
    with page(client, "a", "Anna") as anna, page(client, "b", "Ben") as ben:
        mirror = Mirror(anna)
        for number in range(messages):
            message = chaos.next()
            message.setdefault("ask", f"c-{number}")
            news = answer(chaos.dice.choice((anna, ben)), message)
            if news["kind"] == "refused":
                error = news["error"]
                assert not error["what"].startswith("levelhead went wrong"), (chaos.seed, message)
                assert all(error[part] for part in ("what", "where", "expected", "remedy"))
        assert anna.ask(find="hello", ask="last")["kind"] == "answer"
        anna.ask(do="insert", row="desk.ch1", ask="quiet")  # so that Anna has heard everything
        is_whole(client, mirror)


def test_no_message_breaks_the_show(client: TestClient, caplog: pytest.LogCaptureFixture) -> None:
    bombarded(client, Chaos(1), 150)
    assert not [each for each in caplog.records if each.levelno >= logging.ERROR]


@pytest.mark.long
@pytest.mark.parametrize("seed", range(2, 22))
def test_no_message_breaks_the_show_however_many(
    client: TestClient, caplog: pytest.LogCaptureFixture, seed: int
) -> None:
    bombarded(client, Chaos(seed, slow=seed % 4 == 0), 300 if seed % 4 == 0 else 1000)
    assert not [each for each in caplog.records if each.levelno >= logging.ERROR]


def thrown(client: TestClient, chaos: Chaos, texts: int) -> None:
    """Texts that may be no message: the socket ends, or says why not; others go on."""
    with page(client, "a", "Anna") as anna:
        for _ in range(texts):
            with contextlib.suppress(WebSocketDisconnect), page(client, "b", "Ben") as ben:
                ben.socket.send_text(chaos.raw())
                ben.socket.send_text('{"find": "hello", "ask": "still"}')
                ben.until("answer")
        assert anna.ask(find="hello", ask="there")["kind"] == "answer"


def test_what_is_no_message_ends_one_socket_alone(client: TestClient) -> None:
    thrown(client, Chaos(1), 15)


@pytest.mark.long
def test_what_is_no_message_ends_one_socket_alone_however_often(client: TestClient) -> None:
    thrown(client, Chaos(2), 400)


# ---------------------------------------------------------------- requests


def routes_of(client: TestClient) -> list[tuple[str, str]]:
    """Every way in that the app has, by its method and the pattern of its path."""
    found = []
    for route in client.app.routes:  # type: ignore[attr-defined]
        if isinstance(route, Route):
            found += [(method, route.path) for method in sorted(route.methods or ())]
        elif isinstance(route, Mount):
            found.append(("GET", f"{route.path}/{{name}}"))
    return found


def requested(client: TestClient, chaos: Chaos, requests: int) -> None:
    """Requests to every route, with paths, queries, types and bodies of any kind."""
    dice = chaos.dice
    routes = routes_of(client)
    assert len(routes) > 15
    for number in range(requests):
        method, pattern = routes[number % len(routes)]
        method = dice.choice((method, method, method, "PUT", "DELETE", "OPTIONS", "HEAD"))
        name = dice.choice(("hall", "demo", "duo-in-a-pub", part(chaos), "%00", ".."))
        path = pattern.replace("{name}", name).replace("{word}", part(chaos))
        answered = client.request(method, path, **body(chaos), follow_redirects=False)
        assert answered.status_code < 500, (chaos.seed, method, path)


def part(chaos: Chaos) -> str:
    """A part of an address."""
    text = chaos.text().encode("utf-8", "ignore").decode()[:200]
    return "".join(each if each.isalnum() else f"%{ord(each) % 256:02x}" for each in text) or "-"


def body(chaos: Chaos) -> Json:
    """Query, headers and body."""
    dice = chaos.dice
    fields = ("from", "to", "text", "side", "name", "show", "example", "seen", "list", "code", "do")
    given = {dice.choice(fields): clean(chaos.text()) for _ in range(dice.randrange(5))}
    kind = dice.randrange(5)
    more: Json = {"headers": {"origin": OWN}}
    if kind == 0:
        more["params"] = given
    elif kind == 1:
        more["data"] = given
    elif kind == 2:
        more["content"] = json.dumps(chaos.any())
        more["headers"]["content-type"] = "application/json"
    elif kind == 3:
        more["content"] = random.Random(chaos.seed).randbytes(dice.randrange(3000))  # noqa: S311
        more["headers"]["content-type"] = dice.choice(
            ("application/x-www-form-urlencoded", "multipart/form-data; boundary=x", "text/plain")
        )
    else:
        more["files"] = {dice.choice(("file", "list")): ("a.xlsx", dice.randbytes(200))}
    if dice.random() < 0.3:
        more["headers"]["cookie"] = f"levelhead-name={clean(chaos.text())[:50].strip()}"
    return more


def clean(text: str) -> str:
    """Without what cannot be sent at all."""
    return "".join(each for each in text if each.isprintable()).encode("ascii", "ignore").decode()


@pytest.fixture
def shelf_client(tmp_path: Path) -> Iterator[TestClient]:
    """The whole app: questions, a folder of shows, an open one."""
    (tmp_path / "hall.yaml").write_text(TEXT, encoding="utf-8")
    with on_shelf(tmp_path / "hall.yaml", raise_server_exceptions=False) as client:
        yield client


def test_no_request_is_answered_with_a_fault(shelf_client: TestClient) -> None:
    requested(shelf_client, Chaos(1), 45)


@pytest.mark.long
@pytest.mark.parametrize("seed", range(2, 10))
def test_no_request_is_answered_with_a_fault_however_many(
    shelf_client: TestClient, seed: int
) -> None:
    requested(shelf_client, Chaos(seed), 600)


def test_the_generator_reaches_what_is_taken(client: TestClient) -> None:
    """A generator whose every message is refused would prove little."""
    chaos = Chaos(1)
    with page(client, "a", "Anna") as anna:
        kinds = [
            answer(anna, {"ask": f"c-{number}", **chaos.message(), "base": 10**6})["kind"]
            for number in range(120)
        ]
    assert kinds.count("done") > 10
    assert len(TEXTS) == len(set(TEXTS))
