"""The input list: what a crew needs at each input, in the order of the panel."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from pathlib import Path
from typing import Any, Final

import pytest

import levelhead
from levelhead.exchange.sheet.values import Sheet
from levelhead.exchange.sheets.input_list import COLUMNS, input_list
from levelhead.gear.book import load_book
from levelhead.planning.check import check_show
from levelhead.show.document import load_show
from levelhead.show.edits import Edit, Remove, Retitle, Set, apply
from levelhead.show.model import Cable, Item, Link, Show, Source
from tests.chain.bench import BOOK, bench_show

EXAMPLES: Final = Path(levelhead.__file__).parent / "examples"


@cache
def hall(*edits: Edit) -> Sheet:
    show, _ = apply(load_show(str(EXAMPLES / "village-hall.yaml")).show, edits)
    return input_list(check_show(show, load_book()))


@cache
def hall_rows() -> dict[str, Mapping[str, str]]:
    return {row["input"]: row for row in hall().rows}


def row(starting: str) -> Mapping[str, str]:
    """The one row of the hall whose input begins so."""
    return next(each for name, each in hall_rows().items() if name.startswith(starting))


def test_every_plugged_input_of_the_mixer_has_its_row_in_the_order_of_the_panel() -> None:
    strips = [name.partition(",")[0] for name in hall_rows()]
    assert strips == ["ch1", "ch2", "ch3", "ch4", "st1", "st1", "st2", "st2"]


def test_every_row_has_every_column() -> None:
    keys = {column.key for column in COLUMNS}
    assert all(set(each) == keys for each in hall().rows)


def test_the_head_says_which_show_and_which_state_of_it() -> None:
    before, after = hall().head, hall(Set("desk.ch1.gain", "20 dB")).head
    assert (before.show, before.version) == ("Evening in the village hall", 2)
    assert before.date == "2026-11-14"
    assert before.fingerprint != after.fingerprint
    assert hall(Retitle("Another", None, 3)).head.show == "Another"


def test_a_source_is_who_sings_and_through_is_what_stands_before_the_input() -> None:
    assert (row("ch1")["source"], row("ch1")["through"]) == ("Ruth", "Ruth's microphone")
    assert row("ch2")["through"] == "Ben's keyboard > DI of the keyboard"
    assert row("ch2")["source"] == "Ben's keyboard"


def test_both_ends_of_a_fan_lead_back_to_their_player() -> None:
    sources = [each["source"] for name, each in hall_rows().items() if name.startswith("st1")]
    assert sources == ["Laptop", "Laptop"]


def test_the_order_in_which_a_fan_is_written_does_not_matter() -> None:
    """Its outputs first: the player is still found."""
    ends = {"one": "d.ch1.line", "two": "d.ch2.line", "out": "t.out"}
    fan: dict[str, Any] = {
        "label": "Split",
        "kind": "cable",
        "source": "standard",
        "ends": {"one": "xlr-m", "two": "xlr-m", "out": "xlr-f"},
        "wire": {"core": "0.001 mohm/m"},
        "map": {f"out.{pin}": [f"one.{pin}", f"two.{pin}"] for pin in "123"},
        "usual-length": "1 m",
    }
    show = Show(
        "bench",
        items={"t": Item("t", "tone"), "d": Item("d", "desk")},
        links=(Link(ends, (Cable("split", 1.0),)),),
    )
    rows = input_list(check_show(show, BOOK.extended({"split": fan}))).rows
    assert [each["source"] for each in rows] == ["t", "t"]


def test_a_cable_is_told_with_its_number_and_its_length_apart() -> None:
    told = row("ch1")
    assert (told["lead"], told["cable"], told["length"]) == ("1", "XLR cable", "20")


@pytest.mark.parametrize(("phantom", "words"), [("off", ("", "needed")), ("on", ("(on)", "on"))])
def test_phantom_power_is_told_where_it_is_on_and_where_it_is_needed(
    phantom: str, words: tuple[str, str]
) -> None:
    """A dynamic microphone does not mind it; a condenser lives on it."""
    rows = {each["input"]: each for each in hall(Set("desk.phantom", phantom)).rows}
    told = {name.partition(",")[0]: each["phantom"] for name, each in rows.items()}
    assert (told["ch1"], told["ch3"]) == words


def test_a_gain_that_is_set_is_told_as_set_and_another_is_proposed() -> None:
    show = bench_show(
        {"t": ("tone", {"generator.level": "-26 dBu"}), "u": "tone", "d": "desk"},
        [("t.out", "d.ch1.line"), ("u.out", "d.ch2.line")],
        settings={"d.ch2.gain": "-3 dB"},
    )
    first, second = input_list(check_show(show, BOOK)).rows
    assert first["gain"] == "30"
    assert first["knob"].startswith("begin at ")
    assert second["gain"] == "−3"
    assert "begin" not in second["knob"]


def test_an_input_without_gain_says_so() -> None:
    assert (row("st1")["gain"], row("st1")["knob"]) == ("", "no gain here")


def test_what_wants_a_look_is_marked() -> None:
    assert row("ch1")["note"] == ""
    assert row("ch3")["note"] == "fails"
    assert row("st1")["note"] == "care"


def test_cautions_of_the_show_stand_on_the_paper() -> None:
    """Loudspeaker voltages in the foyer, until they are gone."""
    assert any("Loudspeaker outputs" in caution for caution in hall().cautions)
    assert hall(Remove("foyer")).cautions == ()


def test_a_chain_that_bites_its_tail_ends() -> None:
    """A box fed by itself through the desk: each is named once."""
    show = bench_show(
        {"b": "box", "d": "desk"}, [("b.out", "d.ch1.line"), ("d.aux.out", "b.in")],
        sources=[],
    )  # fmt: skip
    (only,) = input_list(check_show(show, BOOK)).rows
    assert only["through"] == "d > b"


def test_two_sources_at_one_microphone_are_both_named() -> None:
    show = bench_show(
        {"mic": "microphone", "d": "desk"},
        [("mic.out", "d.ch1.line")],
        sources=[Source("anna", "voice", "mic", label="Anna"), Source("ben", "voice", "mic")],
    )
    (only,) = input_list(check_show(show, BOOK)).rows
    assert only["source"] == "Anna, ben"
