"""Shapes of the air."""

from __future__ import annotations

import numpy as np

from levelhead.acoustics.sound.air import absorption_db_per_m


def test_arrays_go_in_and_come_out() -> None:
    """Shapes are kept, and high notes lose more."""
    swallowed = absorption_db_per_m(np.array([[100.0, 1000.0], [2000.0, 8000.0]]))
    assert swallowed.shape == (2, 2)
    assert np.all(np.diff(swallowed.ravel()) > 0)
