"""What a page from elsewhere, open in the same browser, can get out of the app: nothing."""

from __future__ import annotations

from collections.abc import Callable, Iterator

import pytest
from playwright.sync_api import Page
from starlette.applications import Starlette
from starlette.requests import Request
from starlette.responses import HTMLResponse, Response
from starlette.routing import Route

from tests.browser.conftest import Served
from tests.web.fake_asker import FakeAsker

pytestmark = pytest.mark.browser

QUESTION = '{"from": "vocal", "to": "mic"}'
ASK = """async ([target, body]) => {
    const json = { "Content-Type": "application/json" };
    const text = { "Content-Type": "text/plain" };
    const tries = [
        fetch(target + "ask", { method: "POST", headers: json, body }),
        fetch(target + "ask", { method: "POST", headers: text, body }),
        fetch(target + "ask", { method: "POST", mode: "no-cors", body }),
        fetch(target + "candidates?text=vocal&side=from"),
    ];
    const read = (answer) => answer.then((response) => response.text()).catch(() => "");
    return Promise.all(tries.map(read));
}"""
EMBED = """(target) => {
    const asked = `${target}?from=vocal&to=mic`;
    const form = `<form action="${target}ask" method="post" enctype="text/plain">
        <input name="a"></form>`;
    document.body.innerHTML = `<iframe src="${asked}"></iframe><img src="${asked}">${form}`;
}"""


async def blank(_: Request) -> Response:
    return HTMLResponse("<!doctype html><title>elsewhere</title><p>elsewhere")


@pytest.fixture
def elsewhere() -> Iterator[Served]:
    """Another program on this machine, so another origin."""
    with Served(Starlette(routes=[Route("/{rest:path}", blank)])) as served:
        yield served


@pytest.mark.parametrize("name", ["127.0.0.1", "evil.example"])
def test_scripts_of_a_foreign_page_learn_and_do_nothing(
    name: str,
    open_page: Callable[..., Page],
    served: Served,
    elsewhere: Served,
    asker: FakeAsker,
) -> None:
    page = open_page()
    page.goto(elsewhere.address.replace("127.0.0.1", name))
    assert page.evaluate(ASK, [served.address, QUESTION]) == ["", "", "", ""]
    assert asker.asked == []


def test_a_foreign_form_and_frame_are_refused(
    open_page: Callable[..., Page], served: Served, elsewhere: Served, asker: FakeAsker
) -> None:
    page = open_page()
    page.goto(elsewhere.address)
    page.evaluate(EMBED, served.address)
    page.wait_for_timeout(500)
    with page.expect_response("**/ask") as answered:
        page.evaluate("document.forms[0].submit()")
    assert answered.value.status == 403
    assert asker.asked == []


def test_a_foreign_name_for_this_machine_is_refused(
    open_page: Callable[..., Page], served: Served, asker: FakeAsker
) -> None:
    page = open_page()
    response = page.goto(served.address.replace("127.0.0.1", "evil.example") + "?from=vocal&to=mic")
    assert response is not None
    assert response.status == 400
    assert asker.asked == []
