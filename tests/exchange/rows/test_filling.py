"""What is typed into the input list becomes edits; rows move with all that is set in them."""

from __future__ import annotations

from collections.abc import Mapping

import pytest

from levelhead.errors import EditError
from levelhead.exchange.paperwork.input_rows import InputRow, Rows
from levelhead.exchange.rows.filling import filled, removed
from levelhead.exchange.rows.left_over import left_over
from levelhead.exchange.rows.moved import closed_up, moved_row, opened_up, rearranged
from levelhead.exchange.rows.needs_gear import NeedsGearError
from levelhead.gear.book import load_book
from levelhead.gear.feeding import phantom_switches
from levelhead.rig.build import build_rig
from levelhead.rig.model import Rig
from levelhead.show.document import parse_show
from levelhead.show.edits import Lock, Relabel, Set, apply
from levelhead.show.model import Show

TEXT = """\
levelhead: 1
show: {name: Hall}
items:
  desk: {type: mixer-compact, label: Desk}
  big: {type: mixer-digital-16}
stock: {di-active: 1, cable-xlr 15 m: 2}
"""
EMPTY = parse_show(TEXT, "hall.yaml").show


def rig_of(show: Show) -> Rig:
    return build_rig(show, load_book())


def rows_of(show: Show) -> dict[str, InputRow]:
    return Rows(rig_of(show)).all()


def typed(show: Show, row: str, **cells: str) -> Show:
    rig = rig_of(show)
    return apply(show, filled(rig, Rows(rig).all()[row], cells))[0]


def refused(show: Show, row: str, **cells: str) -> EditError:
    rig = rig_of(show)
    with pytest.raises(EditError, match=r".") as caught:
        filled(rig, Rows(rig).all()[row], cells)
    return caught.value


def test_every_strip_has_a_row_full_or_free() -> None:
    rows = rows_of(EMPTY)
    assert [name for name in rows if name.startswith("desk.")] == [
        "desk.ch1", "desk.ch2", "desk.ch3", "desk.ch4", "desk.st1", "desk.st2",
    ]  # fmt: skip
    assert all(row.is_free for row in rows.values())
    assert rows["desk.ch1"].phantom_control == "desk.phantom"
    assert rows["desk.ch1"].phantom_shared
    assert rows["big.ch1"].phantom_control == "big.ch1.phantom"
    assert rows["desk.st1"].phantom_control == ""


def test_a_microphone_comes_with_its_voice_and_its_cable() -> None:
    """Out of the stock, where something there reaches."""
    row = rows_of(typed(EMPTY, "desk.ch1", source="Anna", gear="vocal mic"))["desk.ch1"]
    assert (row.source, row.gear_type, row.cables) == (
        "Anna",
        "mic-vocal-dynamic",
        ("cable-xlr 15 m",),
    )


@pytest.mark.parametrize(
    ("gear", "chain"),
    [
        ("keyboard", ["keyboard-stereo"]),
        ("keyboard through DI", ["keyboard-stereo", "di-active"]),
        ("bass guitar > active DI", ["bass-passive", "di-active"]),
        ("bass guitar via active DI", ["bass-passive", "di-active"]),
    ],
)
def test_gear_goes_through_the_boxes_that_are_named(gear: str, chain: list[str]) -> None:
    show = typed(EMPTY, "big.ch1", gear=gear)
    row = rows_of(show)["big.ch1"]
    types = [show.items[name].type for name in row.chain]
    assert [each.startswith(start) for each, start in zip(types, chain, strict=True)] == [
        True
    ] * len(chain)


def test_stereo_goes_left_and_right() -> None:
    keys = typed(EMPTY, "desk.st1", gear="keyboard")
    assert rows_of(keys)["desk.st1"].at == ("desk.st1.in-left", "desk.st1.in-right")
    laptop = typed(EMPTY, "desk.st2", gear="laptop")
    assert rows_of(laptop)["desk.st2"].cables == ("lead-mini-two-jacks 2 m",)


