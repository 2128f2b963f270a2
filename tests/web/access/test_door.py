"""Other devices: in with a pass, to change or to look; nobody without one."""

from __future__ import annotations

from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest
from starlette.testclient import TestClient
from starlette.websockets import WebSocketDisconnect

from levelhead.web import create_app
from levelhead.web.access.door import cleaned
from levelhead.web.access.passes import COOKIE, NAME_COOKIE, Passes, Right, own_addresses
from levelhead.web.live.start import opened_room
from tests.web.fake_asker import FakeAsker
from tests.web.hall import TEXT
from tests.web.live_show import OWN, Line

HALL = "http://hall.test:8000"
PHONE = ("192.168.7.20", 50_000)
GAIN = ["desk.ch1", "gain", "40"]


@pytest.fixture
def passes() -> Passes:
    return Passes(("hall.test", "192.168.7.2"), 8000)


@pytest.fixture
def desk(tmp_path: Path, passes: Passes) -> Iterator[TestClient]:
    """The app with its door, as the machine itself reaches it."""
    path = tmp_path / "hall.yaml"
    path.write_text(TEXT, encoding="utf-8")
    workers = ThreadPoolExecutor(1)
    with opened_room(path, None, workers) as room:
        app = create_app(FakeAsker(), room, passes=passes)
        with TestClient(app, base_url=OWN, client=("127.0.0.1", 50_000)) as client:
            yield client
    workers.shutdown()


def phone(desk: TestClient, host: str = HALL) -> TestClient:
    """Another device on the same app, and in the same event loop."""
    device = TestClient(desk.app, base_url=host, client=PHONE)
    device.portal = desk.portal
    return device


def come_in(device: TestClient, passes: Passes, right: Right, name: str = "Ben") -> None:
    address = f"/join/{passes.words[right]}"
    assert device.get(address).status_code == 200
    joined = device.post(
        address, data={"name": name}, headers={"Origin": HALL}, follow_redirects=False
    )
    assert (joined.status_code, joined.headers["location"]) == (303, "/show")
    cookies = joined.headers.get_list("set-cookie")
    assert all("SameSite=strict" in each and "HttpOnly" in each for each in cookies)


def live_address(desk: TestClient, page: str, host: str = HALL) -> str:
    return f"{host.replace('http', 'ws')}{desk.get('/show').url.path}/live?page={page * 8}"


def test_without_a_pass_nothing_is_seen(desk: TestClient) -> None:
    device = phone(desk)
    for address in ("/", "/show", "/candidates?text=a&side=from", "/devices"):
        assert device.get(address).status_code == 403
    page = device.get("/", headers={"Accept": "text/html"})
    assert "has no pass" in page.text
    with pytest.raises(WebSocketDisconnect):
        device.websocket_connect(live_address(desk, "b"), headers={"origin": HALL}).__enter__()


@pytest.mark.parametrize("word", ["x", "", "A" * 16, "%00", "ä"])
def test_a_wrong_pass_is_refused(desk: TestClient, word: str) -> None:
    device = phone(desk)
    assert device.get(f"/join/{word}").status_code in {403, 404}
    device.cookies.set(COOKIE, "wrong")
    assert device.get("/show").status_code == 403


def test_a_pass_lets_a_phone_change_the_show(desk: TestClient, passes: Passes) -> None:
    device = phone(desk)
    come_in(device, passes, "change", name="Ben <b>")
    assert device.get("/show").status_code == 200
    with (
        desk.websocket_connect(live_address(desk, "a", OWN), headers={"origin": OWN}) as a,
        device.websocket_connect(live_address(desk, "b"), headers={"origin": HALL}) as b,
    ):
        anna, ben = Line(a), Line(b)
        assert ben.snapshot["you"] == "Ben b"
        assert ben.snapshot["may"] == "change"
        assert ben.cells(GAIN)["kind"] == "done"
        assert anna.until("patch")["by"] == "Ben b"


@pytest.mark.parametrize("name", ["the desk", "The File", "guest"])
def test_nobody_comes_in_as_somebody_else(desk: TestClient, passes: Passes, name: str) -> None:
    """Undo goes by names: these are levelhead's own."""
    device = phone(desk)
    address = f"/join/{passes.words['change']}"
    asked = device.post(address, data={"name": name}, headers={"Origin": HALL})
    assert "is taken by levelhead itself" in asked.text
    assert COOKIE not in asked.headers.get("set-cookie", "")
    device.cookies.set(COOKIE, passes.words["change"])
    device.cookies.set(NAME_COOKIE, f'"{name}"')
    with device.websocket_connect(live_address(desk, "b"), headers={"origin": HALL}) as socket:
        assert Line(socket).snapshot["you"] == "guest"


