"""The plan of an open show over its socket: places go out with each patch, the air is asked."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest

from levelhead.drawing.plan.symbols import SYMBOLS
from levelhead.drawing.seats.style import STEPS
from levelhead.web.files.kept_files import STATIC_FOLDER
from tests.web.hall import PLACED, TEXT
from tests.web.live_show import Line, live, page

PAGE_STYLE = STATIC_FOLDER / "plan" / "plan.css"


@pytest.fixture
def path(path: Path) -> Path:
    """The hall, with places."""
    path.write_text(PLACED, encoding="utf-8")
    return path


def move(at: list[float], item: str = "left") -> list[dict[str, Any]]:
    return [{"edit": "move", "item": item, "at": at}]


def heard(line: Line, shown: str = "level") -> dict[str, Any]:
    found: dict[str, Any] = line.ask(find="seats-map", text=shown)["found"]
    return found


def test_a_move_reaches_every_page_and_the_file(path: Path) -> None:
    with live(path) as client, page(client, "a") as anna, page(client, "b") as ben:
        plan = anna.snapshot["tables"]["plan"]
        assert plan["left"] | {"front": 0} == {
            "called": "left",
            "symbol": "loudspeaker",
            "word": "loudspeaker",
            "at": [-4, 0, 2.2],
            "aim": [-1, 8, 1.2],
            "front": 0,
            "coverage": 90.0,
        }
        assert plan["left"]["front"] == pytest.approx(20.556, abs=0.001)  # atan(3/8)
        assert anna.snapshot["tables"]["ground"]["room"]["corners"][0] == [-6, -4]
        assert anna.snapshot["tables"]["people"]["anna"]["heard_by"] == "vox"
        assert anna.ask(do="edits", edits=move([-3, 0, 2.2]))["kind"] == "done"
        patch = ben.until("patch")
        assert patch["tables"]["plan"]["set"]["left"]["at"] == [-3, 0, 2.2]
        typed = {"table": "areas", "key": "stalls", "field": "corners"}
        assert ben.ask(do="field", **typed, text="-2, 3; 2, 3; 2, 9")["kind"] == "done"
        assert [-2, 3] in anna.until("patch")["tables"]["ground"]["set"]["area stalls"]["corners"]
    text = path.read_text(encoding="utf-8")
    assert "left: {type: loudspeaker-powered-12, at: [-3, 0, 2.2], aim: [-1, 8, 1.2]}" in text
    assert "areas: {stalls: {corners: [[-2, 3], [2, 3], [2, 9]], spacing: 2 m}}" in text


def test_the_map_follows_a_move(path: Path) -> None:
    """A loudspeaker that is taken to the seats makes them louder, as the air has it."""
    with live(path) as client, page(client, "a") as anna:
        before = heard(anna)
        area = before["areas"][0]
        assert (area["name"], area["size"], len(area["level"])) == ("stalls", [2.0, 2.0], 25)
        assert set(area["steps"]) <= set(range(len(before["limits"]) + 1))
        assert len(area["direct"]) == len(area["sti"]) == len(area["figures"]) == 25
        anna.ask(do="edits", edits=move([0, 8, 2.5]))
        after = heard(anna)["areas"][0]
        middle = next(n for n in range(25) if (area["right"][n], area["into"][n]) == (0.0, 8.0))
        assert after["level"][middle] > area["level"][middle] + 2
        assert after["direct"][middle] > area["direct"][middle] + 3


def test_lines_beside_the_plan_say_what_it_is_like_and_what_next(path: Path) -> None:
    with live(path) as client, page(client, "a") as anna:
        found = heard(anna, "speech")
        assert found["limits"] == [0.3, 0.45, 0.6, 0.75]  # IEC 60268-16, ratings
        assert re.match(
            r"stalls: \d+ dB\(A\), from \d+ to \d+; eight of ten", found["lines"][0]["what"]
        )
        assert found["feedback"]["what"].startswith("Feedback: ")
        assert "vox" in found["feedback"]["what"] or "Anna" in found["feedback"]["what"]
        octave = heard(anna, "125")
        assert octave["areas"][0]["figures"] != found["areas"][0]["figures"]
        assert anna.ask(find="seats-map", text="loud")["kind"] == "refused"
        moves = anna.ask(find="ring-moves")["found"]
        assert [each["buys_db"] for each in moves] == sorted(
            (each["buys_db"] for each in moves), reverse=True
        )


def test_a_show_without_places_is_laid_out_on_an_explicit_press_only(path: Path) -> None:
    path.write_text(TEXT, encoding="utf-8")
    with live(path) as client, page(client, "a") as anna:
        assert all(each["at"] is None for each in anna.snapshot["tables"]["plan"].values())
        assert heard(anna)["areas"] == []
        one = anna.ask(find="first-places", text="left")["found"]["edits"]
        assert {each["item"] for each in one} == {"left"}
        every = anna.ask(find="first-places", text="")["found"]["edits"]
        assert {each["item"] for each in every} == {"vox", "desk", "left"}
        assert path.read_text(encoding="utf-8") == TEXT  # asking changed nothing
        assert anna.ask(do="edits", edits=every)["kind"] == "done"
        assert anna.until("patch", "results")
        assert len(heard(anna)["areas"]) == 4  # down the middle of the hall


def test_the_page_has_every_symbol_and_the_tones_of_seat_maps(path: Path) -> None:
    css = PAGE_STYLE.read_text(encoding="utf-8")
    light, dark = (
        re.findall(r"--s(\d): (#[0-9a-f]{6});", part) for part in css.split("@media")[:2]
    )
    assert [tone for _, tone in light] == list(STEPS["light"])
    assert [tone for _, tone in dark] == list(STEPS["dark"])
    with live(path) as client:
        html = client.get("/show/hall").text
    assert all(f'<g id="plan-{name}" class="plan-symbol">' in html for name in SYMBOLS)
