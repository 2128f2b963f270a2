"""Thermal noise, noise figures and the weightings A and C against published values."""

from __future__ import annotations

import numpy as np
import pytest

from levelhead.quantity import (
    a_weighting_db,
    c_weighting_db,
    cascade_noise_figure_db,
    dbu_from_volts,
    exact_mid_hz,
    noise_figure_db,
    thermal_noise_v,
    volts_from_dbu,
)
from levelhead.quantity.decibels import dbv_from_volts
from levelhead.quantity.weighting import F1_HZ, F2_HZ, F3_HZ, F4_HZ


@pytest.mark.reference("discussion of preamplifier noise: 150 ohm, 20 degC, 20 kHz (CV-11)")
def test_noise_of_a_150_ohm_source() -> None:
    """Printed -131 dBu at 20 degC, and -130.9 dBu for 'room temperature'."""
    noise_v = thermal_noise_v(150, 20_000, 293.15)
    assert noise_v == pytest.approx(0.22038e-6, abs=5e-12)
    assert dbu_from_volts(noise_v) == pytest.approx(-130.918, abs=5e-4)
    assert dbu_from_volts(noise_v) == pytest.approx(-131, abs=0.5)
    assert dbv_from_volts(noise_v) == pytest.approx(-133.136, abs=5e-4)


@pytest.mark.reference("trade article: 150 ohm is 1.568 nV in 1 Hz at room temperature (CV-11)")
def test_noise_density_of_a_150_ohm_source() -> None:
    """The article does not say which temperature: the print lies between 20 and 25 degC."""
    cool, warm = thermal_noise_v(150, 1.0, [293.15, 298.15])
    assert cool < 1.568e-9 < warm


@pytest.mark.reference("Johnson-Nyquist, 150 ohm, 20 kHz at four temperatures (CV-12)")
@pytest.mark.parametrize(
    ("temperature_k", "expected_dbu"),
    [(290, -130.965), (293.15, -130.918), (298.15, -130.845), (300, -130.818)],
)
def test_noise_and_temperature(temperature_k: float, expected_dbu: float) -> None:
    """10 lg of the ratio of temperatures."""
    noise_v = thermal_noise_v(150, 20_000, temperature_k)
    assert dbu_from_volts(noise_v) == pytest.approx(expected_dbu, abs=5e-4)


@pytest.mark.reference("Johnson-Nyquist: 20 kHz against 20 Hz to 20 kHz, 0.0043 dB (CV-12)")
def test_lowest_twenty_hertz_hardly_matter() -> None:
    """The default bandwidth is that of the floor."""
    difference_db = dbu_from_volts(thermal_noise_v(150, 20_000)) - dbu_from_volts(
        thermal_noise_v(150)
    )
    assert difference_db == pytest.approx(0.0043, abs=5e-5)


@pytest.mark.reference("Johnson-Nyquist; a discussion prints -122.8 dBu for 1 kohm (CV-13)")
@pytest.mark.parametrize(
    ("resistance_ohm", "expected_dbu"), [(200, -129.669), (600, -124.897), (1000, -122.679)]
)
def test_noise_of_other_sources(resistance_ohm: float, expected_dbu: float) -> None:
    """The printed -122.8 is 0.1 dB off."""
    noise_v = thermal_noise_v(resistance_ohm, 20_000)
    assert dbu_from_volts(noise_v) == pytest.approx(expected_dbu, abs=5e-4)


@pytest.mark.reference("encyclopaedia, Johnson-Nyquist noise: 400 nV and about 1 nV (CV-14)")
def test_textbook_figures_of_thermal_noise() -> None:
    """1 kohm at 300 K in 10 kHz, printed in round numbers, and 50 ohm in 1 Hz."""
    assert thermal_noise_v(1000, 10_000, 300) == pytest.approx(400e-9, rel=0.03)
    assert thermal_noise_v(50, 1, 300) == pytest.approx(0.910e-9, abs=5e-13)


@pytest.mark.reference("Friis and IEEE convention: kT at 290 K is -174 dBm in 1 Hz (CV-14)")
def test_available_noise_power_at_290_kelvin() -> None:
    """Available power is V^2 / 4R, whatever the resistance."""
    power_w = thermal_noise_v(75, 1, 290) ** 2 / (4 * 75)
    assert 10 * np.log10(power_w / 1e-3) == pytest.approx(-173.975, abs=5e-4)


