"""Butterworth filters against scipy's design."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import signal

from levelhead.chain.filters import butterworth
from levelhead.quantity.bands import mid_hz


@pytest.mark.parametrize("order", [1, 2, 3, 4, 8])
@pytest.mark.parametrize("kind", ["highpass", "lowpass"])
def test_response_is_that_of_a_general_filter_library(order: int, kind: str) -> None:
    """Size and phase in all bands, as designed by scipy.signal.butter (analogue)."""
    b, a = signal.butter(order, 2 * np.pi * 100.0, kind, analog=True)
    _, expected = signal.freqs(b, a, worN=2 * np.pi * mid_hz())
    response = butterworth(mid_hz(), corner_hz=100.0, order=order, is_high=kind == "highpass")
    assert response == pytest.approx(expected, rel=1e-9, abs=1e-12)
