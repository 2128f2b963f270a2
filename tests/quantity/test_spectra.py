"""Named spectra sum to 0 dB, are smooth, and differ as they should."""

from __future__ import annotations

import numpy as np
import pytest

from levelhead.errors import QuantityError
from levelhead.quantity.bands import mid_hz, octave_mid_hz
from levelhead.quantity.decibels import power_sum_db
from levelhead.quantity.instrument_spectra import INSTRUMENTS
from levelhead.quantity.spectra import EFFORT_OCTAVES_DB, SPECTRA, band_levels_db


@pytest.mark.parametrize("name", sorted(SPECTRA))
def test_bands_sum_to_zero_db(name: str) -> None:
    levels_db = band_levels_db(name)
    assert levels_db.shape == (31,)
    assert power_sum_db(levels_db) == pytest.approx(0.0, abs=1e-9)


@pytest.mark.parametrize("name", sorted(SPECTRA))
def test_every_spectrum_names_its_source(name: str) -> None:
    assert SPECTRA[name].source


@pytest.mark.parametrize("name", sorted(SPECTRA))
def test_no_step_between_neighbours_is_steeper_than_12_db_an_octave(name: str) -> None:
    """Spread smoothly: a third of an octave changes by 4 dB at most, edges of the tables too.

    Where a standard's octave falls by 11 dB after one that fell by 6, it is 0.1 dB more inside.
    """
    assert np.abs(np.diff(band_levels_db(name))).max() <= 4.0 + 0.15


def test_pink_is_level_and_white_rises_three_db_an_octave() -> None:
    """Ten bands are a decade: 10 dB."""
    assert np.ptp(band_levels_db("pink")) == 0
    white_db = band_levels_db("white")
    assert np.diff(white_db) == pytest.approx(np.full(30, 1.0), abs=1e-9)


def test_speech_lies_mostly_between_250_hz_and_1_khz() -> None:
    """Common practice: the power of a voice is in its vowels."""
    middle = (mid_hz() > 200) & (mid_hz() < 1100)
    assert power_sum_db(band_levels_db("speech")[middle]) > -2.0


def test_a_loud_voice_is_brighter_than_a_calm_one() -> None:
    """ISO 9921, vocal effort: with effort the power moves up, from 500 Hz to 1 kHz and above."""
    above_db = {
        name: power_sum_db(band_levels_db(name)[mid_hz() > 900]) for name in EFFORT_OCTAVES_DB
    }
    assert list(above_db.values()) == sorted(above_db.values())


@pytest.mark.parametrize("name", sorted(INSTRUMENTS))
def test_an_instrument_has_its_strongest_band_at_0_db_of_its_row(name: str) -> None:
    """Rows are written relative to their strongest octave, so that they can be compared by eye."""
    assert len(INSTRUMENTS[name].at_octaves_db) == octave_mid_hz().size
    assert max(INSTRUMENTS[name].at_octaves_db) == 0


@pytest.mark.parametrize(
    ("name", "lowest_hz"),
    [("violin", 196), ("trumpet", 165), ("acoustic-guitar", 82), ("bass-guitar", 41)],
)
def test_little_is_left_an_octave_under_the_lowest_note(name: str, lowest_hz: float) -> None:
    """Common practice: that is where the low-cut of its channel goes. Under 1 % of the power."""
    under = mid_hz() < lowest_hz / 2
    assert power_sum_db(band_levels_db(name)[under]) < -19.5


def test_levels_are_shared_and_cannot_be_written() -> None:
    assert band_levels_db("speech") is band_levels_db("speech")
    with pytest.raises(ValueError, match="read-only"):
        band_levels_db("pink")[0] = 0.0


def test_unknown_spectrum_is_refused_with_the_known_ones() -> None:
    with pytest.raises(QuantityError, match="one of pink, white, speech, programme"):
        band_levels_db("pinkish")
