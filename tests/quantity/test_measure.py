"""Measures hold finite values in known units."""

from __future__ import annotations

import math

import pytest

from levelhead.errors import QuantityError
from levelhead.quantity.measure import DECIBELS, UNITS, Believable, Measure


@pytest.mark.parametrize(("value", "unit"), [(math.nan, "V"), (math.inf, "V"), (1.0, "mV")])
def test_what_is_not_finite_or_not_si_is_refused(value: float, unit: str) -> None:
    with pytest.raises(QuantityError, match="a finite value in one of V, A, W"):
        Measure(value, unit)


def test_measures_compare_by_value() -> None:
    assert Measure(48, "V") == Measure(48.0, "V")
    assert Measure(48, "V") != Measure(48, "A")
    assert len({Measure(48, "V"), Measure(48.0, "V")}) == 1


def test_every_unit_has_a_believable_range_around_what_is_usual() -> None:
    for unit, believable in {**UNITS, **DECIBELS}.items():
        assert believable.low <= 0 < believable.high, unit
        assert believable.name


def test_range_in_words() -> None:
    assert Believable("power", 0, 1e6).range_in("W") == "between 0 and 1e+06 W"
    assert Believable("ratio", 0, 10).range_in("1") == "between 0 and 10"
