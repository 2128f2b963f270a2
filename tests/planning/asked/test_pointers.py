"""Parts of an answer: cable, gain, levels along the way."""

from __future__ import annotations

import pytest

from tests.planning.asking import asked


def test_a_plain_cable_joins_pin_to_pin() -> None:
    cable = asked("dynamic vocal mic", "compact mixer mic").cable
    assert cable is not None
    assert cable.type == "cable-xlr"
    assert dict(cable.pins) == {"1": "1", "2": "2", "3": "3"}


def test_pins_are_told_from_the_end_that_was_asked_from() -> None:
    cable = asked("passive di", "line mixer", "+4 dBu").cable
    assert cable is not None
    assert dict(cable.pins) == {"1": "sleeve", "2": "tip", "3": "ring"}


def test_each_end_of_a_fan_is_named() -> None:
    cable = asked("laptop headphones", "stereo line input of compact mixer").cable
    assert cable is not None
    assert {("tip", "left tip"), ("ring", "right tip")} <= set(cable.pins)


def test_a_gain_has_a_place_within_its_range() -> None:
    gain = asked("dynamic vocal mic", "compact mixer mic").gain
    assert gain is not None
    assert gain.control == "mixer-compact.ch1.gain"
    assert gain.low <= gain.set <= gain.high
    assert 0 <= gain.travel <= 1
    assert gain.kind == "knob"


def test_an_input_without_gain_has_none() -> None:
    assert asked("laptop headphones", "stereo line input of compact mixer").gain is None


@pytest.mark.parametrize(
    ("from_text", "to_text", "first", "last_unit"),
    [
        ("dynamic vocal mic", "compact mixer mic", "voice", "dBu"),
        ("amp link output", "powered loudspeaker line input", "feed.output", "dB SPL"),
    ],
)
def test_levels_run_through_the_link_from_the_source_to_the_end(
    from_text: str, to_text: str, first: str, last_unit: str
) -> None:
    told = asked(from_text, to_text)
    addresses = [each.at for each in told.levels]
    assert addresses[0] == first
    assert told.to_address in addresses
    assert told.levels[-1].unit == last_unit


def test_a_damaged_input_ends_the_way() -> None:
    """Behind it the stages would say 148 dB SPL of a loudspeaker that is dead."""
    told = asked("amp speaker out", "powered loudspeaker line input")
    assert told.levels[-1].at == told.to_address
    assert {each.unit for each in told.levels} == {"dBu"}


def test_a_dead_box_ends_the_way() -> None:
    """What feeds it is still shown; behind it there is silence."""
    told = asked("active di on phantom only", "line mixer", "+4 dBu")
    assert told.levels[0].nominal == pytest.approx(4.0, abs=0.01)
    assert all(each.nominal is None for each in told.levels if each.at == told.to_address)
