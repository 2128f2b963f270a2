"""The table of spellings: one meaning each, and the factors of an independent library."""

from __future__ import annotations

import pytest
import scipy.constants as si

from levelhead.errors import QuantityError
from levelhead.quantity.levels import Reference
from levelhead.quantity.measure import DECIBELS, UNITS
from levelhead.quantity.noise import BOLTZMANN_J_PER_K
from levelhead.quantity.parsing import parse_si
from levelhead.quantity.units import (
    EXACT,
    FOOT_M,
    INCH_M,
    POUND_KG,
    ZERO_CELSIUS_K,
    area_m2_from_awg,
    find_unit,
)


def test_constants_agree_with_an_independent_library() -> None:
    """scipy.constants carries CODATA and the international yard and pound."""
    ours = [INCH_M, FOOT_M, POUND_KG, ZERO_CELSIUS_K, BOLTZMANN_J_PER_K]
    theirs = [si.inch, si.foot, si.pound, si.zero_Celsius, si.k]
    assert ours == pytest.approx(theirs, rel=1e-15, abs=0)


@pytest.mark.parametrize(
    ("text", "unit", "expected"),
    [
        ("1 yd", "m", si.yard),
        ("1 h", "s", si.hour),
        ("1 min", "s", si.minute),
        ("1 deg", "rad", si.degree),
        ("1 litre", "m3", si.liter),
        ("1 kWh", "J", si.kilo * si.hour),
        ("1 ft/s", "m/s", si.foot),
        ("1 t", "kg", si.metric_ton),
        ("0 degF", "K", si.convert_temperature(0, "F", "K")),
        ("100 degF", "K", si.convert_temperature(100, "F", "K")),
        ("1 pF/ft", "F/m", si.pico / si.foot),
        ("1 ft3", "m3", si.foot**3),
    ],
)
def test_factors_agree_with_an_independent_library(text: str, unit: str, expected: float) -> None:
    assert parse_si(text, unit) == pytest.approx(expected, rel=1e-14)


def test_every_spelling_means_a_known_unit() -> None:
    known = {*UNITS, *DECIBELS, *(reference.value for reference in Reference)}
    assert {unit.si for unit in EXACT.values()} <= known


def test_every_unit_can_be_written() -> None:
    assert {unit.si for unit in EXACT.values()} == {*UNITS, *DECIBELS}


def test_spellings_have_no_spaces() -> None:
    """The parser takes spaces out before it looks; only the references' own names keep theirs."""
    spaced = {spelling for spelling in EXACT if " " in spelling}
    assert spaced == {Reference.DB_SPL.value}


def test_careless_capitals_never_change_the_meaning() -> None:
    """In upper or lower case a spelling means the same or nothing, unless it is one of its own."""
    for spelling, unit in EXACT.items():
        for careless in (spelling.upper(), spelling.lower()):
            if careless not in EXACT:
                found = find_unit(careless)
                assert found is None or found[:2] == unit[:2], (spelling, careless)


@pytest.mark.parametrize("careless", ["k", "M", "dbv", "MOHM", "C"])
def test_spellings_with_two_meanings_have_none(careless: str) -> None:
    assert find_unit(careless) is None


@pytest.mark.parametrize("gauge", [-1, 41])
def test_wire_gauges_outside_the_table_are_refused(gauge: int) -> None:
    with pytest.raises(QuantityError, match="a gauge from 0 to 40"):
        area_m2_from_awg(gauge)


def test_six_gauges_double_the_diameter() -> None:
    """Common practice: 6 gauges are a factor of two, 39 gauges exactly 92, in diameter."""
    assert area_m2_from_awg(10) / area_m2_from_awg(16) == pytest.approx(4, rel=0.02)
    assert area_m2_from_awg(0) / area_m2_from_awg(39) == pytest.approx(92**2, rel=1e-12)