def test_a_source_that_says_what_it_is_needs_no_gear() -> None:
    row = rows_of(typed(EMPTY, "desk.ch1", source="lead singer"))["desk.ch1"]
    assert (row.source, row.gear_type) == ("lead singer", "mic-vocal-dynamic")


@pytest.mark.parametrize("cells", [{"source": "Anna"}, {"cable": "10 m"}, {"note": "left"}])
def test_a_free_row_asks_for_gear_first(cells: Mapping[str, str]) -> None:
    assert isinstance(refused(EMPTY, "desk.ch1", **cells), NeedsGearError)


def test_other_gear_takes_the_place_where_its_plug_fits() -> None:
    """Label, cable and voice stay; gear with other plugs comes with its own leads."""
    show = typed(EMPTY, "desk.ch1", source="Anna", gear="vocal mic", cable="7,5 m")
    row = rows_of(typed(show, "desk.ch1", gear="condenser vocal mic"))["desk.ch1"]
    assert (row.chain, row.source, row.cables) == (
        ("mic-vocal-dynamic-1",),
        "Anna",
        ("cable-xlr 7.5 m",),
    )
    row = rows_of(typed(show, "desk.ch1", gear="keyboard"))["desk.ch1"]
    assert (row.source, row.at, row.source_id) == ("Anna", ("desk.ch1.line",), "")


def test_empty_gear_empties_the_row() -> None:
    show = typed(EMPTY, "desk.ch1", gear="keyboard through DI")
    assert typed(show, "desk.ch1", gear="") == EMPTY


def test_what_feeds_something_else_as_well_stays() -> None:
    text = TEXT.replace(
        "stock:",
        "  keys: {type: keyboard-stereo}\n"
        "links:\n"
        "  - {from: keys.out-left, to: desk.ch1.line, via: [cable-jack 3 m]}\n"
        "  - {from: keys.out-right, to: big.ch1.mic, via: [lead-jack-xlr 3 m]}\n"
        "stock:",
    )
    show = parse_show(text, "hall.yaml").show
    rig = rig_of(show)
    after, _ = apply(show, removed(rig, Rows(rig).all()["desk.ch1"]))
    assert "keys" in after.items
    assert [link.ends["b"] for link in after.links] == ["big.ch1.mic"]


@pytest.mark.parametrize(
    ("text", "cables"),
    [
        ("12 m", ("cable-jack 3 m", "cable-xlr 12 m")),
        ("XLR cable, 9 m", ("cable-jack 3 m", "cable-xlr 9 m")),
        ("2 m > 8 m", ("cable-jack 2 m", "cable-xlr 8 m")),
        ("cable-xlr 50 cm", ("cable-jack 3 m", "cable-xlr 50 cm")),
    ],
)
def test_cables_are_typed_as_people_say_them(text: str, cables: tuple[str, ...]) -> None:
    show = typed(EMPTY, "desk.ch1", gear="keyboard through DI")
    assert rows_of(typed(show, "desk.ch1", cable=text))["desk.ch1"].cables == cables


def test_words_that_mean_no_cable_are_refused() -> None:
    show = typed(EMPTY, "desk.ch1", gear="vocal mic")
    assert "no cable of the book is called 'zebra'" in str(
        refused(show, "desk.ch1", cable="zebra 3 m")
    )
    assert "2 cables for 1 plugs" in str(refused(show, "desk.ch1", cable="1 m > 2 m"))


@pytest.mark.parametrize("text", ["on", "48 V", "x", "Yes", "(on)"])
def test_phantom_has_many_words(text: str) -> None:
    assert typed(EMPTY, "big.ch2", phantom=text).settings == {"big.ch2.phantom": "on"}
    assert typed(EMPTY, "desk.ch2", phantom=text).settings == {"desk.phantom": "on"}


def test_phantom_where_there_is_none_is_refused() -> None:
    assert "has no phantom power" in str(refused(EMPTY, "desk.st1", phantom="on"))
    assert typed(EMPTY, "desk.st1", phantom="off") == EMPTY
    assert "neither on nor off" in str(refused(EMPTY, "desk.ch1", phantom="maybe"))


