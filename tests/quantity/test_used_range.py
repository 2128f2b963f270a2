"""Frequencies that sources use."""

from __future__ import annotations

import pytest

from levelhead.quantity.bands import nominal_hz
from levelhead.quantity.spectra import SPECTRA
from levelhead.quantity.used_range import USED_HZ, note_hz, used_bands


@pytest.mark.reference("ISO 16:1975, A4 = 440 Hz; equal temperament")
@pytest.mark.parametrize(
    ("note", "printed_hz"),
    [("A4", 440.0), ("C4", 261.63), ("E2", 82.41), ("E1", 41.20), ("C8", 4186.01), ("Bb5", 932.33)],
)
def test_notes_are_those_of_the_tables(note: str, printed_hz: float) -> None:
    """Tables of equal temperament print two decimals."""
    assert note_hz(note) == pytest.approx(printed_hz, abs=0.005)


def test_every_range_belongs_to_a_spectrum() -> None:
    assert set(USED_HZ) <= set(SPECTRA)


@pytest.mark.parametrize(
    ("spectrum", "first_hz", "last_hz"),
    [
        ("bass-guitar", 40, 800),  # E1 to the second harmonic of G4, 784 Hz
        ("electric-guitar", 80, 2500),
        ("speech", 100, 12500),
        ("programme", 31.5, 16000),
        ("pink", 31.5, 16000),
    ],
)
def test_bands_that_the_range_touches_are_used(
    spectrum: str, first_hz: float, last_hz: float
) -> None:
    used = nominal_hz()[used_bands(spectrum)]
    assert (used[0], used[-1]) == (first_hz, last_hz)
