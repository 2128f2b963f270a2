"""Digital levels and alignments."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from levelhead.errors import QuantityError
from levelhead.quantity.digital import Alignment, dbfs_from_rms, quantiser_snr_db, rms_from_dbfs
from levelhead.quantity.levels import Level, Reference


@given(st.floats(1e-8, 10))
def test_rms_to_dbfs_and_back(rms: float) -> None:
    assert rms_from_dbfs(dbfs_from_rms(rms)) == pytest.approx(rms, rel=1e-12)


@given(st.floats(-120, 20), st.floats(0, 30))
def test_analogue_to_digital_and_back(level_dbu: float, full_scale_dbu: float) -> None:
    alignment = Alignment(full_scale_dbu)
    assert alignment.dbu(alignment.dbfs(level_dbu)) == pytest.approx(level_dbu, abs=1e-9)


def test_alignment_from_a_pair_takes_any_voltage() -> None:
    """-12 dBFS for -10 dBV: full scale is 12 dB above -7.78 dBu."""
    alignment = Alignment.of(Level(-12, Reference.DBFS), Level(-10, Reference.DBV))
    assert alignment.full_scale_dbu == pytest.approx(4.2185, abs=1e-4)


def test_alignment_from_the_wrong_way_round_is_refused() -> None:
    with pytest.raises(QuantityError, match="stands a piece of gear"):
        Alignment.of(Level(4, Reference.DBU), Level(-20, Reference.DBFS))


def test_digital_silence_is_minus_infinity() -> None:
    assert dbfs_from_rms(0.0) == -np.inf
    assert rms_from_dbfs(-np.inf) == 0.0


def test_quantiser_measured_on_samples() -> None:
    """A full-scale sine rounded to 12 bits: its error counted, against the formula."""
    step = 2.0**-11
    sine = np.sin(2 * np.pi * 997 / 48_000 * np.arange(480_000) + 0.1)
    error = np.round(sine / step) * step - sine
    measured_db = 10 * np.log10(np.mean(sine**2) / np.mean(error**2))
    assert quantiser_snr_db(12) == pytest.approx(measured_db, abs=0.1)
