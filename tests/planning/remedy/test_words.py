"""Remedies in the crew's words."""

from __future__ import annotations

from levelhead.gear.book import load_book
from levelhead.planning.remedy.words import remedy_words
from levelhead.show.edits import AddItem, Edit, Plug, Retype, Set, Unplug
from levelhead.show.model import Cable, Item, Link, Show

OLD = Link({"a": "bass.out", "b": "desk.ch1.mic"}, (Cable("cable-jack", 3.0),))
INTO = Link({"a": "bass.out", "b": "di.in"}, (Cable("cable-jack", 3.0),))
OUT = Link({"a": "di.out", "b": "desk.ch1.mic"}, (Cable("cable-xlr", 10.0),))
SHOW = Show(
    "Pub",
    items={
        "bass": Item("bass", "bass-passive", "Jo's bass"),
        "desk": Item("desk", "mixer-compact"),
    },
    links=(OLD,),
)


def words(*edits: Edit) -> str:
    return remedy_words(edits, SHOW, load_book())


def test_a_box_between_two_plugs_is_one_act() -> None:
    """What goes where, with which leads, and what is set on it."""
    edits = (AddItem(Item("di", "di-active")), Unplug(OLD), Plug(INTO), Plug(OUT))
    assert words(*edits, Set("di.battery", "fitted")) == (
        "Put di (DI box, active, phantom or battery) between Jo's bass (bass.out) and "
        "desk.ch1.mic; into it jack cable, two-pole, 3 m; out of it XLR cable, 10 m; battery fitted"
    )


def test_a_box_before_a_y_lead_is_one_act() -> None:
    """Both places that the lead goes to are named, with their sides."""
    ends = {"a": "iso.out", "left": "desk.st1.in-left", "right": "desk.st1.in-right"}
    y_lead = Link(ends, (Cable("lead-mini-two-jacks", 5.0),))
    into = Link({"a": "bass.out", "b": "iso.in"}, (Cable("cable-mini", 1.0),))
    said = words(
        AddItem(Item("iso", "isolator-line-stereo")), Unplug(OLD), Plug(into), Plug(y_lead)
    )
    assert "between Jo's bass (bass.out) and desk.st1.in-left (left) and" in said
    assert "desk.st1.in-right (right); into it" in said


def test_what_is_set_elsewhere_is_said_in_full() -> None:
    """A knob of another item keeps its address."""
    edits = (AddItem(Item("di", "di-passive")), Unplug(OLD), Plug(INTO), Plug(OUT))
    assert words(*edits, Set("desk.ch1.gain", "30 dB")).endswith("; Set desk.ch1.gain to 30 dB")


def test_other_moves_are_told_edit_by_edit() -> None:
    """A plug that only comes out goes without saying, unless nothing else happens."""
    other = Link({"a": "bass.out", "b": "desk.ch2.line"}, (Cable("cable-jack", 3.0),))
    assert words(Unplug(OLD), Plug(other)) == (
        "Plug Jo's bass (bass.out) into desk.ch2.line with cable-jack 3 m"
    )
    assert words(Unplug(OLD)).startswith("Unplug Jo's bass (bass.out) from desk.ch1.mic")


def test_a_y_lead_is_one_act() -> None:
    """Both sides of a stereo output, and the pans that go with them."""
    ends = {"a": "bass.out", "left": "desk.ch1.line", "right": "desk.ch2.line"}
    lead = Plug(Link(ends, (Cable("lead-mini-two-jacks", None),)))
    pans = (Set("desk.ch1.pan", "left"), Set("desk.ch2.pan", "right"))
    assert words(Unplug(OLD), lead, *pans) == (
        "Plug Y lead, 3.5 mm stereo to two jacks, from Jo's bass (bass.out): left into "
        "desk.ch1.line, right into desk.ch2.line; pan them to their sides"
    )


def test_another_box_goes_in_the_place_of_one() -> None:
    assert words(Retype("bass", "bass-active")) == (
        "Take Electric bass, active (bass-active) in place of Jo's bass (bass)"
    )
