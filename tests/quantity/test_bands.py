"""The 31 bands: shapes, neighbours, octaves."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from levelhead.quantity import bands
from levelhead.quantity.decibels import power_sum_db


def test_there_are_31_bands_in_every_list() -> None:
    assert bands.BANDS == 31
    assert bands.mid_hz().shape == bands.width_hz().shape == bands.nominal_hz().shape == (31,)
    assert bands.edges_hz().shape == (2, 31)
    assert len(bands.band_labels()) == 31


def test_neighbours_touch_without_gap_or_overlap() -> None:
    low_hz, high_hz = bands.edges_hz()
    assert high_hz[:-1] == pytest.approx(low_hz[1:], rel=1e-12)
    assert bands.width_hz().sum() == pytest.approx(high_hz[-1] - low_hz[0], rel=1e-12)


def test_lists_are_shared_and_cannot_be_written() -> None:
    for values in (bands.mid_hz(), bands.edges_hz(), bands.width_hz(), bands.nominal_hz()):
        with pytest.raises(ValueError, match="read-only"):
            values[0] = 1.0


@given(band=st.integers(0, 30), share=st.floats(0.001, 0.999))
def test_every_frequency_inside_the_edges_belongs_to_its_band(band: int, share: float) -> None:
    low_hz, high_hz = bands.edges_hz()[:, band]
    assert bands.nearest_band(low_hz * (high_hz / low_hz) ** share) == band


def test_frequencies_outside_belong_to_the_outermost_band() -> None:
    assert bands.nearest_band([0.0, 1.0, 30_000.0]).tolist() == [0, 0, 30]


@given(arrays(np.float64, (2, 31), elements=st.floats(-100, 100)))
def test_octaves_keep_the_power_of_their_thirds(levels_db: np.ndarray) -> None:
    octaves_db = bands.octave_levels_db(levels_db)
    assert octaves_db.shape == (2, 10)
    assert power_sum_db(octaves_db, axis=-1) == pytest.approx(
        power_sum_db(levels_db[:, 1:], axis=-1), abs=1e-9
    )


def test_octaves_stand_at_their_middle_thirds() -> None:
    assert bands.octave_mid_hz()[[0, 5, 9]] == pytest.approx([31.6228, 1000.0, 15848.9], rel=1e-5)


def test_a_silent_octave_is_silent() -> None:
    assert bands.octave_levels_db(np.full(31, -np.inf)).tolist() == [-np.inf] * 10
