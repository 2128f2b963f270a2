"""What is printed can be read by people and by the parser."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from levelhead.errors import QuantityError
from levelhead.quantity.formatting import format_level, format_quantity, format_si
from levelhead.quantity.levels import Gain, Level, Reference
from levelhead.quantity.measure import DECIBELS, UNITS, Measure
from levelhead.quantity.parsing import parse, parse_si

LEVEL_UNITS = [reference.value for reference in Reference if reference is not Reference.DBM]


def values_of(unit: str) -> st.SearchStrategy[float]:
    """Values of a unit over the decades that are typed and printed, of both signs where usual."""
    if unit == "K":
        return st.floats(min_value=150, max_value=1000)
    believable = UNITS[unit]
    top = math.log10(believable.high) - 0.01
    decades = st.floats(min_value=top - 18, max_value=top).map(lambda power: 10.0**power)
    if believable.low < 0:
        return st.one_of(decades, decades.map(lambda value: -value), st.just(0.0))
    return st.one_of(decades, st.just(0.0))


UNIT_AND_VALUE = st.sampled_from(sorted(UNITS)).flatmap(
    lambda unit: st.tuples(st.just(unit), values_of(unit))
)


@given(UNIT_AND_VALUE)
def test_printed_measure_reads_back_to_its_digits(unit_and_value: tuple[str, float]) -> None:
    """Three digits by default: half a unit of the third is 0.5 %."""
    unit, value = unit_and_value
    offset = 273.15 if unit == "K" else 0  # degrees Celsius have the digits
    back = parse_si(format_si(value, unit), unit)
    assert back - offset == pytest.approx(value - offset, rel=5.01e-3, abs=1e-12 if offset else 0)


@given(UNIT_AND_VALUE)
def test_printed_measure_with_many_digits_reads_back_the_same(
    unit_and_value: tuple[str, float],
) -> None:
    unit, value = unit_and_value
    back = parse_si(format_si(value, unit, digits=15), unit)
    assert back == pytest.approx(value, rel=1e-13, abs=1e-11 if unit == "K" else 0)


@given(UNIT_AND_VALUE, st.integers(1, 6))
def test_printing_again_what_was_read_changes_nothing(
    unit_and_value: tuple[str, float], digits: int
) -> None:
    unit, value = unit_and_value
    text = format_si(value, unit, digits)
    assert format_si(parse_si(text, unit), unit, digits) == text


@given(st.sampled_from(["dB", *LEVEL_UNITS]), st.integers(0, 6), st.data())
def test_printed_level_reads_back_to_its_decimals(unit: str, digits: int, data) -> None:  # noqa: ANN001
    believable = DECIBELS[unit]
    value_db = data.draw(st.floats(believable.low, believable.high))
    back_db = parse_si(format_level(value_db, unit, digits), unit)
    assert back_db == pytest.approx(value_db, abs=0.5001 * 10**-digits)


@given(
    st.one_of(
        st.builds(Gain, st.floats(-200, 200).map(lambda db: round(db, 4))),
        st.builds(
            Level,
            st.floats(-50, 60).map(lambda db: round(db, 4)),
            st.sampled_from([Reference(unit) for unit in LEVEL_UNITS]),
        ),
        st.builds(
            Level,
            st.floats(-50, 60).map(lambda db: round(db, 4)),
            st.sampled_from([Reference.DBM, Reference.DBW]),
            st.sampled_from([4.0, 50.0, 110.0, 600.0]),
        ),
    )
)
def test_quantity_with_enough_decimals_is_read_back_as_itself(quantity: Level | Gain) -> None:
    assert parse(format_quantity(quantity, digits=4)) == quantity


@pytest.mark.parametrize(
    ("value", "unit", "text"),
    [
        (2200, "ohm", "2.2 kohm"),
        (150, "ohm", "150 ohm"),
        (999.6, "ohm", "1 kohm"),
        (0.0319, "ohm", "31.9 mohm"),
        (10e6, "ohm", "10 Mohm"),
        (47e-9, "F", "47 nF"),
        (4700e-6, "F", "4700 uF"),
        (0.0043, "A", "4.3 mA"),
        (12, "V", "12 V"),
        (-48, "V", "-48 V"),
        (0, "V", "0 V"),
        (0.775, "V", "775 mV"),
        (0.22e-6, "V", "220 nV"),
        (0.05, "m", "5 cm"),
        (0.5, "m", "50 cm"),
        (10, "m", "10 m"),
        (1.5e-6, "m2", "1.5 mm2"),
        (20, "m2", "20 m2"),
        (100e-12, "F/m", "100 pF/m"),
        (0.085, "ohm/m", "85 mohm/m"),
        (0.002, "V/Pa", "2 mV/Pa"),
        (5e-9, "V/rtHz", "5 nV/rtHz"),
        (0.003, "s", "3 ms"),
        (28800, "s", "8 h"),
        (900, "s", "15 min"),
        (20e3, "Hz", "20 kHz"),
        (293.15, "K", "20 degC"),
        (273.15, "K", "0 degC"),
        (math.pi / 2, "rad", "90 deg"),
        (12, "1", "12"),
        (0, "1", "0"),
        (0.054, "J", "54 mJ"),
        (1980, "C", "550 mAh"),
        (0.0023, "C", "2.3 mC"),
        (1500, "W", "1.5 kW"),
    ],
)
def test_measures_are_printed_with_the_usual_prefix(value: float, unit: str, text: str) -> None:
    assert format_si(value, unit) == text


@pytest.mark.parametrize(
    ("value_db", "unit", "digits", "text"),
    [
        (4, "dBu", 1, "+4.0 dBu"),
        (-10, "dBV", 1, "-10.0 dBV"),
        (3.01, "dBFS", 2, "+3.01 dBFS"),
        (94, "dB SPL", 0, "94 dB SPL"),
        (35, "dB", 0, "35 dB"),
        (-0.04, "dBu", 1, "0.0 dBu"),
        (-math.inf, "dB", 1, "off"),
        (-math.inf, "dBu", 1, "silence"),
    ],
)
def test_levels_are_printed_as_people_write_them(
    value_db: float, unit: str, digits: int, text: str
) -> None:
    assert format_level(value_db, unit, digits) == text
    assert parse_si(text, unit) == pytest.approx(value_db, abs=0.05)


def test_measure_is_printed_by_its_own_unit() -> None:
    assert format_quantity(Measure(2200, "ohm")) == "2.2 kohm"
    assert format_quantity(Measure(2245, "ohm"), digits=2) == "2.2 kohm"


@pytest.mark.parametrize("value", [math.nan, math.inf])
def test_what_is_no_number_is_not_printed(value: float) -> None:
    with pytest.raises(QuantityError, match="Print a dash for what is not known"):
        format_level(value, "dBu")
    with pytest.raises(QuantityError, match="a finite value in a known SI unit"):
        format_si(value, "V")


def test_unknown_units_are_not_printed() -> None:
    with pytest.raises(QuantityError, match="'V' is no unit of levels"):
        format_level(4, "V")
    with pytest.raises(QuantityError, match="a finite value in a known SI unit"):
        format_si(4, "mV")
