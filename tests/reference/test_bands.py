"""Band frequencies and spectra against the standards that define them."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray

from levelhead.quantity import (
    a_weighting_db,
    band_labels,
    band_levels_db,
    edges_hz,
    exact_mid_hz,
    mid_hz,
    nominal_hz,
    octave_levels_db,
    octave_mid_hz,
    power_sum_db,
)


@pytest.mark.reference("IEC 61260-1:2014, 5.2 to 5.4, base-ten exact frequencies (CV-24)")
@pytest.mark.parametrize(
    ("band", "printed_hz"),
    [
        (-15, 31.6228),
        (-12, 63.0957),
        (-9, 125.893),
        (1, 1258.93),
        (2, 1584.89),
        (3, 1995.26),
        (9, 7943.28),
    ],
)
def test_exact_mid_band_frequencies(band: int, printed_hz: float) -> None:
    """Six digits."""
    assert exact_mid_hz(band) == pytest.approx(printed_hz, rel=1e-5)
    assert mid_hz()[band + 17] == pytest.approx(printed_hz, rel=1e-5)


@pytest.mark.reference("IEC 61260-1:2014, Table F.1: edges 0.89125 and 1.12202 (CV-25)")
def test_band_edges() -> None:
    """Ratios to the mid-band, five decimals, the same in each band."""
    low_hz, high_hz = edges_hz()
    assert low_hz / mid_hz() == pytest.approx(np.full(31, 0.89125), abs=5e-6)
    assert high_hz / mid_hz() == pytest.approx(np.full(31, 1.12202), abs=5e-6)


@pytest.mark.reference("ISO 266:1997, R10 series (CV-26)")
def test_bands_carry_their_preferred_names() -> None:
    """Three decades of ten names from 20 Hz, and 20 kHz."""
    decade = [20, 25, 31.5, 40, 50, 63, 80, 100, 125, 160]
    assert nominal_hz().tolist() == [
        *decade,
        *(10 * hz for hz in decade),
        *(100 * hz for hz in decade),
        20_000,
    ]
    assert band_labels()[:4] == ("20 Hz", "25 Hz", "31.5 Hz", "40 Hz")
    assert band_labels()[-4:] == ("10 kHz", "12.5 kHz", "16 kHz", "20 kHz")


@pytest.mark.reference("IEC 61260-1:2014 and ISO 266: a name is within 2 % of its frequency")
def test_names_lie_close_to_the_exact_frequencies() -> None:
    """Rounding to preferred numbers never moves a band by more than its name's rounding."""
    assert nominal_hz() / mid_hz() == pytest.approx(np.ones(31), abs=0.02)


SPEECH_OCTAVES_DB = [-2.5, 0.5, 0.0, -6.0, -12.0, -18.0, -24.0]


@pytest.mark.reference("IEC 60268-16:2020 (ed. 5), speech spectrum in octaves (CV-83)")
def test_speech_keeps_the_octaves_of_the_standard() -> None:
    """The thirds of each octave sum to the printed step from one octave to the next."""
    octaves_db = octave_levels_db(band_levels_db("speech"))[2:9]
    assert np.diff(octaves_db) == pytest.approx(np.diff(SPEECH_OCTAVES_DB), abs=1e-9)


@pytest.mark.reference(
    "IEC 60268-16:2020: octave levels are relative to the A-weighted total (CV-83)"
)
def test_speech_is_printed_against_its_a_weighted_total() -> None:
    """So the A-weighted sum of the printed octaves is 0 dB, to the rounding of the table."""
    weighted_db = np.array(SPEECH_OCTAVES_DB) + a_weighting_db(octave_mid_hz()[2:9])
    assert power_sum_db(weighted_db) == pytest.approx(0.0, abs=0.05)


PROGRAMME_DB = [
    -13.5, -10.2, -7.4, -5.2, -3.5, -2.3, -1.4, -0.9, -0.5, -0.2, -0.1,
    0.0, 0.0, 0.0, 0.0, 0.0, 0.0, -0.1, -0.3, -0.6, -1.0,
    -1.6, -2.5, -3.7, -5.1, -7.0, -9.4, -11.9, -14.8, -18.2, -21.6,
]  # fmt: skip
PROGRAMME_TOLERANCE_DB = [
    3.0, 2.0, 1.0, 1.0, 1.0, 1.0, 1.0, 0.8, 0.6, 0.5, 0.5,
    0.5, 0.5, 0.5, 0.5, 0.5, 0.5, 0.6, 0.7, 0.8, 1.0,
    1.0, 1.0, 1.0, 1.0, 1.0, 1.0, 1.0, 1.5, 2.0, 3.0,
]  # fmt: skip


@pytest.mark.reference("IEC 60268-1:1985, clause 7, Table II")
def test_programme_has_the_levels_of_the_standard() -> None:
    """Against the 500 Hz band, which the table prints as 0 dB."""
    levels_db = band_levels_db("programme")
    assert levels_db - levels_db[14] == pytest.approx(PROGRAMME_DB, abs=1e-9)


@pytest.mark.reference("IEC 60268-1:1985, clause 7, note: the whole is 12.5 dB above 0 dB")
def test_whole_programme_signal_lies_12_5_db_above_its_middle_band() -> None:
    """'Approximately', so a tenth of a dB."""
    assert band_levels_db("programme")[14] == pytest.approx(-12.5, abs=0.1)


def programme_filter(frequency_hz: NDArray[np.float64]) -> NDArray[np.float64]:
    """Power response of the ladder in Figure 2 of IEC 60268-1, by stepping back from its output."""
    s = 2j * np.pi * frequency_hz
    volts = np.ones_like(s)  # across the last 10 kohm
    amps = volts / 10e3
    volts = volts + amps / (s * 0.47e-6)
    for series_ohm, shunt_ohm, shunt_f in ((330.0, 3300.0, 68e-9), (430.0, 3300.0, 91e-9)):
        amps = amps + volts * (1 / shunt_ohm + s * shunt_f)
        volts = volts + amps * (series_ohm + 1 / (s * 2.2e-6))
    return 1 / np.abs(volts) ** 2


@pytest.mark.reference("IEC 60268-1:1985, clause 7, Figure 2 (filter) and tolerances of Table II")
def test_programme_agrees_with_pink_noise_through_the_filter_of_the_standard() -> None:
    """The circuit that the standard prints, solved here, stays in its tolerances at one level."""
    low_hz, high_hz = edges_hz()
    within = np.geomspace(low_hz, high_hz, 41)  # pink: equal power in equal ratios
    filtered_db = 10 * np.log10(programme_filter(within).mean(axis=0))
    deviation_db = filtered_db - band_levels_db("programme")
    lowest_db = np.max(deviation_db - PROGRAMME_TOLERANCE_DB)
    highest_db = np.min(deviation_db + PROGRAMME_TOLERANCE_DB)
    assert lowest_db <= highest_db
