"""What is set at some strips, brought to others."""

from __future__ import annotations

from levelhead.show.brought import settings_brought
from levelhead.show.edits import Lock, Set, Unlock, apply
from levelhead.show.model import Item, Show

SHOW = Show(
    "Hall",
    items={"desk": Item("desk", "mixer-analogue-16")},
    settings={
        "desk.ch1.gain": "35 dB",
        "desk.ch1.send1": "0 dB",
        "desk.ch1.pan": "left",
        "desk.ch2.pan": "left",
        "desk.ch2.send3": "-6 dB",
        "desk.ch3.gain": "20 dB",
    },
    locks=frozenset({"desk.ch1.send1", "desk.ch2.send3"}),
)


def test_a_strip_stands_as_the_one_that_its_source_comes_from() -> None:
    """What stood there goes back to its default; what is the same already is left alone."""
    edits = list(settings_brought(SHOW, {"desk.ch2": "desk.ch1"}, lambda _: True))
    assert edits == [
        Set("desk.ch2.send3", None),
        Set("desk.ch2.gain", "35 dB"),
        Set("desk.ch2.send1", "0 dB"),
        Unlock("desk.ch2.send3"),
        Lock("desk.ch2.send1"),
    ]


def test_only_what_goes_is_brought_or_put_back() -> None:
    edits = list(
        settings_brought(SHOW, {"desk.ch2": "desk.ch1"}, lambda each: each.endswith("gain"))
    )
    assert edits == [Set("desk.ch2.gain", "35 dB")]


def test_one_strip_goes_to_two_and_stays_as_it_is() -> None:
    origins = {"desk.ch3": "desk.ch1", "desk.ch4": "desk.ch1"}
    after, _ = apply(SHOW, list(settings_brought(SHOW, origins, lambda _: True)))
    for strip in ("desk.ch1", "desk.ch3", "desk.ch4"):
        stands = {
            address.rpartition(".")[2]: value
            for address, value in after.settings.items()
            if address.startswith(f"{strip}.")
        }
        assert stands == {"gain": "35 dB", "send1": "0 dB", "pan": "left"}
        assert f"{strip}.send1" in after.locks


def test_strips_that_change_places_change_all_they_have() -> None:
    origins = {"desk.ch1": "desk.ch2", "desk.ch2": "desk.ch1"}
    after, back = apply(SHOW, list(settings_brought(SHOW, origins, lambda _: True)))
    assert after.settings["desk.ch1.send3"] == "-6 dB"
    assert after.settings["desk.ch2.gain"] == "35 dB"
    assert "desk.ch1.gain" not in after.settings
    assert after.locks == {"desk.ch2.send1", "desk.ch1.send3"}
    assert apply(after, back)[0] == SHOW
