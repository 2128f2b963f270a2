"""An open show over its socket, in process: what one page does and another sees."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from starlette.testclient import TestClient
from starlette.websockets import WebSocketDisconnect

from levelhead.web.live.routes import LARGEST_MESSAGE
from tests.web.hall import TEXT
from tests.web.live_show import OWN, Line, live, page

GAIN = ["desk.ch1", "gain", "40"]


def test_what_one_page_types_the_other_sees(anna: Line, ben: Line) -> None:
    anna.cells(GAIN)
    patch = ben.until("patch")
    assert patch["tables"]["rows"]["set"]["desk.ch1"]["gain"] == "40 dB"
    assert list(patch["tables"]["rows"]["set"]) == ["desk.ch1"]
    assert (patch["by"], patch["what"]) == ("Anna", "Set desk, ch1, gain to 40 dB")


def test_a_page_that_comes_later_gets_everything(client: TestClient, anna: Line) -> None:
    anna.cells(GAIN)
    with page(client, "c") as late:
        assert late.snapshot["revision"] == 1
        assert late.snapshot["tables"]["rows"]["desk.ch1"]["gain"] == "40 dB"
        assert late.snapshot["undo"] is None
    with page(client, "a", "Anna") as again:
        assert again.snapshot["undo"]["words"] == "Set desk, ch1, gain to 40 dB"


def test_undo_and_redo_are_everybodys_own(anna: Line, ben: Line) -> None:
    anna.cells(["desk.ch1", "gain", "30"])
    ben.cells(["desk.ch2", "gain", "31"])
    assert ben.buttons["undo"]["words"] == "Set desk, ch2, gain to 31 dB"
    assert anna.buttons["undo"]["step"] == 1
    assert anna.ask(do="undo", step=1)["kind"] == "done"
    rows = [each for each in anna.heard if each["kind"] == "patch"][-1]["tables"]["rows"]
    assert rows["set"]["desk.ch1"]["gain"] == "36 dB"
    assert anna.buttons == {"undo": None, "redo": {**anna.buttons["redo"], "step": 1}}
    ben.cells(["desk.ch1", "gain", "33"], base=99)
    refused = anna.ask(do="redo", step=1)
    assert (refused["kind"], refused["reason"]) == ("refused", "stale")
    assert refused["error"]["what"] == "Ben changed desk, ch1, gain after that"
    refused = anna.ask(do="undo", step=2)
    assert "another step to undo" in refused["error"]["what"]


def test_undo_never_leaves_what_cannot_be_built(anna: Line, ben: Line) -> None:
    """The larger desk was Anna's, the gain on its last strip is Ben's."""
    larger = {"edit": "retype", "item": "desk", "type": "mixer-digital-32"}
    if anna.ask(do="edits", edits=[larger])["kind"] == "refused":
        pytest.fail("the desk cannot be changed for that one")
    ben.cells(["desk.ch20", "gain", "20"], base=99)
    refused = anna.ask(do="undo", step=1)
    assert "does not fit any more after later steps of Ben" in refused["error"]["what"]


def test_a_stale_write_is_refused_and_says_so(anna: Line, ben: Line) -> None:
    anna.cells(GAIN)
    refused = ben.cells(["desk.ch1", "gain", "20"], base=0)
    assert refused["reason"] == "stale"
    assert refused["error"]["what"] == "Anna changed desk, ch1, gain (now 40 dB) meanwhile"
    assert ben.cells(["desk.ch2", "gain", "20"], base=0)["kind"] == "done"


def test_a_step_asked_for_twice_is_taken_once(anna: Line) -> None:
    """Its answer was lost with the connection, so the page asks again under the same name."""
    for _ in range(2):
        done = anna.ask(do="insert", row="desk.ch1", ask="x-1")
        assert (done["kind"], done["revision"]) == ("done", 1)


def test_what_cannot_be_is_refused_in_four_parts(anna: Line) -> None:
    refused = anna.cells(["desk.ch1", "gain", "99"])
    assert refused["error"]["what"] == "'99 dB' is outside the control's range"
    assert set(refused["error"]) >= {"what", "where", "expected", "remedy"}
    assert anna.revision == 0


def test_a_row_is_filled_by_what_people_call_things(anna: Line) -> None:
    anna.cells(
        ["desk.ch2", "source", "Ben"],
        ["desk.ch2", "gear", "keyboard through DI"],
        ["desk.ch2", "cable", "12 m"],
        ["desk.ch2", "note", "left side"],
    )
    row = anna.patch["tables"]["rows"]["set"]["desk.ch2"]
    assert row["source"] == "Ben"
    assert row["chain"] == ["keyboard-stereo-1", "di-passive-1"]
    assert row["cables"][-1] == "cable-xlr 12 m"
    assert row["note"] == "left side"


def test_a_name_alone_waits_for_gear(anna: Line) -> None:
    assert anna.cells(["desk.ch3", "source", "Ines"])["reason"] == "needs-gear"


def test_a_block_is_pasted_as_one_step(anna: Line) -> None:
    rows = [f"desk.ch{number}" for number in (2, 3, 4)]
    cells = [
        [row, column, text]
        for row in rows
        for column, text in (("source", f"Voice {row}"), ("gear", "vocal mic"), ("gain", "33"))
    ]
    assert anna.cells(*cells)["revision"] == 1
    changed = anna.patch["tables"]["rows"]["set"]
    assert [changed[row]["source"] for row in rows] == [f"Voice {row}" for row in rows]
    anna.ask(do="undo", step=1)
    assert "at" not in anna.patch["tables"]["rows"]["set"]["desk.ch4"]


def test_rows_are_put_in_moved_and_deleted(anna: Line) -> None:
    def at() -> list[str]:
        for news in anna.heard:
            tables = news.get("tables", {})
            rows = tables.get("rows", {})
            rows = rows if news["kind"] == "snapshot" else rows.get("set", {})
            for name, row in rows.items():
                seen[name] = bool(row.get("at"))
        return [name for name, is_plugged in seen.items() if is_plugged]

    seen: dict[str, bool] = {}
    assert at() == ["desk.ch1"]
    anna.ask(do="insert", row="desk.ch1")
    assert at() == ["desk.ch2"]
    anna.ask(do="move", row="desk.ch2", to="desk.ch4")
    assert at() == ["desk.ch4"]
    anna.ask(do="delete", row="desk.ch4")
    assert at() == []


def test_results_follow_the_edit_with_a_verdict_for_each_row(anna: Line) -> None:
    first = anna.until("results")
    assert first["rows"]["desk.ch1"]["verdict"] == "fine"
    anna.cells(["desk.ch1", "gain", "60"])
    results = anna.until("results")
    while results["revision"] < 1:
        results = anna.until("results")
    assert results["rows"]["desk.ch1"]["verdict"] == "care"
    mended = anna.until("mended")
    while not mended["remedies"]:
        mended = anna.until("mended")
    assert anna.ask(do="edits", edits=mended["remedies"][0]["edits"])["kind"] == "done"
    results = anna.until("results")
    while results["revision"] < 2:
        results = anna.until("results")
    assert results["rows"]["desk.ch1"]["verdict"] == "fine"


def test_one_more_is_one_pick(anna: Line) -> None:
    found = anna.ask(find="more", text="laptop")["found"]
    best = found["proposals"][0]
    assert best["verdict"] == "fine"
    assert best["into"][0]["address"].startswith("desk.")
    assert anna.ask(do="edits", edits=best["edits"])["kind"] == "done"
    refused = anna.ask(find="more", text="zebra")
    assert "nothing that makes a sound fits 'zebra'" in refused["error"]["what"]


def test_a_list_of_a_band_goes_into_the_show(anna: Line) -> None:
    found = anna.ask(find="list", text="2 vox Ben\n3 zorg")["found"]
    assert [each["name"] for each in found["inputs"]] == ["vox Ben"]
    assert found["questions"][0]["ask"] == "What is 'zorg'?"
    answers = {found["questions"][0]["key"]: "keys"}
    found = anna.ask(find="list", text="2 vox Ben\n3 zorg", answers=answers)["found"]
    assert (len(found["inputs"]), found["questions"]) == (2, [])
    assert anna.ask(do="edits", edits=found["edits"])["kind"] == "done"
    rows = anna.patch["tables"]["rows"]["set"]
    assert "desk.ch2" in rows
    assert anna.ask(find="list", text="")["kind"] in {"refused", "answer"}


def test_sockets_are_judged_best_first(anna: Line) -> None:
    found = anna.ask(find="sockets", output="vox.out")["found"]
    assert found[0]["verdict"] == "fine"
    assert [each["address"] for each in found if each["is_here"]] == ["desk.ch1.mic"]


def test_gear_and_cables_go_by_what_people_call_them(anna: Line) -> None:
    gear = anna.ask(find="gear", text="vocal mic")["found"]
    assert gear[0]["value"] == "mic-vocal-dynamic"
    cables = anna.ask(find="cable", row="desk.ch1", text="xlr")["found"]
    assert "cable-xlr" in [each["value"] for each in cables]


def test_the_text_is_edited_with_errors_at_their_lines(anna: Line) -> None:
    text = anna.ask(find="text")["found"]["text"]
    assert text == TEXT
    wrong = text.replace("mixer-compact", "mixer-compakt").replace("gain: 36 dB", "gain: 99 dB")
    errors = anna.ask(do="text", text=wrong)["error"]["errors"]
    assert ["hall.yaml:6:" in errors[0]["where"], "hall.yaml:" in errors[-1]["where"]] == [
        True,
        True,
    ]
    broken = anna.ask(do="text", text=text + "  - [")
    assert ":16:" in broken["error"]["errors"][0]["where"]
    assert anna.ask(do="text", text=text.replace("# The hall", "# The barn"))["kind"] == "done"


def test_the_file_follows_with_its_comments(anna: Line, path: Path) -> None:
    anna.cells(GAIN)
    while anna.until("head")["head"]["saved"] is not True:
        pass
    assert path.read_text() == TEXT.replace("36 dB", "40 dB")


def test_everything_is_in_the_file_when_the_app_ends(path: Path) -> None:
    with live(path) as client, page(client) as line:
        line.cells(GAIN)
    assert "gain: 40 dB" in path.read_text()


def test_a_change_in_the_file_reaches_the_pages(anna: Line, path: Path) -> None:
    path.write_text(TEXT.replace("Anna", "Ines"))
    patch = anna.until("patch")
    assert patch["by"] == "the file"
    assert patch["tables"]["items"]["set"]["vox"]["label"] == "Ines"


def test_both_sides_changed_is_asked_about(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The file is looked at when it is to be saved, and not between its change and the step."""
    monkeypatch.setattr("levelhead.web.live.room.LOOK_EVERY_S", 3600.0)
    with live(path) as client, page(client, "a", "Anna") as anna:
        path.write_text(TEXT.replace("36 dB", "12 dB"))
        assert anna.cells(GAIN)["kind"] == "done"
        patch = anna.until("patch", "head")
        while not patch["head"]["clash"]:
            patch = anna.until("patch", "head")
        assert patch["head"]["clash"]["cells"] == [
            {"cell": "desk, ch1, gain", "here": "40 dB", "file": "12 dB"}
        ]
        assert anna.ask(do="settle", take="here")["kind"] == "done"
        while anna.until("head")["head"]["saved"] is not True:
            pass
        assert "gain: 40 dB" in path.read_text()


