"""Several shows in one running program: opened from the first page, changed where they are open."""

from __future__ import annotations

from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from levelhead.gear.book import load_book
from levelhead.show.document import load_show
from levelhead.web.app import create_app
from levelhead.web.files.shelf import Shelf
from levelhead.web.library import Library
from levelhead.web.live.start import opened_room, opened_show
from tests.web.hall import TEXT
from tests.web.live_show import OWN, Line, on_shelf

BARN = TEXT.replace("Hall", "Barn")
ANSWER = {"from": "mic-vocal-dynamic.out", "to": "mixer-compact.ch1.mic"}


@pytest.fixture
def client(tmp_path: Path) -> Iterator[TestClient]:
    """A program that was started on the hall, in a folder where the barn stands as well."""
    (tmp_path / "hall.yaml").write_text(TEXT, encoding="utf-8")
    (tmp_path / "barn.yaml").write_text(BARN, encoding="utf-8")
    with on_shelf(tmp_path / "hall.yaml", follow_redirects=False) as client:
        yield client


@contextmanager
def line(client: TestClient, name: str) -> Iterator[Line]:
    """A page of one show."""
    address = f"ws://127.0.0.1:8000/show/{name}/live?page=aaaaaaaa"
    with client.websocket_connect(address, headers={"origin": OWN}) as socket:
        yield Line(socket)


def test_two_shows_are_open_and_each_keeps_its_own(client: TestClient, tmp_path: Path) -> None:
    with line(client, "hall") as hall, line(client, "barn") as barn:
        assert hall.snapshot["head"]["name"] == "Hall"
        assert barn.snapshot["head"]["name"] == "Barn"
        assert barn.cells(["desk.ch1", "gain", "33"])["kind"] == "done"
        assert hall.cells(["desk.ch1", "gain", "22"])["kind"] == "done"
        for each in (hall, barn):
            assert each.until("head")["head"]["saved"]
    for name, gain in (("hall", "22 dB"), ("barn", "33 dB")):
        show = load_show(tmp_path / f"{name}.yaml").show
        assert show.settings["desk.ch1.gain"] == gain


def test_the_first_page_leads_to_every_show(client: TestClient) -> None:
    assert client.get("/show").headers["location"] == "/show/hall"
    assert client.get("/show/barn").status_code == 200
    page = client.get("/").text
    assert 'class="go" href="/show/barn"' in page
    assert client.get("/show").headers["location"] == "/show/barn"


@pytest.mark.parametrize("name", ["nowhere", "Barn", "barn.yaml", "...", "%2e%2e%2fbarn"])
def test_what_is_no_show_of_the_folder_is_refused(client: TestClient, name: str) -> None:
    assert client.get(f"/show/{name}").status_code in {404, 422}


def test_a_link_on_another_page_opens_nothing(client: TestClient, tmp_path: Path) -> None:
    from_elsewhere = {
        "sec-fetch-site": "cross-site",
        "sec-fetch-mode": "navigate",
        "sec-fetch-dest": "document",
    }
    answer = client.get("/show/barn", headers=from_elsewhere)
    assert answer.headers["location"] == "/"
    assert not (tmp_path / "barn.yaml.history").exists()


def test_an_answer_goes_into_the_open_show_and_is_taken_back(client: TestClient) -> None:
    """Pages see it come; the file is not written behind their backs; one undo takes it out."""
    with line(client, "hall") as hall:
        put = client.post("/keep/into", data={**ANSWER, "show": "hall"})
        assert put.headers["location"] == "/show/hall#inputs"
        patch = hall.until("patch")
        assert patch["by"] == "the desk"
        (item,) = patch["tables"]["items"]["set"]
        assert item == "mic-vocal-dynamic"
        undone = hall.ask(do="undo", step=hall.until("buttons")["undo"]["step"])
        assert undone["kind"] == "done"
        rows = [each for each in hall.heard if each["kind"] == "patch"][-1]["tables"]
        assert "mic-vocal-dynamic" not in rows["items"]["order"]


def test_a_remedy_on_the_page_of_the_file_goes_into_the_open_show(client: TestClient) -> None:
    other = {"edit": "retype", "item": "vox", "type": "mic-vocal-condenser"}
    with line(client, "hall") as hall:
        hall.ask(do="edits", edits=[other])
        while not hall.until("head")["head"]["saved"]:
            pass
        page = client.get("/file/hall").text
        fields = {
            name: page.partition(f'name="{name}" value="')[2].partition('"')[0]
            for name in ("code", "where", "do")
        }
        done = client.post("/file/hall/do", data=fields)
        assert done.headers["location"] == "/show/hall#findings"
        assert hall.until("patch")["by"] == "the desk"


def test_a_file_from_elsewhere_is_not_taken_for_one_of_the_folder(tmp_path: Path) -> None:
    """Both are called hall.yaml: the one that was named at the start has an address of its own."""
    (tmp_path / "away").mkdir()
    (tmp_path / "away" / "hall.yaml").write_text(BARN, encoding="utf-8")
    (tmp_path / "hall.yaml").write_text(TEXT, encoding="utf-8")
    with (
        ThreadPoolExecutor(1) as workers,
        opened_room(tmp_path / "away" / "hall.yaml", None, workers) as room,
        TestClient(
            create_app(Library(load_book), room, shelf=Shelf(tmp_path), book=load_book),
            base_url=OWN,
            client=("127.0.0.1", 50_000),
        ) as client,
    ):
        assert "<h1>Barn</h1>" in client.get("/show").text
        assert "<h1>Hall</h1>" in client.get("/show/hall").text


def test_a_show_that_was_only_read_has_its_page_before_its_rig(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The page is served at once; its socket waits until the rig is built."""
    (tmp_path / "hall.yaml").write_text(TEXT, encoding="utf-8")
    monkeypatch.setattr("levelhead.web.live.start.SolvingProcess", lambda: ThreadPoolExecutor(1))
    with opened_show(tmp_path / "hall.yaml") as opened:
        app = create_app(Library(load_book), opened, shelf=Shelf(tmp_path), book=load_book)
        here = TestClient(app, base_url=OWN, client=("127.0.0.1", 50_000))
        assert "<h1>Hall</h1>" in here.get("/show").text  # before the program runs its rooms
        with here as client, line(client, "hall") as hall:
            assert hall.snapshot["head"]["name"] == "Hall"
            assert hall.cells(["desk.ch1", "gain", "33"])["kind"] == "done"
    assert "ch1: {gain: 33 dB" in (tmp_path / "hall.yaml").read_text(encoding="utf-8")
