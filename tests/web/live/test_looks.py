"""Looks come at once: they wait for no verdict and no remedy, and follow every step."""

from __future__ import annotations

from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from pathlib import Path
from threading import Event

from starlette.testclient import TestClient

from levelhead.web import create_app
from levelhead.web.live.start import opened_room
from tests.web.fake_asker import FakeAsker
from tests.web.hall import TEXT
from tests.web.live_show import OWN, Line, page


@contextmanager
def busy(tmp_path: Path) -> Iterator[Line]:
    """A page of a show whose worker does something else and comes to nothing."""
    path = tmp_path / "hall.yaml"
    path.write_text(TEXT, encoding="utf-8")
    done = Event()
    with ThreadPoolExecutor(1) as workers:
        workers.submit(done.wait)
        with (
            opened_room(path, None, workers) as room,
            TestClient(
                create_app(FakeAsker(), room), base_url=OWN, client=("127.0.0.1", 50_000)
            ) as client,
            page(client, "a") as anna,
        ):
            try:
                yield anna
            finally:
                done.set()


def test_a_drawing_and_a_press_wait_for_no_worker(tmp_path: Path) -> None:
    with busy(tmp_path) as anna:
        assert 'data-item="desk"' in anna.ask(find="drawing")["found"]["svg"]
        assert anna.ask(find="part", item="desk")["found"]["title"]
        assert anna.ask(find="levels")["found"]["points"]
        assert not [each for each in anna.heard if each["kind"] == "results"]


def test_a_look_after_a_step_is_a_look_at_that_step(tmp_path: Path) -> None:
    with busy(tmp_path) as anna:
        before = anna.ask(find="part", item="desk")["found"]
        edits = [{"edit": "set", "address": "desk.ch1.gain", "value": "20 dB"}]
        assert anna.ask(do="edits", edits=edits)["kind"] == "done"
        after = anna.ask(find="part", item="desk")["found"]
    values = [
        {each["at"]: each["value"] for each in found["settings"]}["desk.ch1.gain"]
        for found in (before, after)
    ]
    assert values == ["36 dB", "20 dB"]