@pytest.mark.parametrize(
    ("text", "value"), [("36", "36 dB"), ("36,5", "36.5 dB"), ("unknown",) * 2]
)
def test_gain_needs_no_unit(text: str, value: str) -> None:
    show = typed(EMPTY, "desk.ch1", gain=text)
    assert show.settings == {"desk.ch1.gain": value}
    assert typed(show, "desk.ch1", gain="") == EMPTY


def test_what_is_typed_again_changes_nothing() -> None:
    show = typed(EMPTY, "desk.ch1", gear="keyboard through DI", gain="30")
    row = rows_of(show)["desk.ch1"]
    gear = f"{row.gear} > {row.through}"
    cable = " > ".join(row.cable_labels)
    assert typed(show, "desk.ch1", gear=gear, cable=cable, gain=row.gain) == show


def test_switches_of_phantom_power_are_found_by_what_they_feed() -> None:
    found = phantom_switches(load_book().entry("mixer-compact"))
    assert {key: (each.control, each.of_block) for key, each in found.items()} == {
        ("ch", "mic"): ("phantom", False)
    }


# ---------------------------------------------------------------- rows that move


@pytest.fixture
def full() -> Show:
    show = EMPTY
    for number, name in ((1, "Anna"), (2, "Ben"), (4, "Ines")):
        show = typed(show, f"desk.ch{number}", source=name, gear="vocal mic", gain=str(30 + number))
    return apply(show, [Lock("desk.ch2.gain"), Set("desk.ch2.pan", "left")])[0]


def order(show: Show) -> list[str]:
    return [row.source for name, row in rows_of(show).items() if name.startswith("desk.ch")]


def test_settings_and_locks_go_with_their_row(full: Show) -> None:
    rig = rig_of(full)
    after, back = apply(
        full, list(rearranged(rig, moved_row(Rows(rig).all(), "desk.ch2", "desk.ch1")))
    )
    assert order(after) == ["Ben", "Anna", "", "Ines"]
    assert after.settings["desk.ch1.gain"] == "32 dB"
    assert after.settings["desk.ch1.pan"] == "left"
    assert "desk.ch2.pan" not in after.settings
    assert after.locks == {"desk.ch1.gain"}
    assert apply(after, back)[0] == full


def test_a_row_put_in_moves_those_behind_up_to_the_next_free_one(full: Show) -> None:
    rig = rig_of(full)
    rows = Rows(rig).all()
    after, _ = apply(full, list(rearranged(rig, opened_up(rows, "desk.ch1"))))
    assert order(after) == ["", "Anna", "Ben", "Ines"]
    with pytest.raises(EditError, match="no row behind this one is free"):
        opened_up(rows, "desk.ch4")


def test_a_row_closed_up_takes_those_behind_it(full: Show) -> None:
    rig = rig_of(full)
    after, _ = apply(full, list(rearranged(rig, closed_up(Rows(rig).all(), "desk.ch1"))))
    assert order(after) == ["Ben", "Anna", "", "Ines"]


def test_strips_of_different_kinds_do_not_change_places(full: Show) -> None:
    with pytest.raises(EditError, match="ch1 and st1 have different sockets"):
        moved_row(rows_of(full), "desk.ch1", "desk.st1")


def test_what_is_left_is_counted(full: Show) -> None:
    left = left_over(rig_of(full), rows_of(full).values()).to_json()
    counts = {each["label"]: (each["count"], each["next"]) for each in left["inputs"]}
    assert counts["Desk: mic input"] == (1, "desk.ch3")
    assert counts["Desk: stereo line input left"] == (2, "desk.st1")
    assert left["phantom_inputs"] == 1 + 16
    assert {"label": "XLR cable, 15 m", "count": 2} in left["leads"]
    assert [each["count"] for each in left["boxes"]] == [1]
    named = apply(full, [Relabel("desk", "Front")])[0]
    assert any(
        each["label"].startswith("Front")
        for each in left_over(rig_of(named), rows_of(named).values()).to_json()["inputs"]
    )
