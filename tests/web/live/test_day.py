"""Show day in process: the lock, ticks on every device, notes, and what a meter reads."""

from __future__ import annotations

from pathlib import Path

from starlette.testclient import TestClient

from levelhead.show.history.journal import History
from tests.web.hall import TEXT
from tests.web.live_show import Line, live, page

TICK = {"do": "tick", "list": "line-check", "item": "vox", "content": "abc"}


def marks_of(line: Line) -> dict[str, object]:
    """Marks of the line check as a page was told last."""
    told = [each for each in line.heard if each["kind"] == "marks"]
    return dict(told[-1]["marks"].get("line-check", {}))


def test_a_tick_is_on_the_other_devices_at_once(client: TestClient) -> None:
    with page(client, "a") as one, page(client, "b") as other:
        assert one.ask(**TICK)["kind"] == "done"
        assert other.until("marks")["marks"] == {}
        told = other.until("marks")["marks"]["line-check"]["vox"]["tick"]
        assert told["content"] == "abc"
        assert other.ask(**{**TICK, "do": "untick"})["kind"] == "done"
        one.until("marks")
        assert marks_of(one)["vox"]["tick"] is None  # type: ignore[index]


def test_ticks_and_notes_change_no_plan(client: TestClient, path: Path) -> None:
    with page(client) as one:
        before = one.revision
        one.ask(**TICK)
        one.ask(do="note", list="line-check", item="vox", text="crackles")
        assert one.ask(find="text")["found"]["revision"] == before
    assert path.read_text(encoding="utf-8") == TEXT


def test_ticks_outlive_the_program(path: Path) -> None:
    with live(path) as client, page(client) as one:
        one.ask(**TICK)
        one.ask(do="note", list="line-check", item="vox", text="crackles")
    with live(path) as client, page(client) as again:
        told = again.until("marks")["marks"]["line-check"]["vox"]
        assert told["note"]["text"] == "crackles"
        assert told["tick"] is not None


def test_asked_twice_it_is_noted_once(client: TestClient, path: Path) -> None:
    with page(client) as one:
        one.ask(**TICK, ask="same")
        one.ask(**TICK, ask="same")
    with History.at(path) as history:
        assert history.rows("SELECT count(*) FROM marks") == [(1,)]


def test_ticks_go_along_with_an_item_that_is_renamed(client: TestClient) -> None:
    with page(client) as one:
        one.ask(**TICK)
        edit = {"edit": "rename", "item": "vox", "new_id": "anna-mic"}
        assert one.ask(do="edits", edits=[edit])["kind"] == "done"
        patch = next(each for each in one.heard if each["kind"] == "patch")
        assert set(patch["marks"]["line-check"]) == {"anna-mic"}


def test_a_locked_plan_takes_ticks_and_notes_only(client: TestClient) -> None:
    gain = {"edit": "set", "address": "desk.ch1.gain", "value": "30 dB"}
    note = {"edit": "annotate", "item": "vox", "note": "spare in the case"}
    with page(client, "a") as one, page(client, "b") as other:
        assert other.ask(do="lock")["kind"] == "done"
        for refused in (
            one.ask(do="edits", edits=[gain]),
            one.cells(["desk.ch1", "gain", "20"]),
            one.ask(do="text", text=TEXT),
            one.ask(do="undo", step=1),
        ):
            assert refused["kind"] == "refused"
            assert "locked for the show" in refused["error"]["what"]
            assert "Unlock" in refused["error"]["remedy"]
        assert one.ask(**TICK)["kind"] == "done"
        assert one.ask(do="edits", edits=[note])["kind"] == "done"
        assert other.ask(do="unlock")["kind"] == "done"
        assert one.ask(do="edits", edits=[gain])["kind"] == "done"


def test_the_lock_outlives_the_program_and_is_told_above_the_plan(path: Path) -> None:
    with live(path) as client, page(client) as one:
        one.ask(do="lock")
    with live(path) as client, page(client) as again:
        assert again.snapshot["head"]["lock"]["by"]
        answer = client.post(
            "/show/hall/sound-check/take-over",
            headers={"origin": "http://127.0.0.1:8000"},
            data={"now": "1"},
        )
        assert answer.status_code == 422
        assert "locked for the show" in answer.text


def test_nobody_gets_past_the_lock_by_calling_it_a_reading(client: TestClient) -> None:
    gain = {"edit": "set", "address": "desk.ch1.gain", "value": "30 dB"}
    with page(client) as one:
        one.ask(do="lock")
        for by in (True, "reading", {}):
            assert one.ask(do="edits", edits=[gain], by=by)["kind"] == "refused"


def test_a_reading_goes_into_a_locked_plan(client: TestClient) -> None:
    """The source's level is corrected and the gain turned; typed again, the meter is right."""
    with page(client) as one:
        one.ask(do="lock")
        card = one.ask(find="day", text="line-check")["found"]["cards"][0]
        assert (card["key"], card["metered"], card["unit"]) == ("vox", "desk.ch1.preamp", "dB")
        text = f"{card['metered']}: -20 dB"
        said = one.ask(find="day-reading", text=text)["found"]
        assert "softer than was taken" in said["says"][0]
        of = {"list": "line-check", "item": "vox"}
        assert one.ask(do="seen", **of, reading=text, text="-20 dB")["kind"] == "done"
        again = one.ask(find="day", text="line-check")["found"]["cards"][0]
        assert marks_of(one)["vox"]["readings"][0]["text"] == "-20 dB"  # type: ignore[index]
        right = one.ask(find="day-reading", text=f"{again['metered']}: {again['meter']}")["found"]
        assert "turn" not in " ".join(right["says"]).lower().replace("is to be turned", "")
        assert "level: " in one.ask(find="text")["found"]["text"]


def test_what_is_no_mark_is_refused(client: TestClient) -> None:
    with page(client) as one:
        for wrong in ({"list": 3}, {"item": "x" * 301}, {"content": None}):
            assert one.ask(**{**TICK, **wrong})["kind"] == "refused"
        for what in ([], {}, 3, None):  # nothing that goes wrong inside
            assert "went wrong" not in one.ask(do=what)["error"]["what"]
        long = {"list": "line-check", "item": "vox", "reading": "x" * 301, "text": "-20 dB"}
        assert "301 characters" in one.ask(do="seen", **long)["error"]["what"]


def test_sound_check_has_a_card_for_every_step(client: TestClient) -> None:
    with page(client) as one:
        cards = one.ask(find="day", text="sound-check")["found"]["cards"]
    keys = [each["key"] for each in cards]
    assert len(set(keys)) == len(keys)
    source = next(each for each in cards if each["key"] == "vox")
    assert source["meter"]
    assert source["between"]


def test_the_pages_lead_to_one_another(client: TestClient) -> None:
    assert 'href="/show/hall/day"' in client.get("/show/hall").text
    day = client.get("/show/hall/day").text
    assert 'href="/show/hall/walk"' in day
    assert "anna: desk, ch1" in client.get("/show/hall/walk").text


def test_the_walk_goes_on_with_each_answer(client: TestClient) -> None:
    asked = "/show/hall/walk?at=desk.ch1.mic&symptom=silent"
    first = client.get(asked).text
    assert "Stop 1 of" in first
    answered = client.get(f"{asked}&seen=1%3Dright&stop=3&value=40&sign=-").text
    assert "The fault lies behind" in answered
    assert "less than expected" in answered
    assert "fits: the meter would read" in answered
    assert client.get("/show/hall/walk?at=desk.ch9.mic").status_code == 422
    assert client.get(f"{asked[:-6]}loud").status_code == 422
