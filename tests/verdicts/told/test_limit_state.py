"""Limit states: chance, flips, what would settle it. The normal distribution is Python's own."""

from __future__ import annotations

import math
from statistics import NormalDist

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from levelhead.gear.figures import Figure
from levelhead.verdicts.told.limit_state import (
    FINE_CHANCE,
    PLAUSIBLE_SPREADS,
    Doubt,
    Flip,
    LimitState,
    figure_text,
)
from levelhead.verdicts.told.severity import Severity

LEVEL = Figure(4.0, 0.0, 8.0, "dBu", "typical")  # a range holds 95 %: two spreads of 2 dB each side
OHM = Figure(100.0, 50.0, 200.0, "ohm", "typical")


def state(margin: float, *doubts: Doubt) -> LimitState:
    return LimitState(margin, "dB", lambda: doubts)


def doubt(slope: float = 1.0, figure: Figure = LEVEL, name: str = "level of keys") -> Doubt:
    return Doubt(name, "chance", figure, slope, of="keys")


# ---------------------------------------------------------------- doubts


def test_a_spread_is_a_quarter_of_the_range() -> None:
    assert doubt().spread_db == pytest.approx(2.0)
    assert doubt(figure=OHM).spread_db == pytest.approx(20 * math.log10(4) / 4)


def test_a_figure_that_may_be_nothing_has_no_spread_in_decibels() -> None:
    assert doubt(figure=Figure(1.0, 0.0, 2.0, "ohm", "typical")).spread_db == 0.0


def test_doubts_of_one_input_are_one() -> None:
    """A figure that stands twice on the way moves the margin twice."""
    merged = state(1.0, doubt(0.5), doubt(0.25), doubt(1.0, OHM, "load")).doubts
    assert {each.input: each.slope for each in merged} == {"level of keys": 0.75, "load": 1.0}


def test_the_heaviest_doubt_comes_first_and_trifles_are_left_out() -> None:
    kept = state(1.0, doubt(0.001, name="trifle"), doubt(0.5), doubt(1.0, name="heavy")).doubts
    assert [each.input for each in kept] == ["heavy", "level of keys"]


def test_doubts_are_worked_out_only_when_they_are_asked_for() -> None:
    asked = []
    lazy = LimitState(20.0, "dB", lambda: asked.append(1) or ())
    assert lazy.severity(ample=6.0) is Severity.FINE
    assert not asked


# ---------------------------------------------------------------- chance


@given(
    margin=st.floats(-20, 20),
    slopes=st.lists(st.floats(-2, 2).filter(lambda each: abs(each) > 0.05), min_size=1, max_size=4),
)
def test_the_chance_is_that_of_the_normal_distribution(margin: float, slopes: list[float]) -> None:
    """Spreads add as squares."""
    doubts = [doubt(slope, name=f"input {number}") for number, slope in enumerate(slopes)]
    spread = math.sqrt(sum((2.0 * slope) ** 2 for slope in slopes))
    expected = 1 - NormalDist(margin, spread).cdf(0.0)
    assert state(margin, *doubts).p_holds == pytest.approx(expected, abs=1e-9)


def test_at_the_limit_it_is_a_coin() -> None:
    assert state(0.0, doubt()).p_holds == pytest.approx(0.5)


@pytest.mark.parametrize(("margin", "chance"), [(0.1, 1.0), (0.0, 1.0), (-0.04, 1.0), (-0.1, 0.0)])
def test_without_doubt_it_is_sure(margin: float, chance: float) -> None:
    """Rounding alone never makes a finding."""
    assert state(margin).p_holds == chance


# ---------------------------------------------------------------- severity


@pytest.mark.parametrize(
    ("margin", "severity"),
    [
        (-5.0, Severity.FAILS),
        (-0.06, Severity.FAILS),
        (-0.04, Severity.CARE),  # rounding: on the limit
        (3.2, Severity.CARE),  # P = 0.945
        (3.4, Severity.FINE),  # P = 0.955
        (6.0, Severity.FINE),
    ],
)
def test_severity_of_a_spread_of_2_db(margin: float, severity: Severity) -> None:
    """Fine from P 0.95 on, which is 1.645 spreads."""
    assert NormalDist().inv_cdf(FINE_CHANCE) * 2.0 == pytest.approx(3.29, abs=0.01)
    assert state(margin, doubt()).severity(ample=6.0) is severity


@pytest.mark.parametrize(("margin", "severity"), [(5.9, Severity.CARE), (6.0, Severity.FINE)])
def test_ample_is_fine_whatever_the_doubt(margin: float, severity: Severity) -> None:
    assert state(margin, doubt(5.0)).severity(ample=6.0) is severity


# ---------------------------------------------------------------- flips


@given(margin=st.floats(-10, 10), slope=st.sampled_from([-2.0, -1.0, 0.5, 1.0]))
def test_at_its_flip_a_figure_alone_brings_the_margin_to_nothing(
    margin: float, slope: float
) -> None:
    """The value told, put back into the margin, is the limit."""
    flip = doubt(slope).flip(margin)
    assume(flip is not None)
    assert flip is not None
    turned = float(flip.to.removesuffix(" dBu"))
    assert margin + slope * (turned - LEVEL.value) == pytest.approx(0.0, abs=0.11 * abs(slope))


@given(margin=st.floats(0.1, 50))
def test_only_plausible_flips_are_told(margin: float) -> None:
    """Within three spreads: 6 dB here."""
    flips = state(margin, doubt()).flips()
    assert bool(flips) is (margin <= PLAUSIBLE_SPREADS * 2.0)


def test_a_ratio_flips_as_a_ratio() -> None:
    """6.02 dB away from 100 ohm are 50 ohm."""
    flip = Doubt("load", "fact", OHM, 1.0).flip(6.0206)
    assert flip == Flip("load", "fact", "100 ohm", "50 ohm")


def test_what_moves_nothing_flips_nothing() -> None:
    assert doubt(0.0).flip(1.0) is None


def test_at_most_two_flips_are_named() -> None:
    doubts = [doubt(name=f"input {number}") for number in range(5)]
    assert [flip.input for flip in state(1.0, *doubts).flips()] == ["input 0", "input 1"]


# ---------------------------------------------------------------- words


@pytest.mark.parametrize(
    ("kind", "words"),
    [
        ("chance", "Let keys give the loudest passage and read the first meter."),
        ("choice", "Look where level of keys stands."),
        ("fact", "Look up or measure: level of keys (taken as +4.0 dBu)."),
    ],
)
def test_each_kind_of_doubt_is_settled_its_own_way(kind: str, words: str) -> None:
    named = Doubt("level of keys", kind, LEVEL, 1.0, of="keys")  # type: ignore[arg-type]
    assert state(1.0, named).settle_by() == words


def test_without_doubt_there_is_nothing_to_settle() -> None:
    assert state(1.0).settle_by() is None


@pytest.mark.parametrize(
    ("value", "unit", "is_level", "text"),
    [
        (1.0, "V", False, "1 V"),
        (1.0, "V", True, "+2.2 dBu"),
        (1.0, "Pa", False, "94.0 dB SPL"),
        (0.5, "FS", False, "-6.0 dBFS"),
        (150.0, "ohm", False, "150 ohm"),
        (12.0, "1", False, "12"),
        (30.0, "dB", False, "30.0 dB"),
    ],
)
def test_figures_are_told_as_people_write_them(
    value: float,
    unit: str,
    is_level: bool,  # noqa: FBT001 - a column of the table
    text: str,
) -> None:
    assert figure_text(value, unit, is_level=is_level) == text
