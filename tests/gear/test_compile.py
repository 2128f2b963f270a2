"""From entries to plans: blocks, controls, switches, and what a book keeps of them."""

from __future__ import annotations

import math
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from levelhead.errors import GearError
from levelhead.gear.book import GearBook
from levelhead.gear.compile import compile_item, controls_of
from tests.bench import types_of
from tests.gear.small_book import BOOK, TYPES, path_of, plan, stage_of, value

# --- blocks and controls ---


def test_blocks_stand_under_the_names_on_the_panel() -> None:
    names = [block.name for block in plan("mixer").blocks]
    assert names == ["", "ch1", "ch2", "ch3", "main-left", "main-right", "talk"]


def test_a_block_that_is_not_there_is_named() -> None:
    with pytest.raises(GearError, match=r"mixer: no block 'ch4'.*Did you mean 'ch3'"):
        plan("mixer").block("ch4")


@given(count=st.integers(1, 64))
@settings(max_examples=10)
def test_strips_that_stand_alike_are_planned_once(count: int) -> None:
    raw: dict[str, Any] = {**TYPES["mixer"], "blocks": dict(TYPES["mixer"]["blocks"])}
    raw["blocks"]["ch"] = {**raw["blocks"]["ch"], "repeat": count}
    strips = [b for b in GearBook({"m": raw}).plan("m", {}, {}).blocks if b.block == "ch"]
    assert [strip.name for strip in strips] == [f"ch{number}" for number in range(1, count + 1)]
    assert len({id(strip.plan) for strip in strips}) == 1


def test_a_strip_that_stands_otherwise_has_a_plan_of_its_own() -> None:
    item = plan("mixer", {"ch2.pad": "on"})
    first, second, third = (item.block(f"ch{number}").plan for number in (1, 2, 3))
    assert first is third
    assert second is not first


def test_controls_have_addresses_below_the_item() -> None:
    controls = controls_of(BOOK.entry("mixer"))
    assert {"phantom", "ch1.gain", "ch3.send2", "ch2.assign1"} <= controls.keys()
    gain, pan, send = (controls[f"ch1.{name}"] for name in ("gain", "pan", "send1"))
    assert (gain.kind, gain.low, gain.high, gain.default) == ("range", 0, 60, 20)
    assert (pan.kind, pan.low, pan.high, pan.default, pan.law_db) == ("pan", -1, 1, 0, -3)
    assert send.low == -math.inf
    assert controls["phantom"].options == ("off", "on")


@pytest.mark.parametrize(
    ("control", "said"),
    [
        (
            {"range": ["0 db", "60 kohm"], "default": "0 dB"},
            r"control 'gain': '60 kohm' is no position",
        ),
        ({"range": ["left", "right"], "default": "middle"}, r"'middle' is no position"),
    ],
)
def test_a_control_that_cannot_be_read_names_its_place(control: dict[str, Any], said: str) -> None:
    own = {"label": "Own", "kind": "box", "source": "typical", "controls": {"gain": control}}
    book = GearBook({"own": own})
    with pytest.raises(GearError, match=said):
        controls_of(book.entry("own"))


# --- switches ---


def test_an_option_of_a_strip_sets_its_figures() -> None:
    item = plan("mixer", {"ch2.pad": "on"})
    assert value(stage_of(item, "preamp", "ch2").gain_db) == -20
    assert item.block("ch2").plan.ports["mic"].figure("damage") == 40
    assert value(stage_of(item, "preamp", "ch1").gain_db) == 0


def test_an_option_of_the_item_sets_figures_of_all_strips() -> None:
    item = plan("mixer", {"phantom": "on"})
    assert [item.block(f"ch{n}").plan.ports["mic"].figure("phantom") for n in (1, 3)] == [48, 48]
    assert plan("mixer").block("ch1").plan.ports["mic"].figure("phantom") is None


def test_what_stands_when_is_there_only_then() -> None:
    wide, mono = plan("mixer"), plan("mixer", {"mode": "mono", "ch1.filter": "cut"})
    assert [stage.name for stage in path_of(wide, "ch1").stages] == ["preamp", "fader"]
    assert [stage.name for stage in path_of(mono, "ch1").stages] == ["preamp", "filter", "fader"]
    assert "bridge" not in wide.block("").plan.ports
    assert "bridge" in mono.block("").plan.ports
    assert wide.block("talk").plan.paths == ()
    assert path_of(mono, "talk").origins[0].port is not None


def test_crossings_belong_to_the_strip_that_they_begin_in() -> None:
    item = plan("mixer", {"ch3.assign2": "on"})
    (pan,) = item.block("ch1").mixes
    assert (pan.from_stage, pan.to_block, pan.control, pan.law, pan.gain_db) == (
        "fader", "main", "pan", "pan", -2,
    )  # fmt: skip
    assert [mix.to_block for mix in item.block("ch3").mixes] == ["main", "main-left"]


# --- the book ---


def test_equal_items_are_planned_once() -> None:
    assert plan("mixer", {"phantom": "on"}) is plan("mixer", {"phantom": "on"})
    assert plan("mixer", {"phantom": "on"}) is not plan("mixer")


def test_compiling_again_gives_the_same() -> None:
    again = compile_item("mixer", BOOK.entry("mixer"), {"phantom": "on"}, {})
    assert again == plan("mixer", {"phantom": "on"})


def test_unknown_types_name_their_nearest() -> None:
    with pytest.raises(GearError, match=r"unknown gear type 'mixr'.*Did you mean 'mixer'"):
        BOOK.entry("mixr")
    with pytest.raises(GearError, match=r"'mixer' is no cable"):
        BOOK.cable("mixer")


def test_a_users_entries_replace_and_extend() -> None:
    book = BOOK.extended({"mic": TYPES["keys"], "extra": TYPES["mic"]})
    assert book.entry("mic").label == "Keyboard with a socket for each side"
    assert "extra" in book
    assert "extra" not in BOOK
    assert book.ids[: len(BOOK.ids)] == BOOK.ids


# --- cables ---


def test_a_cable_is_planned_with_its_conductors() -> None:
    book = GearBook(
        types_of("""
lead:
  label: Lead
  kind: cable
  source: typical
  ends: {a: xlr-f, b: jack-ts socket}
  wire: {core: 85 mohm/m, core-screen: 110 pF/m, source: handbook}
  map: {a.1: b.sleeve, a.2: b.tip, a.3: [b.sleeve]}
  usual-length: 7 m
""")
    )
    cable = book.cable("lead")
    assert cable.ends == {"a": "xlr-f", "b": "jack-ts"}
    assert cable.sockets == {"b"}
    assert (("a", "3"), ("b", "sleeve")) in cable.joins
    assert cable.core_ohm_per_m is not None
    assert (cable.core_ohm_per_m.value, cable.core_ohm_per_m.source) == (0.085, "handbook")
    assert cable.screen_ohm_per_m is None
    assert (cable.usual_length_m, cable.contact_ohm.value) == (7, 5e-3)
    assert cable is book.cable("lead")
