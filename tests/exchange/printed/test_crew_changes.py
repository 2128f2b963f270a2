"""Changes in the crew's words: one act, one line."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from levelhead.exchange.printed.crew_changes import cables_changed, crew_changes
from levelhead.show.edits import AddItem, Edit, Plug, Relabel, Set, Unplug, apply
from levelhead.show.model import Cable, Item, Link, Show

XLR = (Cable("cable-xlr", 10.0),)
DI_TO_7 = Link({"a": "di.out", "b": "desk.ch7.mic"}, XLR)
SHOW = Show(
    "Hall",
    items={"di": Item("di", "di-passive", "DI"), "desk": Item("desk", "mixer-digital-16", "Desk")},
    links=(DI_TO_7,),
    settings={"desk.ch7.gain": "24 dB", "desk.ch7.phantom": "off"},
)


def lines(*edits: Edit) -> list[str]:
    return [change.line for change in crew_changes(SHOW, apply(SHOW, edits)[0])]


def test_a_lead_in_another_socket_was_moved() -> None:
    moved = Link({"a": "di.out", "b": "desk.ch9.mic"}, XLR)
    assert lines(Unplug(DI_TO_7), Plug(moved)) == ["Move DI from ch7 mic to ch9 mic on Desk"]


def test_another_lead_is_two_acts() -> None:
    other = Link({"a": "di.out", "b": "desk.ch9.mic"}, (Cable("cable-xlr", 20.0),))
    assert len(lines(Unplug(DI_TO_7), Plug(other))) == 2


def test_one_strip_is_one_line() -> None:
    (line,) = lines(Set("desk.ch7.phantom", "on"), Set("desk.ch7.gain", "20 dB"))
    assert line.startswith("Desk, ch7: ")
    assert set(line[11:].split(", ")) == {"gain 20 dB (was 24 dB)", "phantom now on"}


def test_what_is_new_is_told() -> None:
    assert lines(AddItem(Item("rec", "recorder-line-pro", "Recorder"))) == [
        "Add Recorder (rec): recorder-line-pro"
    ]


def test_the_order_of_links_is_no_change() -> None:
    other = Link({"a": "di.through", "b": "desk.ch1.line"}, XLR)
    one, two = (replace(SHOW, links=each) for each in ((DI_TO_7, other), (other, DI_TO_7)))
    assert crew_changes(one, two) == ()


def test_cables_are_counted() -> None:
    shorter = replace(SHOW, links=(Link(DI_TO_7.ends, (Cable("cable-xlr", 5.0),)),))
    assert cables_changed(SHOW, shorter) == (("cable-xlr 10 m", -1), ("cable-xlr 5 m", 1))


EDITS: list[Edit] = [
    Set("desk.ch7.gain", "30 dB"),
    Set("desk.ch1.phantom", "on"),
    Unplug(DI_TO_7),
    Plug(Link({"a": "di.through", "b": "desk.ch2.line"}, XLR)),
    Relabel("di", "Bass"),
]


@given(st.sets(st.integers(0, len(EDITS) - 1)))
def test_the_edits_behind_the_lines_make_the_change(chosen: set[int]) -> None:
    """Nothing is told twice, nothing is left out."""
    after, _ = apply(SHOW, [EDITS[number] for number in sorted(chosen)])
    edits = [edit for change in crew_changes(SHOW, after) for edit in change.edits]
    assert apply(SHOW, edits)[0] == after


@pytest.mark.parametrize("number", range(len(EDITS)))
def test_a_line_is_short_enough_for_a_pen(number: int) -> None:
    (line,) = lines(EDITS[number])
    assert len(line) <= 90