def test_a_show_with_errors_opens_with_its_text(tmp_path: Path) -> None:
    path = tmp_path / "wrong.yaml"
    path.write_text(TEXT.replace("mixer-compact", "mixer-compakt"))
    with live(path) as client, page(client) as line:
        assert "mixer-compakt" in line.snapshot["head"]["problem"]["errors"][0]["what"]
        assert line.ask(do="text", text=TEXT)["kind"] == "done"
        assert line.patch["head"]["problem"] is None


def test_a_mistake_of_ours_stops_nobody(
    anna: Line, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    def wrong(*_: object) -> None:
        raise ZeroDivisionError

    with monkeypatch.context() as patched:
        patched.setattr("levelhead.exchange.rows.filling.filled", wrong)
        refused = anna.cells(GAIN)
    assert refused["error"]["what"] == "levelhead went wrong: ZeroDivisionError"
    assert "could not be taken" in caplog.text
    assert anna.cells(GAIN)["kind"] == "done"


# ---------------------------------------------------------------- who may


@pytest.mark.parametrize(
    "headers", [{"origin": "http://evil.example"}, {"origin": "null"}, {"host": "evil.example"}]
)
def test_a_foreign_page_gets_no_socket(client: TestClient, headers: dict[str, str]) -> None:
    with (
        pytest.raises(WebSocketDisconnect),
        client.websocket_connect("/show/hall/live?page=aaaaaaaa", headers=headers),
    ):
        pass


@pytest.mark.parametrize("name", ["", "../..", "a" * 99])
def test_a_page_has_a_name(client: TestClient, name: str) -> None:
    with (
        pytest.raises(WebSocketDisconnect),
        client.websocket_connect(f"/show/hall/live?page={name}", headers={"origin": OWN}),
    ):
        pass


@pytest.mark.parametrize(
    "text", ["", "[", "[]", "5", '{"do": ' * 3000, "x" * (LARGEST_MESSAGE + 1)]
)
def test_what_is_no_message_ends_the_socket(anna: Line, text: str) -> None:
    anna.socket.send_text(text)
    with pytest.raises(WebSocketDisconnect):
        anna.to_the_end()


@pytest.mark.parametrize(
    "message",
    [
        {"do": "format"},
        {"do": "tick", "list": "line-check", "item": "\ud800", "content": ""},
        {"do": "cells", "cells": [["desk.ch1", "gain"]]},
        {"do": "cells", "cells": [["desk.ch1", "colour", "red"]]},
        {"do": "cells", "cells": [["desk.ch99", "gain", "1"]]},
        {"do": "edits", "edits": [{"edit": "set"}]},
        {"do": "edits", "edits": "all"},
        {"do": "undo", "step": "x"},
        {"do": "text"},
        {"do": "settle"},
        {"do": "move", "row": "desk.ch1", "to": None},
        {"do": "move", "row": "desk.ch1", "to": "desk.st1"},
        {"do": "clear", "rows": 5},
        {"find": "everything"},
        {"find": "sockets", "output": "nowhere"},
    ],
)
def test_what_makes_no_sense_is_refused(anna: Line, message: dict[str, object]) -> None:
    assert anna.ask(**message)["kind"] == "refused"
    assert anna.revision == 0


def test_the_page_holds_no_script_and_no_rows(client: TestClient) -> None:
    shown = client.get("/show").text
    assert "<script type=" in shown
    assert "Anna" not in shown
    assert " style=" not in shown


def loaded(script: Path, known: dict[Path, int]) -> dict[Path, int]:
    """Bytes of a module and of all that it imports at once, by file."""
    if script not in known:
        text = script.read_text(encoding="utf-8")
        known[script] = len(text.encode())
        for name in re.findall(r'^import .* from "(.+)";$', text, re.MULTILINE):
            loaded((script.parent / name).resolve(), known)
    return known


def test_the_first_load_of_the_build_view_is_small(client: TestClient) -> None:
    """Views that are fetched when they are first looked at do not count."""
    from levelhead.web.files.kept_files import STATIC_FOLDER

    page_ = client.get("/show").text
    sheets = re.findall(r'href="/static/(\S+\.css)"', page_)
    styles = [len((STATIC_FOLDER / each).read_bytes()) for each in sheets]
    scripts = loaded((STATIC_FOLDER / "build" / "main.js").resolve(), {})
    assert len(scripts) > 15
    assert len(styles) > 4
    assert len(page_.encode()) + sum(styles) + sum(scripts.values()) < 150_000


def test_what_is_refused_is_called_as_the_crew_calls_it(anna: Line, ben: Line) -> None:
    """An item without a label by its gear, a socket by its strip, nothing by an address."""
    seen = anna.snapshot["revision"]
    anna.ask(do="field", table="items", key="desk", field="label", text="Big desk")
    anna.cells(["desk.ch1", "note", "left"])
    refused = ben.ask(do="field", table="items", key="desk", field="label", text="FOH", base=seen)
    assert refused["error"]["what"] == "Anna changed label of Big desk (now Big desk) meanwhile"


def test_a_pasted_list_tells_what_it_guessed_and_left_out(anna: Line) -> None:
    text = "2 bass - DI (has active bass)\n3 vox Ben, condenser\nMon 1 - Ben wedge\n"
    found = anna.ask(find="list", text=text)["found"]
    bass, vox = found["inputs"]
    assert (bass["numbers"], bass["gear"][0]) == ("2", "Electric bass, active")
    assert any("active is said of the instrument" in each for each in bass["guesses"])
    assert vox["gear"][-1] == "Vocal microphone, condenser"
    assert found["aside"] == [
        "line 3: Mon 1 - Ben wedge (a mix that leaves the desk, not an input)"
    ]
