"""Figures as the gear book writes them."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from levelhead.errors import GearError
from levelhead.gear.figures import SOURCES, RawFigure, read_figure


def read(raw: RawFigure, unit: str = "ohm", source: str = "typical"):  # noqa: ANN201 - a Figure
    return read_figure(raw, unit=unit, source=source, where="box, in.impedance")


def test_a_plain_figure_takes_the_source_of_its_entry() -> None:
    figure = read("2.2 kohm")
    assert (figure.value, figure.unit, figure.source) == (2200, "ohm", "typical")


def test_a_full_figure_has_its_own_range_and_source() -> None:
    figure = read({"value": "2.2 kohm", "range": ["1.5 kohm", "4 kohm"], "source": "handbook"})
    assert (figure.low, figure.value, figure.high) == (1500, 2200, 4000)
    assert figure.source == "handbook"


@pytest.mark.parametrize(
    ("source", "ratio", "spread_db"),
    [
        ("standard", 1.05, 0.5),
        ("handbook", 1.1, 1.0),
        ("measured", 1.02, 0.2),
        ("typical", 1.2, 2.0),
        ("common practice", 1.2, 2.0),
        ("from memory", 1.2, 2.0),
    ],
)
def test_a_figure_without_a_range_gets_that_of_its_source(
    source: str, ratio: float, spread_db: float
) -> None:
    """As docs/formats.md prints it; levels in decibels spread in decibels."""
    figure, gain = read("100 ohm", source=source), read("20 dB", "dB", source)
    assert (figure.low, figure.high) == pytest.approx((100 / ratio, 100 * ratio))
    assert (gain.low, gain.high) == pytest.approx((20 - spread_db, 20 + spread_db))


@given(st.sampled_from(SOURCES), st.floats(-1e6, 1e6))
def test_a_range_holds_its_value(source: str, value: float) -> None:
    """Also of negative numbers, and of nothing."""
    figure = read({"value": str(value)}, "1", source)
    assert figure.low <= figure.value <= figure.high


@pytest.mark.parametrize(
    ("raw", "unit", "said"),
    [
        ("2.2 kHz", "ohm", r"box, in\.impedance: '2\.2 kHz' cannot be read.*a quantity in ohm"),
        ("twelve", "1", r"'twelve' cannot be read; expected a plain number in quotes"),
        ({"value": "1 ohm", "rnge": []}, "ohm", r"is not understood; expected VALUE UNIT or"),
        ({"range": ["1 ohm", "2 ohm"]}, "ohm", r"is not understood"),
        ({"value": "1 ohm", "range": ["2 ohm"]}, "ohm", r"is not understood"),
        ({"value": "1 ohm", "range": "2 ohm"}, "ohm", r"is not understood"),
        ({"value": "1 ohm", "range": ["2 ohm", "3 ohm"]}, "ohm", r"1 ohm lies outside its range"),
        ({"value": "1 ohm", "range": ["2 V", "3 ohm"]}, "ohm", r"'2 V' cannot be read"),
        ({"value": "1 ohm", "source": "a friend"}, "ohm", r"unknown source 'a friend'"),
    ],
)
def test_what_is_no_figure_is_refused(raw: RawFigure, unit: str, said: str) -> None:
    with pytest.raises(GearError, match=said):
        read(raw, unit)


def test_a_unit_that_is_almost_right_is_named() -> None:
    with pytest.raises(GearError, match=r"unit 'kohn' is not known.*Did you mean 'kohm'"):
        read("2.2 kohn")


def test_a_figure_that_is_known_has_no_spread() -> None:
    sure = read("100 ohm").at(90)
    assert (sure.low, sure.value, sure.high, sure.source) == (90, 90, 90, "measured")
