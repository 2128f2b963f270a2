"""Several devices at one show, in process: who is here, what was missed, two people in a cell."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from levelhead.web.live.people import as_text
from tests.web.hall import TEXT
from tests.web.live_show import Line, live, page

GAIN = ["desk.ch1", "gain", "40"]


def back(line: Line) -> str:
    """What a page says of itself when it comes back."""
    return f"&run={line.snapshot['run']}&seen={line.revision}"


def people(line: Line) -> dict[str, int]:
    return {each["name"]: each["pages"] for each in line.until("here")["people"]}


def test_everybody_sees_who_is_here(client: TestClient, anna: Line) -> None:
    assert people(anna) == {"Anna": 1}
    with page(client, "b", "Ben"), page(client, "c", "Ben"):
        assert people(anna) == {"Anna": 1, "Ben": 1}
        assert people(anna) == {"Anna": 1, "Ben": 2}
        with page(client, "d"):
            assert people(anna) == {"Anna": 1, "Ben": 2, "the desk": 1}
    while people(anna) != {"Anna": 1}:
        pass


def test_a_page_that_was_away_is_told_what_it_missed(client: TestClient, anna: Line) -> None:
    """The phone slept: it gets the rows that changed, not the show."""
    with page(client, "b", "Ben") as ben:
        known = ben.snapshot["tables"]
        came = back(ben)
    anna.cells(GAIN)
    anna.cells(["desk.ch2", "gear", "vocal mic"], ["desk.ch2", "source", "Ines"])
    anna.ask(do="clear", rows=["desk.ch1"])
    with page(client, "b", "Ben", came) as ben:
        news = ben.snapshot
        assert news["kind"] == "caught-up"
        assert (news["revision"], news["you"], news["may"]) == (anna.revision, "Ben", "change")
        assert set(news["tables"]["rows"]["set"]) == {"desk.ch1", "desk.ch2"}
    with page(client, "c") as fresh:
        for name, rows in fresh.snapshot["tables"].items():
            patch = news["tables"].get(name, {})
            mine = {**known[name], **patch.get("set", {})}
            order = patch.get("order", list(known[name]))
            assert {key: mine[key] for key in order} == rows


@pytest.mark.parametrize(
    "said", ["", "&run=00000000&seen=0", "&run={run}&seen=99", "&run={run}&seen=-1", "&seen=x"]
)
def test_who_knows_nothing_of_this_run_gets_everything(
    client: TestClient, anna: Line, said: str
) -> None:
    anna.cells(GAIN)
    with page(client, "b", "Ben", said.format(run=anna.snapshot["run"])) as ben:
        assert ben.snapshot["kind"] == "snapshot"
        assert ben.snapshot["tables"]["rows"]["desk.ch1"]["gain"] == "40 dB"


def test_who_is_too_far_behind_gets_everything(client: TestClient, anna: Line) -> None:
    came = back(anna)
    for text in ("30", "31", "32"):
        anna.cells(["desk.ch1", "gain", text])
    with page(client, "b", "Ben", came) as ben:
        assert ben.snapshot["kind"] == "caught-up"
    rooms = client.app.state.rooms  # type: ignore[attr-defined]
    rooms._rooms[rooms.latest].past._patches.popleft()
    with page(client, "b", "Ben", came) as ben:
        assert ben.snapshot["kind"] == "snapshot"


def test_an_edit_typed_while_away_is_taken_or_refused_with_the_name(
    client: TestClient, anna: Line
) -> None:
    """Ben's phone had no network; both typed into one cell, and he into another."""
    with page(client, "b", "Ben") as ben:
        seen, came = ben.revision, back(ben)
    anna.cells(GAIN)
    with page(client, "b", "Ben", came) as ben:
        refused = ben.cells(["desk.ch1", "gain", "20"], base=seen)
        assert refused["reason"] == "stale"
        assert refused["error"]["what"] == "Anna changed desk, ch1, gain (now 40 dB) meanwhile"
        assert ben.cells(["desk.ch2", "gain", "20"], base=seen)["kind"] == "done"


def test_a_new_start_between_is_no_hole(path: Path) -> None:
    """The program was started anew while Ben was away: what Anna changed before is not lost."""
    with live(path) as client, page(client, "a", "Anna") as anna:
        seen = anna.revision
        anna.cells(GAIN)
    with live(path) as client, page(client, "b", "Ben", f"&run=0&seen={seen}") as ben:
        assert ben.snapshot["kind"] == "snapshot"
        assert ben.cells(["desk.ch1", "gain", "20"], base=seen)["reason"] == "stale"
    with live(path) as client, page(client, "c", "Anna") as anna:
        assert anna.buttons["undo"]["words"] == "Set desk, ch1, gain to 40 dB"
        assert anna.ask(do="undo", step=1)["kind"] == "done"
    assert path.read_text(encoding="utf-8") == TEXT


def test_a_file_changed_by_an_editor_is_everybodys_to_take_back(
    client: TestClient, anna: Line, path: Path
) -> None:
    with page(client, "b", "Ben") as ben:
        path.write_text(TEXT.replace("Anna", "Ines"), encoding="utf-8")
        assert ben.until("buttons")["undo"]["by"] == "the file"
        assert anna.until("buttons")["undo"]["by"] == "the file"
        assert ben.ask(do="undo", step=1)["kind"] == "done"
        assert anna.until("buttons")["undo"] is None


def test_a_page_that_says_hello_is_answered_at_once(anna: Line) -> None:
    assert anna.ask(find="hello", ask="hello") == {"kind": "answer", "ask": "hello", "found": None}


# ---------------------------------------------------------------- long work


def test_trying_ways_out_tells_how_far_it_is_and_can_be_stopped(
    client: TestClient, anna: Line
) -> None:
    """Two findings, each with ways out: stopped after the first, gone on with after that."""
    edit = {"edit": "retype", "item": "vox", "type": "mic-vocal-condenser"}
    assert anna.ask(do="edits", edits=[edit])["kind"] == "done"
    assert anna.ask(do="stop-work")["kind"] == "answer"
    progress = anna.until("progress")
    while not progress["stopped"] or progress["revision"] < 1:  # that of the state before too
        progress = anna.until("progress")
    assert progress["done"] < progress["of"]
    with page(client, "b", "Ben") as ben:  # whoever comes later sees it as well
        assert ben.until("progress") == progress
        assert ben.ask(do="go-on")["kind"] == "answer"
    while progress["done"] < progress["of"]:
        progress = anna.until("progress")
    assert not progress["stopped"]


def test_what_is_told_can_be_sent_whatever_was_typed() -> None:
    """Half of a surrogate pair has no bytes; as an escape it goes out and comes in the same."""
    news = {"kind": "refused", "ask": "\ud800", "what": "ä"}
    text = as_text(news)
    assert json.loads(text.encode()) == news
    assert as_text({"a": "ä"}) == '{"a":"ä"}'
