"""Positions of knobs and faders: said by the clock and in millimetres, and read back."""

from __future__ import annotations

import math
from collections.abc import Iterator

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from levelhead.errors import GearError
from levelhead.gear.book import load_book
from levelhead.gear.plan import ControlPlan
from levelhead.gear.positions import (
    FINGER_MM,
    clock_words,
    face_of,
    hand_words,
    read_travel,
    travel_of,
)
from levelhead.gear.scales import SCALES

NAMES = sorted(SCALES)
TEN_MINUTES = 10.5 / 600  # of ten hours; minutes are whole


def a_range(scale: str, low: float = -math.inf, high: float = 10.0) -> ControlPlan:
    return ControlPlan("fader", "level", "range", low, high, 0.0, scale, (), 0.0)


def ranges_of_the_book() -> Iterator[ControlPlan]:
    """Every different range of every type."""
    book = load_book()
    seen = set()
    for each in book.ids:
        if book.entry(each).ends is None:
            for control in book.controls(each).values():
                key = (control.scale, control.low, control.high)
                if control.kind == "range" and key not in seen:
                    seen.add(key)
                    yield control


RANGES = tuple(ranges_of_the_book())


@given(st.sampled_from(RANGES), st.floats(0.0, 1.0))
def test_place_to_setting_and_back(control: ControlPlan, travel: float) -> None:
    """Every place that a control can stand at is that of its setting."""
    scale = SCALES[control.scale]
    ends = {"low_db": control.low, "high_db": control.high}
    lowest = scale.travel(max(control.low, -90.0), **ends)
    assume(lowest <= travel <= scale.travel(control.high, **ends))
    assert scale.travel(scale.setting(travel, **ends), **ends) == pytest.approx(travel, abs=1e-9)


@given(st.sampled_from(RANGES), st.floats(-60, 60))
def test_setting_to_place_and_back(control: ControlPlan, setting_db: float) -> None:
    scale = SCALES[control.scale]
    ends = {"low_db": control.low, "high_db": control.high}
    assume(control.low <= setting_db <= control.high)
    travel = scale.travel(setting_db, **ends)
    assume(0 < travel < 1)  # a range may go on where its scale has no marks
    assert scale.setting(travel, **ends) == pytest.approx(setting_db, abs=1e-6)


@given(st.sampled_from(RANGES), st.floats(-60, 60))
def test_words_lead_back_to_the_place(control: ControlPlan, setting_db: float) -> None:
    """Within ten minutes of a knob, within the breadth that "a finger" stands for of a fader."""
    assume(control.low <= setting_db <= control.high)
    travel = travel_of(control, setting_db)
    length_mm = SCALES[control.scale].length_mm
    within = TEN_MINUTES if SCALES[control.scale].shape == "knob" else 3.0 / (length_mm or 600.0)
    said = hand_words(control, setting_db)
    assert read_travel(said, control) == pytest.approx(travel, abs=within + 1e-9)


@given(st.sampled_from(NAMES))
def test_off_is_down_and_the_highest_is_up(name: str) -> None:
    control = a_range(name)
    assert hand_words(control, -math.inf) in {"down", "fully down"}
    assert read_travel(hand_words(control, -math.inf), control) == 0.0
    assert read_travel(hand_words(control, 10.0), control) == 1.0


@pytest.mark.parametrize(
    ("travel", "said"),
    [
        (0.0, "fully down"),
        (0.1, "8 o'clock"),
        (0.5, "12 o'clock"),
        (0.517, "just past 12 o'clock"),
        (0.55, "half past 12"),
        (0.585, "just before 1 o'clock"),
        (0.72, "just past 2 o'clock"),
        (1.0, "fully up"),
    ],
)
def test_a_knob_by_the_clock(travel: float, said: str) -> None:
    """From 7 o'clock to 5 o'clock, 30 degrees an hour: common practice."""
    assert clock_words(travel) == said


@pytest.mark.parametrize(
    ("scale", "setting_db", "said"),
    [
        ("fader-100mm", 0.0, "on 0"),
        ("fader-100mm", 6.0, "a finger above 0"),
        ("fader-100mm", -7.2, "7 mm above -10"),
        ("fader-100mm", -9.7, "on -10"),
        ("fader-60mm", 5.0, "8 mm above 0"),
        ("digital-volume", -12.0, "65 % of its travel"),
    ],
)
def test_a_fader_by_its_marks(scale: str, setting_db: float, said: str) -> None:
    """Of 100 mm of travel 25 lie between 0 and +10: 6 dB are 15 mm, the breadth of a finger."""
    high = 0.0 if scale == "digital-volume" else 10.0
    assert hand_words(a_range(scale, high=high), setting_db) == said
    assert FINGER_MM == 15.0


def test_a_knob_may_turn_less_than_that() -> None:
    """A scale of its own turn: 8 to 4 o'clock has its middle at 12 all the same."""
    from dataclasses import replace

    narrow = replace(SCALES["even"], turns_h=(8.0, 16.0))
    assert clock_words(0.5, narrow) == "12 o'clock"
    assert clock_words(0.25, narrow) == "10 o'clock"


def test_a_switch_is_told_by_its_own_names() -> None:
    book = load_book()
    pad = next(c for c in book.controls("mixer-compact").values() if c.kind == "switch")
    assert hand_words(pad, pad.options[0]) == pad.options[0]


@pytest.mark.parametrize("words", ["6 o'clock sharp", "a hand above 0", "25 o'clock", ""])
def test_words_that_tell_no_place_are_refused(words: str) -> None:
    with pytest.raises(GearError, match="is no place of it"):
        read_travel(words, a_range("rotary-gain", 0.0, 60.0))


def test_a_face_has_both_places_and_the_marks_of_the_panel() -> None:
    gain = a_range("rotary-gain", 0.0, 60.0)
    face = face_of(gain, 20.0, 35.0)
    assert face is not None
    assert (face.shape, face.now, face.planned) == ("knob", 20 / 60, 35 / 60)
    assert [said for _, said in face.marks] == ["0", "10", "20", "30", "40", "50", "60"]
