"""Mixers: crossings, sums of equal and of independent signals, pan."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from levelhead.chain.wired.mixing import pan_gain
from tests.chain.bench import Items, bench, nominal

SPLIT: Items = {"t": "tone", "d": "desk", "e": "desk"}


def sum_of(items: Items, links: list[tuple[str, str]], **settings: str) -> float:
    """Level at the left sum of ``d``."""
    told = {name.replace("_", "."): text for name, text in settings.items()}
    return nominal(bench(items, links, settings=told), "d.main-left.sum")


def test_independent_signals_add_as_power() -> None:
    one = sum_of({"a": "tone", "d": "desk"}, [("a.out", "d.ch1.line")])
    two = sum_of(
        {"a": "tone", "b": "tone", "d": "desk"},
        [("a.out", "d.ch1.line"), ("b.out", "d.ch2.line")],
    )
    assert two - one == pytest.approx(10 * math.log10(2), abs=1e-6)


def test_one_signal_by_two_strips_adds_as_voltage() -> None:
    """Both sides of ``e`` bring the same tone to two strips of ``d``."""
    links = [("t.out", "e.ch1.line"), ("e.main-left.out", "d.ch1.line")]
    one = sum_of(SPLIT, links, e_ch1_pan="0.0")
    two = sum_of(SPLIT, [*links, ("e.main-right.out", "d.ch2.line")], e_ch1_pan="0.0")
    assert two - one == pytest.approx(20 * math.log10(2), abs=1e-6)


def test_a_strip_panned_away_brings_nothing() -> None:
    solution = bench({"a": "tone", "d": "desk"}, [("a.out", "d.ch1.line")])
    assert solution.levels("d.main-right.sum").nominal is None
    assert all("main-right" not in address for path in solution.paths for address in path)


@pytest.mark.parametrize("control", ["d.ch1.fader", "d.main"])
def test_off_is_silence(control: str) -> None:
    solution = bench(
        {"a": "tone", "d": "desk"}, [("a.out", "d.ch1.line")], settings={control: "off"}
    )
    assert solution.levels("d.main-left.level").nominal is None


def test_a_send_before_the_fader_does_not_follow_it() -> None:
    links = [("a.out", "d.ch1.line")]
    settings = {"d.ch1.send": "-6 dB", "d.ch1.fader": "-20 dB"}
    solution = bench({"a": "tone", "d": "desk"}, links, settings=settings)
    assert nominal(solution, "d.aux.sum") == pytest.approx(4 - 6, abs=1e-6)
    assert nominal(solution, "d.main-left.sum") == pytest.approx(4 - 20, abs=1e-6)


@given(position=st.floats(min_value=-1, max_value=1))
def test_a_pan_of_3_db_nearly_keeps_the_power(position: float) -> None:
    """Left and right together stay within half a decibel over the whole travel."""
    left, right = (pan_gain(position, side=side, law_db=-3.0) for side in (0, 1))
    assert 10 * math.log10(left**2 + right**2) == pytest.approx(0.0, abs=0.5)


@given(position=st.floats(min_value=-1, max_value=1))
def test_a_pan_of_6_db_keeps_the_voltage(position: float) -> None:
    """What both sides give in mono never changes."""
    both = sum(pan_gain(position, side=side, law_db=-6.0) for side in (0, 1))
    assert both == pytest.approx(1.0, abs=0.01)


@given(
    position=st.floats(min_value=-1, max_value=1),
    law_db=st.sampled_from([-2.5, -3.0, -4.5, -6.0]),
)
def test_a_pan_is_its_own_mirror(position: float, law_db: float) -> None:
    right = pan_gain(-position, side=1, law_db=law_db)
    assert pan_gain(position, side=0, law_db=law_db) == pytest.approx(right)


@pytest.mark.parametrize("law_db", [-3.0, -4.5, -6.0])
def test_the_middle_of_a_pan_is_its_law(law_db: float) -> None:
    assert 20 * math.log10(pan_gain(0.0, side=0, law_db=law_db)) == pytest.approx(law_db)
