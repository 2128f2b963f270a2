"""How sure a reading is: per cent, decibels, or a quantity of its own unit."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from levelhead.errors import GearError, QuantityError
from levelhead.gear.figures import read_figure
from levelhead.gear.tolerance import ends_within, split_tolerance


@pytest.mark.parametrize("between", [" +- ", " ± ", " +/- ", "+-", "±"])
def test_a_tolerance_stands_behind_its_value(between: str) -> None:
    assert split_tolerance(f"290 ohm{between}5 %") == ("290 ohm", "5 %")


@pytest.mark.parametrize("text", ["290 ohm", "-4 dBu", "+4 dBu", "unknown", ""])
def test_a_value_alone_has_none(text: str) -> None:
    """A sign before a level is no tolerance."""
    assert split_tolerance(text) == (text, None)


@pytest.mark.parametrize(
    ("value", "tolerance", "unit", "ends"),
    [
        (200.0, "10 %", "ohm", (180.0, 220.0)),
        (200.0, "10 ohm", "ohm", (190.0, 210.0)),
        (2000.0, "0.1 kohm", "ohm", (1900.0, 2100.0)),
        (1.0, "20 dB", "V", (0.1, 10.0)),
        (31.2, "0.5 dB", "dB", (30.7, 31.7)),
        (-4.0, "1 dB", "dBu", (-5.0, -3.0)),
        (12.0, "0.5", "1", (11.5, 12.5)),
    ],
)
def test_the_ends_are_those_that_one_reckons(
    value: float, tolerance: str, unit: str, ends: tuple[float, float]
) -> None:
    assert ends_within(value, tolerance, unit) == pytest.approx(ends)


@given(value=st.floats(1e-9, 1e9), db=st.floats(0, 60))
def test_decibels_are_the_same_ratio_both_ways(value: float, db: float) -> None:
    low, high = ends_within(value, f"{db:.6f} dB", "V")
    assert low * high == pytest.approx(value**2, rel=1e-9)
    assert low <= value * (1 + 1e-12)


@pytest.mark.parametrize(
    ("tolerance", "unit", "said"),
    [
        ("lots", "V", "no tolerance"),
        ("3 ohm", "V", "no tolerance"),
        ("5 %", "dB", "no tolerance"),
        ("100 %", "V", "leaves nothing"),
        ("20 V", "V", "leaves nothing"),
    ],
)
def test_what_is_none_is_refused(tolerance: str, unit: str, said: str) -> None:
    with pytest.raises(QuantityError, match=said):
        ends_within(12.0, tolerance, unit)


def test_a_figure_takes_a_tolerance_in_place_of_a_range() -> None:
    raw = {"value": "290 ohm", "tolerance": "5 %", "source": "measured"}
    figure = read_figure(raw, unit="ohm", source="typical", where="vox")
    assert (figure.low, figure.high) == pytest.approx((275.5, 304.5))
    assert figure.source == "measured"
    with pytest.raises(GearError, match=r"range \(two figures\) or tolerance"):
        read_figure({**raw, "range": ["1 ohm", "2 kohm"]}, unit="ohm", source="typical", where="v")
    with pytest.raises(GearError, match="no tolerance"):
        read_figure({**raw, "tolerance": "lots"}, unit="ohm", source="typical", where="vox")
