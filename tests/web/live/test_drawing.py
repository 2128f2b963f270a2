"""The drawing on the page of an open show: asked for, pressed, stable, told once."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

from levelhead.drawing.flow.style import page_rules
from tests.web.hall import TEXT
from tests.web.live_show import Line, live, page

STATIC = Path(__file__).parents[3] / "src" / "levelhead" / "web" / "static"
PLACE = re.compile(r'data-item="([^"]+)"[^>]*><title>[^<]*</title><rect x="([\d.]+)" y="([\d.]+)"')


def drawn(line: Line, **more: Any) -> dict[str, Any]:
    found: dict[str, Any] = line.ask(find="drawing", **more)["found"]
    return found


def shown(tmp_path: Path, text: str = TEXT) -> Path:
    path = tmp_path / "hall.yaml"
    path.write_text(text, encoding="utf-8")
    return path


def test_boxes_come_in_the_order_of_the_signal_with_what_joins_them(tmp_path: Path) -> None:
    with live(shown(tmp_path)) as client, page(client, "a") as anna:
        found = drawn(anna)
    assert [each["id"] for each in found["boxes"]] == ["vox", "desk", "left"]
    assert [(each["from"], each["to"]) for each in found["leads"]] == [
        ("vox", "desk"),
        ("desk", "left"),
    ]
    assert 'role="button"' in found["svg"]
    assert "<style" not in found["svg"]  # the page allows no style sheet inside


def test_a_drawing_that_the_page_has_is_not_sent_again(tmp_path: Path) -> None:
    with live(shown(tmp_path)) as client, page(client, "a") as anna:
        first = drawn(anna)
        again = drawn(anna, has=first["print"])
        assert (again["svg"], again["print"]) == (None, first["print"])
        assert anna.ask(do="field", table="items", key="vox", field="label", text="Ben")
        anna.until("results")
        assert ">Ben</text>" in drawn(anna, has=first["print"])["svg"]


def test_one_more_cable_moves_no_box_past_its_neighbour(tmp_path: Path) -> None:
    """The first drawing has the singers in the order of the desk's channels, and so it stays."""
    items = "".join(f"  s{n}: {{type: mic-vocal-dynamic}}\n" for n in (3, 1, 2))
    links = "".join(f"  - {{from: s{n}.out, to: desk.ch{n + 1}.mic}}\n" for n in (1, 2))
    text = TEXT.replace("items:\n", f"items:\n{items}").replace("links:\n", f"links:\n{links}")
    with live(shown(tmp_path, text)) as client, page(client, "a") as anna:
        before = tops(drawn(anna)["svg"])
        added = anna.ask(do="add", table="links", texts=["s3.out > desk.ch4.mic", ""])
        assert added["kind"] == "done"
        anna.until("results")
        after = tops(drawn(anna)["svg"])
    stood = sorted(("vox", "s1", "s2"), key=before.__getitem__)
    assert sorted(stood, key=after.__getitem__) == stood


def tops(svg: str) -> dict[str, float]:
    return {name: float(y) for name, _, y in PLACE.findall(svg)}


def test_what_feeds_the_desk_folds_into_one_box(tmp_path: Path) -> None:
    more = TEXT.replace("links:\n", "links:\n  - {from: ben.out, to: desk.ch2.mic}\n")
    text = more.replace("items:\n", "items:\n  ben: {type: mic-vocal-dynamic}\n")
    with live(shown(tmp_path, text)) as client, page(client, "a") as anna:
        assert [(each["item"], each["count"]) for each in drawn(anna)["foldable"]] == [("desk", 2)]
        found = drawn(anna, fold=["desk", "no-such-item"])
    assert found["folded"] == ["desk"]
    box = next(each for each in found["boxes"] if each["items"])
    assert sorted(box["items"]) == ["ben", "vox"]
    assert sorted(found["leads"][0]["links"]) == [0, 1]


def test_a_press_shows_plugs_settings_levels_and_figures(tmp_path: Path) -> None:
    with live(shown(tmp_path)) as client, page(client, "a") as anna:
        desk = anna.ask(find="part", item="desk")["found"]
        cables = anna.ask(find="lead", links=["0"])["found"]["cables"]
        stranger = anna.ask(find="part", item="nobody")
    plugs = {each["at"]: each for each in desk["plugs"]}
    assert plugs["desk.ch1.mic"]["others"][0]["item"] == "vox"
    assert "10 m" in plugs["desk.ch1.mic"]["cable"]
    settings = {each["at"]: each for each in desk["settings"]}
    assert (settings["desk.ch1.gain"]["value"], settings["desk.ch1.gain"]["is_set"]) == (
        "36 dB",
        True,
    )
    assert "desk.ch2.gain" not in settings  # nothing is plugged there, nothing is set
    assert {each["unit"] for each in desk["levels"]} == {"dBu"}
    assert any(each["figure"] == "impedance" for each in desk["figures"])
    assert [each["item"] for each in cables[0]["ends"]] == ["vox", "desk"]
    assert (cables[0]["number"], cables[0]["lost_db"]) == (1, "0.0")  # numbered as on paper
    assert (stranger["kind"], stranger["error"]["what"]) == ("refused", "no item 'nobody'")


def test_the_page_has_the_rules_of_the_drawing() -> None:
    """One look for page, paper and command line; the page brings its own colours."""
    sheet = (STATIC / "build" / "flow.css").read_text(encoding="utf-8")
    assert [rule for rule in page_rules().splitlines() if rule not in sheet] == []
