"""Crest factors and peaks."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from levelhead.errors import QuantityError
from levelhead.quantity.peaks import crest_factor_db, peak_level_db

RECORDS = arrays(np.float64, 50, elements=st.floats(-10, 10)).filter(
    lambda record: np.abs(record).max() > 1e-3
)


@given(RECORDS, st.floats(1e-3, 1e3))
def test_crest_does_not_depend_on_level_or_polarity(record: np.ndarray, factor: float) -> None:
    crest_db = crest_factor_db(record)
    assert crest_db >= -1e-9
    assert crest_factor_db(-factor * record) == pytest.approx(float(crest_db), abs=1e-6)


def test_each_record_has_its_own_crest() -> None:
    records = np.array([[1.0, -1.0, 1.0, -1.0], [2.0, 0.0, 0.0, 0.0]])
    assert crest_factor_db(records) == pytest.approx([0.0, 6.0206], abs=1e-4)


def test_silence_has_no_crest() -> None:
    with pytest.raises(QuantityError, match="a record without signal"):
        crest_factor_db(np.zeros(10))


@given(RECORDS)
def test_peak_level_is_that_of_the_sine_that_reaches_as_high(record: np.ndarray) -> None:
    nominal_db = 10 * np.log10(np.mean(record**2))
    sine_db = 20 * np.log10(np.abs(record).max() / np.sqrt(2))
    peak_db = peak_level_db(nominal_db=nominal_db, crest_db=crest_factor_db(record))
    assert peak_db == pytest.approx(sine_db, abs=1e-9)
