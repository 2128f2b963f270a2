"""Filters by band: against scipy, and what holds for all of them."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import signal

from levelhead.chain.stages.responses import Filter, FilterKind, band_response, response
from levelhead.quantity.bands import edges_hz, mid_hz

HZ = np.geomspace(20, 20_000, 60)
corners = st.floats(min_value=20.0, max_value=20_000.0)
orders = st.integers(min_value=1, max_value=4)


@pytest.mark.parametrize("order", [1, 2, 3, 4])
@pytest.mark.parametrize(("kind", "named"), [("low-pass", "low"), ("high-pass", "high")])
def test_butterworth_agrees_with_scipy(order: int, kind: FilterKind, named: str) -> None:
    """Magnitude and phase, from another program's poles."""
    zpk = signal.butter(order, 2 * np.pi * 160.0, named, analog=True, output="zpk")
    _, expected = signal.freqs_zpk(*zpk, worN=2 * np.pi * HZ)
    assert response(Filter(kind, 160.0, order), HZ) == pytest.approx(expected, abs=1e-9)


@given(corner_hz=corners, order=orders)
def test_high_and_low_pass_share_the_power(corner_hz: float, order: int) -> None:
    """Halves of one Butterworth order: their powers add up to one at every frequency."""
    low = np.abs(response(Filter("low-pass", corner_hz, order), HZ)) ** 2
    high = np.abs(response(Filter("high-pass", corner_hz, order), HZ)) ** 2
    assert low + high == pytest.approx(1.0, abs=1e-9)


@given(corner_hz=corners, gain_db=st.floats(min_value=-15, max_value=15), q=st.floats(0.3, 5))
def test_a_cut_undoes_the_boost(corner_hz: float, gain_db: float, q: float) -> None:
    up = response(Filter("peaking", corner_hz, gain_db=gain_db, q=q), HZ)
    down = response(Filter("peaking", corner_hz, gain_db=-gain_db, q=q), HZ)
    assert up * down == pytest.approx(1.0, abs=1e-9)


@given(corner_hz=corners, order=orders)
def test_a_band_passes_between_its_edges(corner_hz: float, order: int) -> None:
    """The mean over a band of a slope that only rises lies between its ends."""
    one = Filter("high-pass", corner_hz, order)
    low_hz, high_hz = edges_hz()
    found = np.abs(band_response((one,)))
    assert (found >= np.abs(response(one, low_hz)) - 1e-12).all()
    assert (found <= np.abs(response(one, high_hz)) + 1e-12).all()


def test_a_steep_band_holds_more_than_its_middle_says() -> None:
    """24 dB an octave, far below the corner: 8 dB within the band, 0.59 dB more power than there.

    Mean of f^8 on a logarithmic scale from -4 to +4 dB: sinh(0.921) / 0.921 = 1.146.
    """
    one = Filter("high-pass", 2000.0, 4)
    more_db = 20 * np.log10(np.abs(band_response((one,)) / response(one, mid_hz())))
    assert more_db[0] == pytest.approx(0.592, abs=0.01)
    assert more_db[-1] == pytest.approx(0.0, abs=1e-3)


def test_bands_of_a_crossover_add_up_within_a_tenth() -> None:
    """Powers within bands are means, so that the sum is flat to 0.1 dB, not exactly."""
    low = band_response((Filter("low-pass", 100.0, 4, "linkwitz-riley"),))
    high = band_response((Filter("high-pass", 100.0, 4, "linkwitz-riley"),))
    assert 20 * np.log10(np.abs(low + high)) == pytest.approx(0.0, abs=0.1)


def test_filters_in_series_multiply() -> None:
    one, other = Filter("high-pass", 80.0, 1), Filter("peaking", 400.0, gain_db=-6.0, q=1.0)
    middle = response(one, mid_hz()) * response(other, mid_hz())
    assert np.angle(band_response((one, other))) == pytest.approx(np.angle(middle), abs=1e-9)
