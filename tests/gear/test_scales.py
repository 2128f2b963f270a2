"""Scales of knobs and faders."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from levelhead.gear.scales import SCALES, position_words

NAMES = sorted(SCALES)


@pytest.mark.parametrize("name", NAMES)
def test_marks_rise_from_end_to_end(name: str) -> None:
    marks = SCALES[name].marks
    if marks:
        travels, levels = zip(*marks, strict=True)
        assert (travels[0], travels[-1]) == (0.0, 1.0)
        assert list(travels) == sorted(set(travels))
        assert list(levels) == sorted(set(levels))


@given(st.sampled_from(NAMES), st.floats(-100, 12), st.floats(-100, 12))
def test_more_gain_is_never_less_travel(name: str, one_db: float, other_db: float) -> None:
    low, high = sorted((one_db, other_db))
    travels = [SCALES[name].travel(each, low_db=-math.inf, high_db=10) for each in (low, high)]
    assert 0 <= travels[0] <= travels[1] <= 1


@pytest.mark.parametrize("name", NAMES)
def test_off_is_the_stop(name: str) -> None:
    assert SCALES[name].travel(-math.inf, low_db=-math.inf, high_db=10) == 0
    assert SCALES[name].travel(10, low_db=-math.inf, high_db=10) == 1


def test_a_fader_has_0_db_at_three_quarters() -> None:
    """Common practice."""
    assert SCALES["fader-100mm"].travel(0, low_db=-math.inf, high_db=10) == 0.75


@pytest.mark.parametrize(
    ("scale", "travel", "words"),
    [
        ("rotary-gain", 0.0, "7 o'clock (0 % of its travel)"),
        ("rotary-gain", 0.5, "12 o'clock (50 % of its travel)"),
        ("rotary-gain", 0.55, "half past 12 (55 % of its travel)"),
        ("rotary-gain", 0.6, "1 o'clock (60 % of its travel)"),
        ("rotary-gain", 1.0, "fully up"),
        ("fader-100mm", 0.75, "75 % of its travel"),
        ("fader-100mm", 1.0, "top"),
    ],
)
def test_where_a_person_puts_it(scale: str, travel: float, words: str) -> None:
    assert position_words(SCALES[scale], travel) == words