def test_who_says_no_name_gets_one(desk: TestClient, passes: Passes) -> None:
    names = set()
    for page in ("b", "c"):
        device = phone(desk)
        come_in(device, passes, "change", name="")
        with device.websocket_connect(live_address(desk, page), headers={"origin": HALL}) as socket:
            names.add(Line(socket).snapshot["you"])
    assert len(names) == 2
    assert all(name.startswith("guest ") for name in names)


def test_who_may_look_changes_nothing(desk: TestClient, passes: Passes) -> None:
    device = phone(desk)
    come_in(device, passes, "look")
    with device.websocket_connect(live_address(desk, "c"), headers={"origin": HALL}) as socket:
        line = Line(socket)
        assert line.snapshot["may"] == "look"
        refused = line.cells(GAIN)
        assert refused["kind"] == "refused"
        assert "look, not change" in refused["error"]["what"]
        assert line.ask(do="text", text=TEXT)["kind"] == "refused"
        assert line.ask(do="undo", step=1)["kind"] == "refused"
        assert line.ask(find="text")["kind"] == "answer"
    for route in ("/shows", "/lists", "/example"):
        assert device.post(route, headers={"Origin": HALL}).status_code == 403


def test_a_strange_host_is_refused_whatever_pass_it_has(desk: TestClient, passes: Passes) -> None:
    device = phone(desk, "http://evil.test:8000")
    device.cookies.set(COOKIE, passes.words["change"])
    assert device.get("/show").status_code == 400


def test_a_foreign_page_is_refused_whatever_pass_it_has(desk: TestClient, passes: Passes) -> None:
    device = phone(desk)
    device.cookies.set(COOKIE, passes.words["change"])
    assert device.get("/show", headers={"Origin": "http://evil.test"}).status_code == 403


def test_a_name_led_to_this_machine_is_not_this_machine(desk: TestClient) -> None:
    """A foreign name may be led to 127.0.0.1 by anybody: what counts is both ends."""
    device = TestClient(desk.app, base_url=HALL, client=("127.0.0.1", 1))
    assert device.get("/show").status_code == 403


def test_a_loopback_name_from_elsewhere_is_not_this_machine(desk: TestClient) -> None:
    assert phone(desk, OWN).get("/show").status_code == 403


def test_the_codes_are_shown_on_this_machine_alone(desk: TestClient, passes: Passes) -> None:
    page = desk.get("/devices").text
    assert passes.address("change") in page
    assert page.count("<svg") >= 2
    device = phone(desk)
    come_in(device, passes, "change")
    assert passes.words["look"] not in device.get("/devices").text


def test_without_passes_nobody_comes_in() -> None:
    app = create_app(FakeAsker())
    device = TestClient(app, base_url="http://127.0.0.1:8000", client=PHONE)
    assert device.get("/").status_code == 403
    here = TestClient(app, base_url=OWN, client=("127.0.0.1", 50_000))
    assert "--lan" in here.get("/devices").text


def test_each_start_has_words_of_its_own() -> None:
    one, other = Passes(("a",), 1), Passes(("a",), 1)
    words = {*one.words.values(), *other.words.values()}
    assert len(words) == 4
    assert min(map(len, words)) >= 16
    assert one.right_of(other.words["change"]) is None


@pytest.mark.parametrize(
    ("typed", "kept"), [("  Anna  B. ", "Anna B."), ("<script>", "script"), ("x" * 90, "x" * 40)]
)
def test_names_are_plain_and_short(typed: str, kept: str) -> None:
    assert cleaned(typed) == kept


def test_this_machine_has_a_name_others_may_try() -> None:
    found = own_addresses()
    assert found[-1].endswith(".local")
    assert not [each for each in found if each.startswith("127.")]


def test_a_second_device_under_one_name_is_asked_who_it_is(
    desk: TestClient, passes: Passes
) -> None:
    """Somebody else gets a name of their own; a phone that comes again is known."""
    address, ours = f"/join/{passes.words['change']}", {"Origin": HALL}
    first = phone(desk)
    come_in(first, passes, "change", name="Anna")
    second = phone(desk)
    asked = second.post(address, data={"name": "anna"}, headers=ours, follow_redirects=False)
    assert asked.status_code == 200
    assert "is here already, on another device" in asked.text
    assert 'value="Anna 2"' in asked.text
    assert COOKIE not in asked.headers.get("set-cookie", "")
    come_in(second, passes, "change", name="Anna 2")
    third = phone(desk)
    same = third.post(address, data={"same": "Anna"}, headers=ours, follow_redirects=False)
    assert same.status_code == 303
    come_in(first, passes, "change", name="Anna")  # it was away and scans the code again
    names = []
    for page, device in zip("bcd", (first, second, third), strict=True):
        with device.websocket_connect(live_address(desk, page), headers={"origin": HALL}) as socket:
            names.append(Line(socket).snapshot["you"])
    assert names == ["Anna", "Anna 2", "Anna"]
