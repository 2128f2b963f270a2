"""Published spectra and levels of voices at 1 m."""

from __future__ import annotations

import numpy as np
import pytest

from levelhead.quantity.bands import mid_hz, width_hz
from levelhead.quantity.decibels import power_sum_db
from levelhead.quantity.spectra import band_levels_db

# Levels in one hertz, third octaves 160 Hz to 8 kHz.
NORMAL_DB = (
    32.41, 34.48, 34.75, 33.98, 34.59, 34.27, 32.06, 28.30, 25.01,
    23.00, 20.15, 17.32, 13.18, 11.55, 9.33, 5.31, 2.59, 1.13,
)  # fmt: skip
RAISED_DB = (
    33.81, 33.92, 38.98, 38.57, 39.11, 40.15, 38.78, 36.37, 33.86,
    31.89, 28.58, 25.32, 22.35, 20.15, 16.78, 11.47, 7.67, 5.07,
)  # fmt: skip
LOUD_DB = (
    35.29, 37.76, 41.55, 43.78, 43.40, 44.85, 45.55, 44.05, 42.16,
    40.53, 37.70, 34.39, 30.98, 28.21, 25.41, 18.35, 13.87, 11.39,
)  # fmt: skip
SHOUT_DB = (
    30.77, 36.65, 42.50, 46.51, 47.40, 49.24, 51.21, 51.44, 51.31,
    49.63, 47.65, 44.32, 40.80, 38.13, 34.41, 28.24, 23.45, 20.72,
)  # fmt: skip
PRINTED = slice(9, 27)


@pytest.mark.reference("ANSI S3.5-1997, Table 3 (third octaves) and its overall levels (CV-46)")
@pytest.mark.parametrize(
    ("name", "in_one_hertz_db", "overall_db"),
    [
        ("normal-voice", NORMAL_DB, 62.35),
        ("raised-voice", RAISED_DB, 68.34),
        ("loud-voice", LOUD_DB, 74.85),
        ("shout", SHOUT_DB, 82.30),
    ],
)
def test_octaves_of_the_standard_spread_to_its_third_octaves(
    name: str, in_one_hertz_db: tuple[float, ...], overall_db: float
) -> None:
    """Ours are made of Table 4, the octaves. Table 3 has steps of 6 dB, so 3 dB are allowed.

    Between 200 Hz and 8 kHz; the sum of Table 3 is the printed overall level to 0.1 dB.
    """
    printed_db = np.array(in_one_hertz_db) + 10 * np.log10(width_hz()[PRINTED])
    assert power_sum_db(printed_db) == pytest.approx(overall_db, abs=0.1)
    ours_db = band_levels_db(name)[PRINTED] + overall_db
    assert mid_hz()[PRINTED][1] == pytest.approx(200, rel=0.01)
    assert ours_db[1:] == pytest.approx(printed_db[1:], abs=3.0)
