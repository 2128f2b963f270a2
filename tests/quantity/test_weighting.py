"""Weightings: shape, silence at 0 Hz, normalisation."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from levelhead.quantity.weighting import a_weighting_db, c_weighting_db


@pytest.mark.parametrize("weighting_db", [a_weighting_db, c_weighting_db])
def test_nothing_is_added_at_one_kilohertz_and_nothing_passes_at_zero(weighting_db) -> None:  # noqa: ANN001
    assert weighting_db(1000.0) == pytest.approx(0.0, abs=1e-12)
    assert weighting_db([0.0, 1000.0]).tolist()[0] == -np.inf


@given(st.floats(1.0, 1000.0))
def test_a_takes_more_from_the_bass_than_c(frequency_hz: float) -> None:
    assert a_weighting_db(frequency_hz) <= c_weighting_db(frequency_hz) + 1e-9


def test_c_is_three_db_down_at_its_corners() -> None:
    """IEC 61672-1: f_L and f_H are defined by it, relative to 1 kHz."""
    corners_db = c_weighting_db([10**1.5, 10**3.9])
    assert corners_db == pytest.approx([-3.0103, -3.0103], abs=1e-3)


def test_weightings_fall_off_far_from_the_middle() -> None:
    """12 dB an octave for C at both ends, 24 for A below."""
    assert c_weighting_db(0.02) - c_weighting_db(0.01) == pytest.approx(12.04, abs=0.01)
    assert c_weighting_db(4e6) - c_weighting_db(2e6) == pytest.approx(-12.04, abs=0.01)
    assert a_weighting_db(0.02) - a_weighting_db(0.01) == pytest.approx(24.08, abs=0.01)