@pytest.mark.reference("definition of noise figure from EIN; Self, ch. on preamplifiers (CV-15)")
@pytest.mark.parametrize(("ein_dbu", "expected_db"), [(-128.0, 2.918), (-129.0, 1.918)])
def test_noise_figure_of_a_preamplifier(ein_dbu: float, expected_db: float) -> None:
    """EIN with 150 ohm in 20 kHz at 20 degC."""
    figure_db = noise_figure_db(
        noise_v=volts_from_dbu(ein_dbu), source_ohm=150, bandwidth_hz=20_000, temperature_k=293.15
    )
    assert figure_db == pytest.approx(expected_db, abs=5e-4)


@pytest.mark.reference("Friis, worked examples: 1.62 dB, 3.83 dB, 1.30 dB (CV-16, CV-17, CV-18)")
@pytest.mark.parametrize(
    ("figures_db", "gains_db", "printed_db"),
    [
        ((1.5, 6, 10), (20, 10), 1.62),
        ((2, 1.5, 1, 8), (-2, 18, -1, -6), 3.83),
        ((1, 10), (20,), 1.30),
    ],
)
def test_cascade_of_stages(
    figures_db: tuple[float, ...], gains_db: tuple[float, ...], printed_db: float
) -> None:
    """Two decimals; the third is 1.36 on a page that mixes up ratios."""
    figure_db = cascade_noise_figure_db(noise_figures_db=figures_db, gains_db=gains_db)
    assert figure_db == pytest.approx(printed_db, abs=0.005)


A_TABLE_DB = (
    -50.5, -44.7, -39.4, -34.6, -30.2, -26.2, -22.5, -19.1, -16.1, -13.4, -10.9,
    -8.6, -6.6, -4.8, -3.2, -1.9, -0.8, 0.0, 0.6, 1.0, 1.2,
    1.3, 1.2, 1.0, 0.5, -0.1, -1.1, -2.5, -4.3, -6.6, -9.3,
)  # fmt: skip


@pytest.mark.reference("IEC 61672-1:2013, Table 3, A weighting 20 Hz to 20 kHz (CV-21)")
def test_a_weighting_agrees_with_the_printed_table() -> None:
    """One decimal, at exact base-ten frequencies: half a step is the tolerance."""
    assert a_weighting_db(exact_mid_hz(np.arange(-17, 14))) == pytest.approx(A_TABLE_DB, abs=0.05)


@pytest.mark.reference("IEC 61672-1:2013, Table 3, C weighting (CV-22)")
@pytest.mark.parametrize(
    ("band", "printed_db"),
    [
        (-15, -3.0),
        (-12, -0.8),
        (-9, -0.2),
        (0, 0),
        (3, -0.2),
        (6, -0.8),
        (9, -3),
        (10, -4.4),
        (12, -8.5),
    ],
)
def test_c_weighting_agrees_with_the_printed_table(band: int, printed_db: float) -> None:
    """One decimal, at exact base-ten frequencies: half a step is the tolerance."""
    assert c_weighting_db(exact_mid_hz(band)) == pytest.approx(printed_db, abs=0.05)


@pytest.mark.reference("IEC 61672-1:2013, Annex E: f1 20.60, f2 107.7, f3 737.9, f4 12194 Hz")
def test_corner_frequencies_of_the_weightings() -> None:
    """Half a unit of the last printed digit; printed values `from memory`."""
    assert pytest.approx(20.60, abs=0.005) == F1_HZ
    assert pytest.approx(107.7, abs=0.05) == F2_HZ
    assert pytest.approx(737.9, abs=0.05) == F3_HZ
    assert pytest.approx(12194, abs=0.5) == F4_HZ


@pytest.mark.reference("integral of the IEC 61672-1 curve over white noise: -2.05 dB (CV-23)")
def test_a_weighting_lowers_white_noise_by_two_db() -> None:
    """So 150 ohm at 20 degC reads -132.97 dBu(A); a trade article's -136 is wrong."""
    frequency_hz = np.linspace(20, 20_000, 200_001)
    weight = 10 ** (a_weighting_db(frequency_hz) / 10)
    change_db = 10 * np.log10(np.trapezoid(weight, frequency_hz) / (20_000 - 20))
    assert change_db == pytest.approx(-2.05, abs=0.005)
    weighted_dbu = dbu_from_volts(thermal_noise_v(150, 20_000)) + change_db
    assert weighted_dbu == pytest.approx(-132.97, abs=0.01)
