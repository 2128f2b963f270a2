"""The level picture of an open show: what is turned is tried at once and written when let go."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from levelhead.chain.solve import solve
from levelhead.gear.book import load_book
from levelhead.rig.build import build_rig
from levelhead.show.document import parse_show
from levelhead.show.edits import Set, apply
from tests.web.hall import PLACED, TEXT
from tests.web.live_show import Line, live, page

GAIN = "desk.ch1.gain"


def looked(line: Line, **more: Any) -> dict[str, Any]:
    found: dict[str, Any] = line.ask(find="levels", **more)["found"]
    return found


def turned(value: str) -> list[dict[str, str]]:
    return [{"edit": "set", "address": GAIN, "value": value}]


def levels_by(found: dict[str, Any]) -> dict[str, str]:
    return {each["at"]: each["nominal"] for each in found["points"]}


def test_a_way_is_told_from_the_air_to_the_air(path: Path) -> None:
    with live(path) as client, page(client, "a") as anna:
        found = looked(anna)
    assert [each["label"] for each in found["sources"]] == ["anna"]
    units = [each["unit"] for each in found["points"]]
    assert (units[0], units[-1]) == ("dB SPL", "dB SPL")
    controls = [each["at"] for point in found["points"] for each in point["controls"]]
    assert controls[:2] == [GAIN, "desk.ch1.fader"]
    assert "left.level" in controls
    for point in found["points"]:
        for name, share in point["x"].items():
            assert (share is None) == (point[name] == "–"), (point["at"], name)
            assert share is None or 0 <= share <= 1


def test_what_is_turned_moves_every_point_behind_it_and_writes_nothing(path: Path) -> None:
    """The same figures as of a show in which the gain was set: it is solved, not reckoned."""
    with live(path) as client, page(client, "a") as anna:
        before = looked(anna)
        tried = looked(anna, edits=turned("26 dB"))
        after = looked(anna)
        assert anna.ask(find="text")["found"]["text"] == TEXT
        assert anna.snapshot["revision"] == anna.revision
    show, _ = apply(parse_show(TEXT, "hall").show, [Set(GAIN, "26 dB")])
    solution = solve(build_rig(show, load_book()))
    figures = levels_by(tried)
    for at, text in figures.items():
        nominal = solution.levels(at).nominal
        assert nominal is not None
        assert float(text.replace("−", "-")) == pytest.approx(nominal, abs=0.051)
    moved = [at for at, text in levels_by(before).items() if figures[at] != text]
    order = [each["at"] for each in before["points"]]
    assert moved == order[order.index("desk.ch1.preamp") :]
    assert levels_by(after) == levels_by(before)


def test_a_fader_pulled_down_leaves_its_way_on_the_screen(path: Path) -> None:
    """Behind it is silence, and so is a goal that nothing reaches; it can be pushed up again."""
    off = [{"edit": "set", "address": "desk.ch1.fader", "value": "off"}]
    with live(path) as client, page(client, "a") as anna:
        before = looked(anna)
        tried = looked(anna, edits=off)
        assert [each["at"] for each in tried["points"]] == [each["at"] for each in before["points"]]
        behind = [each["at"] for each in before["points"]].index("desk.ch1.fader")
        assert {each["nominal"] for each in tried["points"][behind:]} == {"–"}
        assert anna.ask(do="edits", edits=off)["kind"] == "done"
        cut = looked(anna)
        assert levels_by(cut) == levels_by(tried)
        assert cut["points"][behind]["controls"][0]["value"] == "off"
        up = [{**off[0], "value": "0 dB"}]
        assert anna.ask(do="edits", edits=up)["kind"] == "done"
        assert looked(anna)["goal"] == before["goal"]


def test_one_step_keeps_it_and_one_takes_it_back(path: Path) -> None:
    with live(path) as client, page(client, "a") as anna:
        before = looked(anna)
        for value in ("30 dB", "28 dB", "26 dB"):
            looked(anna, edits=turned(value))
        done = anna.ask(do="edits", edits=turned("26 dB"))
        assert done["kind"] == "done"
        gain = next(
            each for point in looked(anna)["points"] for each in point["controls"]
            if each["at"] == GAIN
        )  # fmt: skip
        assert (gain["value"], gain["stops"][gain["now"]]) == ("26 dB", "26 dB")
        assert anna.ask(do="undo", step=1)["kind"] == "done"
        assert levels_by(looked(anna)) == levels_by(before)


def test_one_band_is_told_by_its_own_signal_and_noise(path: Path) -> None:
    with live(path) as client, page(client, "a") as anna:
        whole = looked(anna)
        bands = [looked(anna, band=number) for number in range(31)]
    assert whole["bands"][17] == "1 kHz"
    rows = list(zip(whole["points"], *(each["points"] for each in bands), strict=True))
    for point, *parts in rows:
        powers = [10 ** (float(part["nominal"].replace("−", "-")) / 10) for part in parts
                  if part["nominal"] != "–"]  # fmt: skip
        total = 10 ** (float(point["nominal"].replace("−", "-")) / 10)
        assert sum(powers) == pytest.approx(total, rel=0.03)  # tenths of a decibel in each
        assert {part["peak"] for part in parts} == {"–"}


def test_what_means_nothing_is_refused_and_a_way_may_end_at_the_microphone(path: Path) -> None:
    with live(path) as client, page(client, "a") as anna:
        wrong = anna.ask(find="levels", edits=turned("1000 dB"))
        strange = anna.ask(find="levels", edits=[{"edit": "set", "address": 3, "value": "x"}])
        assert looked(anna, source="nobody", goal="nowhere", band=99)["source"] == "anna"
    assert (wrong["kind"], strange["kind"]) == ("refused", "refused")
    path.write_text(TEXT.partition("links:")[0], encoding="utf-8")
    with live(path) as client, page(client, "a") as anna:
        assert {each["item"] for each in looked(anna)["points"]} == {"anna", "Anna"}


def test_the_seats_are_the_last_lanes_and_follow_the_hand(tmp_path: Path) -> None:
    """10 dB less gain is 10 dB less at the seats, before anything is written."""
    placed = tmp_path / "placed.yaml"
    placed.write_text(PLACED, encoding="utf-8")
    with live(placed) as client, page(client, "a") as anna:
        before, tried = looked(anna), looked(anna, edits=turned("26 dB"))
    assert (before["points"][-1]["item"], before["points"][-1]["unit"]) == ("Seats", "dB(A)")
    assert before["scales"]["dB(A)"]
    at = before["points"][-1]["at"]
    fallen = float(levels_by(before)[at]) - float(levels_by(tried)[at])
    assert fallen == pytest.approx(10.0, abs=0.15)
