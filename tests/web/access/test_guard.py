"""Only our own pages, on this machine, may talk to the app."""

from __future__ import annotations

from typing import Any

import pytest
from starlette.applications import Starlette
from starlette.datastructures import Headers
from starlette.routing import WebSocketRoute
from starlette.testclient import TestClient
from starlette.websockets import WebSocket, WebSocketDisconnect

from levelhead.web.access.guard import OwnPagesOnly, is_own
from tests.web.conftest import OWN
from tests.web.fake_asker import FakeAsker

FOREIGN = [
    "http://evil.example",
    "http://127.0.0.1:8001",  # another program on this machine
    "http://localhost:8000",  # another name is another origin
    "https://127.0.0.1:8000",
    "http://127.0.0.1",
    "null",
    "",
]


@pytest.mark.parametrize("origin", FOREIGN)
@pytest.mark.parametrize("path", ["/", "/candidates?text=a&side=from", "/static/main.js"])
def test_a_foreign_origin_reads_nothing(client: TestClient, origin: str, path: str) -> None:
    response = client.get(path, headers={"Origin": origin})
    assert response.status_code == 403
    assert "access-control-allow-origin" not in response.headers


@pytest.mark.parametrize("origin", FOREIGN)
def test_a_foreign_origin_asks_nothing(
    client: TestClient, asker: FakeAsker, question: dict[str, Any], origin: str
) -> None:
    assert client.post("/ask", json=question, headers={"Origin": origin}).status_code == 403
    assert asker.asked == []


def test_our_own_page_and_the_command_line_may_ask(
    client: TestClient, question: dict[str, Any]
) -> None:
    own = {"Origin": OWN, "Sec-Fetch-Site": "same-origin"}
    assert client.post("/ask", json=question, headers=own).status_code == 200
    assert client.post("/ask", json=question).status_code == 200


@pytest.mark.parametrize(
    "host", ["evil.example", "evil.example:8000", "127.0.0.1.evil.example", "192.168.1.5", ""]
)
def test_another_name_for_this_machine_is_refused(client: TestClient, host: str) -> None:
    """A foreign page may point its own name at 127.0.0.1."""
    assert client.get("/", headers={"Host": host}).status_code == 400


@pytest.mark.parametrize("host", ["127.0.0.1:8000", "localhost:8000", "localhost"])
def test_both_names_of_this_machine_work(client: TestClient, host: str) -> None:
    headers = {"Host": host, "Origin": f"http://{host}"}
    assert client.get("/", headers=headers).status_code == 200


@pytest.mark.parametrize(
    ("site", "mode", "destination", "method", "own"),
    [
        ("none", "navigate", "document", "GET", True),  # typed or bookmarked
        ("cross-site", "navigate", "document", "GET", True),  # a link
        ("cross-site", "navigate", "document", "POST", False),  # a form
        ("cross-site", "navigate", "iframe", "GET", False),
        ("cross-site", "no-cors", "image", "GET", False),
        ("same-site", "no-cors", "script", "GET", False),  # another port of this machine
        ("same-origin", "cors", "empty", "POST", True),
    ],
)
def test_what_carries_no_origin_is_told_by_its_site(
    site: str, mode: str, destination: str, method: str, *, own: bool
) -> None:
    headers = Headers(
        {"sec-fetch-site": site, "sec-fetch-mode": mode, "sec-fetch-dest": destination}
    )
    assert is_own(headers, scheme="http", method=method) is own


def test_every_response_carries_the_policy(client: TestClient) -> None:
    for path in ("/", "/static/page.css", "/candidates?text=a&side=to", "/nowhere"):
        headers = client.get(path).headers
        policy = headers["content-security-policy"]
        assert "default-src 'none'" in policy
        assert "unsafe" not in policy
        assert headers["x-content-type-options"] == "nosniff"
        assert headers["cross-origin-resource-policy"] == "same-origin"


async def echo(socket: WebSocket) -> None:
    await socket.accept()
    await socket.send_text("in")


@pytest.mark.parametrize(("origin", "let_in"), [(OWN, True), ("http://evil.example", False)])
def test_sockets_are_guarded_too(origin: str, *, let_in: bool) -> None:
    """Browsers do not stop a foreign page from opening one."""
    app = OwnPagesOnly(Starlette(routes=[WebSocketRoute("/s", echo)]))
    client = TestClient(app)
    headers = {"Origin": origin, "Host": "127.0.0.1:8000"}
    if let_in:
        with client.websocket_connect("/s", headers=headers) as socket:
            assert socket.receive_text() == "in"
        return
    with (
        pytest.raises(WebSocketDisconnect) as refused,
        client.websocket_connect("/s", headers=headers),
    ):
        pass
    assert refused.value.code == 1008
