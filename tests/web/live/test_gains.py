"""The gain plan on the page of an open show: asked for, taken over by one step, taken back."""

from __future__ import annotations

from pathlib import Path

from levelhead.show.document import parse_show
from tests.web.hall import TEXT
from tests.web.live_show import live, page


def test_one_step_takes_the_plan_over_and_one_takes_it_back(tmp_path: Path) -> None:
    path = tmp_path / "hall.yaml"
    path.write_text(TEXT, encoding="utf-8")
    with live(path) as client, page(client, "a") as anna:
        plan = anna.ask(find="gains")["found"]
        rows = {row["control"]: row for each in plan["strips"] for row in each["controls"]}
        assert rows["desk.ch1.gain"]["now"] == "36 dB"
        gain = rows["desk.ch1.gain"]
        assert gain["hand"]
        assert gain["drawing"].count('class="planned"') == 1
        assert gain["drawing"].startswith("<svg")
        assert rows["left.level"]["held"] == "loudness of anna at left"
        assert [each["goal"] for each in plan["goals"]][:3] == ["no clipping", "loudness", "meters"]
        assert plan["gap_db"] <= 0.01
        assert plan["balance"] == []
        assert anna.ask(do="edits", edits=plan["edits"])["kind"] == "done"
        again = anna.ask(find="gains")["found"]
        assert again["edits"] == []
        assert {row["now"] for each in again["strips"] for row in each["controls"]} == {
            row["planned"] for row in rows.values()
        }
        assert anna.ask(do="undo", step=1)["kind"] == "done"
    assert (
        parse_show(path.read_text(encoding="utf-8"), "hall").show.settings["left.level"] == "-20 dB"
    )


def test_a_show_without_a_signal_has_an_empty_plan(tmp_path: Path) -> None:
    path = tmp_path / "hall.yaml"
    path.write_text(TEXT.partition("links:")[0], encoding="utf-8")
    with live(path) as client, page(client, "a") as anna:
        plan = anna.ask(find="gains")["found"]
    assert (plan["strips"], plan["edits"]) == ([], [])


def test_a_plan_that_its_page_stopped_is_not_made(tmp_path: Path) -> None:
    path = tmp_path / "hall.yaml"
    path.write_text(TEXT, encoding="utf-8")
    with live(path) as client, page(client, "a") as anna:
        anna.until("results")
        assert anna.ask(find="stop", text="x-1")["kind"] == "answer"
        assert anna.ask(find="gains", name="x-1")["found"] == {"stopped": True}
        assert anna.ask(find="gains", name="x-1")["found"]["strips"]
        assert anna.ask(find="gains", name="x-2")["found"]["strips"]
