"""Levels against published conversions, alignments and crest factors."""

from __future__ import annotations

import numpy as np
import pytest

from levelhead.quantity import (
    DBU_REFERENCE_V,
    EBU_R68,
    SMPTE_RP155,
    Alignment,
    Level,
    Reference,
    area_m2_from_awg,
    coherent_sum_db,
    crest_factor_db,
    db_spl_from_pascals,
    dbfs_from_rms,
    dbu_from_volts,
    dbv_from_volts,
    dbw_from_watts,
    parse_si,
    peak_level_db,
    power_sum_db,
    quantiser_snr_db,
    volts_from_dbu,
    volts_from_dbv,
)
from levelhead.quantity.digital import PERMITTED_MAXIMUM_ABOVE_ALIGNMENT

CYCLE = 2 * np.pi * np.arange(48_000) / 48_000


@pytest.mark.reference("definition of dBu: 1 mW in 600 ohm; handbooks print 0.7746 V (CV-01)")
def test_zero_dbu_is_the_voltage_of_a_milliwatt_in_600_ohm() -> None:
    """Printed to four decimals."""
    assert pytest.approx(0.7746, abs=0.00005) == DBU_REFERENCE_V
    assert pytest.approx((1e-3 * 600) ** 0.5, rel=1e-15) == DBU_REFERENCE_V


@pytest.mark.reference("definitions of dBu and dBV; handbook tables print 2.2 dB (CV-01)")
def test_dbu_reads_2_2_more_than_dbv() -> None:
    """One volt; 20 lg (1 / sqrt 0.6) = 2.21849."""
    assert dbu_from_volts(1.0) == pytest.approx(2.21849, abs=5e-6)


@pytest.mark.reference("handbook tables: +4 dBu is 1.228 V, -10 dBV is 0.316 V (CV-02)")
def test_line_levels_in_volts() -> None:
    """Professional and consumer line level, printed with three decimals."""
    assert volts_from_dbu(4) == pytest.approx(1.228, abs=0.0005)
    assert volts_from_dbv(-10) == pytest.approx(0.316, abs=0.0005)


@pytest.mark.reference("handbook tables: -10 dBV is -7.78 dBu, 11.78 dB below +4 dBu (CV-02)")
def test_professional_and_consumer_line_level_differ_by_11_78_db() -> None:
    """Printed with two decimals."""
    consumer = Level(-10, Reference.DBV).to(Reference.DBU)
    assert consumer.value_db == pytest.approx(-7.78, abs=0.005)
    assert (Level(4, Reference.DBU) - consumer).db == pytest.approx(11.78, abs=0.005)


@pytest.mark.reference("web calculator table: 6 V is 15.56 dBV and 17.78 dBu (CV-03)")
def test_six_volts() -> None:
    """Printed with two decimals."""
    assert dbv_from_volts(6) == pytest.approx(15.56, abs=0.005)
    assert dbu_from_volts(6) == pytest.approx(17.78, abs=0.005)


@pytest.mark.reference("definition of dBm: 1 mW; 0 dBm in 50 ohm is 0.2236 V (CV-04)")
def test_dbm_is_not_dbu_off_600_ohm() -> None:
    """Printed as -13.01 dBV and -10.79 dBu."""
    level = Level(0, Reference.DBM, impedance_ohm=50)
    assert level.volts() == pytest.approx(0.223607, abs=5e-7)
    assert level.to(Reference.DBV).value_db == pytest.approx(-13.01, abs=0.005)
    assert level.to(Reference.DBU).value_db == pytest.approx(-10.79, abs=0.005)


@pytest.mark.reference("EBU R68-2000: alignment -18 dBFS; European practice 0 dBu (CV-05)")
def test_full_scale_of_the_ebu_alignment() -> None:
    """0 dBFS is +18 dBu, 6.15 V; a page that starts from 0.775 V prints 6.16."""
    assert EBU_R68.dbfs(0.0) == -18.0
    assert volts_from_dbu(EBU_R68.dbu(0.0)) == pytest.approx(6.1528, abs=0.0005)


@pytest.mark.reference("SMPTE RP 155: -20 dBFS is +4 dBu, so full scale is 12.28 V (CV-06)")
def test_full_scale_of_the_smpte_alignment() -> None:
    """0 dBFS is +24 dBu, 12.28 V rms, 17.36 V at the peak of the sine."""
    of_pair = Alignment.of(Level(-20, Reference.DBFS), Level(4, Reference.DBU))
    assert of_pair == SMPTE_RP155
    full_scale_v = volts_from_dbu(of_pair.dbu(0.0))
    assert full_scale_v == pytest.approx(12.28, abs=0.005)
    assert full_scale_v * 2**0.5 == pytest.approx(17.36, abs=0.005)


@pytest.mark.reference("EBU R68-2000 and ITU-R BS.645-2: maximum 9 dB above alignment (CV-07)")
def test_permitted_maximum_lies_nine_db_below_full_scale() -> None:
    """R68: -18 dBFS alignment and 9 dB above it leave 9 dB to full scale."""
    maximum = Level(-18, Reference.DBFS) + PERMITTED_MAXIMUM_ABOVE_ALIGNMENT
    assert maximum == Level(-9, Reference.DBFS)


@pytest.mark.reference("AES17 and IEC 61606: full-scale sine 0 dBFS, square +3.01 dBFS (CV-08)")
def test_dbfs_of_a_sine_and_of_a_square_wave() -> None:
    """Rms of sampled waves whose peaks are at full scale."""
    sine = np.sin(997 * CYCLE)
    square = np.sign(np.sin(997 * CYCLE + 1e-6))
    assert dbfs_from_rms(np.sqrt(np.mean(sine**2))) == pytest.approx(0.0, abs=0.005)
    assert dbfs_from_rms(np.sqrt(np.mean(square**2))) == pytest.approx(3.01, abs=0.005)


@pytest.mark.reference("textbooks, 6.02 n + 1.76 dB: 98.09 dB of 16 bit, 146.26 of 24 (CV-09)")
@pytest.mark.parametrize(("bits", "printed_db"), [(16, 98.09), (24, 146.26)])
def test_ideal_quantiser(bits: int, printed_db: float) -> None:
    """Printed with two decimals."""
    assert quantiser_snr_db(bits) == pytest.approx(printed_db, abs=0.005)


@pytest.mark.reference("definitions: 100 W in 8 ohm is 28.28 V, 20 dBW, 50 dBm (CV-10)")
def test_power_in_a_loudspeaker_as_levels() -> None:
    """29.031 dBV and 31.249 dBu follow from 28.2843 V."""
    assert dbw_from_watts(100) == pytest.approx(20.0, abs=1e-12)
    level = Level(20, Reference.DBW, impedance_ohm=8)
    assert level.to(Reference.DBM).value_db == pytest.approx(50.0, abs=1e-12)
    assert level.volts() == pytest.approx(28.2843, abs=5e-5)
    assert level.to(Reference.DBV).value_db == pytest.approx(29.031, abs=5e-4)
    assert level.to(Reference.DBU).value_db == pytest.approx(31.249, abs=5e-4)


@pytest.mark.reference("university acoustics slides: 86.2 and 88.9 dB (CV-19)")
def test_sum_of_80_and_85_db() -> None:
    """Without and with a common phase; printed with one decimal."""
    assert power_sum_db([80, 85]) == pytest.approx(86.2, abs=0.05)
    assert coherent_sum_db([80, 85]) == pytest.approx(88.9, abs=0.05)


@pytest.mark.reference("acoustics textbooks: doubling adds 3.01 dB, in phase 6.02 dB (CV-19)")
def test_sum_of_two_equal_levels() -> None:
    """10 lg 2 and 20 lg 2, two decimals."""
    assert power_sum_db([80, 80]) == pytest.approx(83.01, abs=0.005)
    assert coherent_sum_db([80, 80]) == pytest.approx(86.02, abs=0.005)


@pytest.mark.reference("'Audio Engineering', chapter Measurement, and teaching notes (CV-20)")
@pytest.mark.parametrize(
    ("levels_db", "printed_db", "half_digit_db"),
    [((90, 96), 97, 0.5), ((65, 65), 68, 0.5), ((62, 73), 73.3, 0.05), ((55, 58, 52), 60.4, 0.05)],
)
def test_sums_that_books_print(
    levels_db: tuple[float, ...], printed_db: float, half_digit_db: float
) -> None:
    """The last one is 60.4, not the 61.5 of a page that adds wrongly."""
    assert power_sum_db(levels_db) == pytest.approx(printed_db, abs=half_digit_db)


@pytest.mark.reference("IEC 60268-4 and ISO 1683: 1 Pa is 93.98 dB SPL, quoted as 94 (CV-42)")
def test_sound_pressure_level_of_a_pascal() -> None:
    """20 lg (1 / 20e-6) and ten times the pressure."""
    assert db_spl_from_pascals([1, 10]) == pytest.approx([93.979, 113.979], abs=5e-4)


@pytest.mark.reference("teaching page: 50 and 10 mV/Pa are -26 and -40 dB re 1 V/Pa (CV-41)")
@pytest.mark.parametrize(
    ("mv_per_pa", "printed_db"),
    [(50, -26.02), (20, -33.98), (10, -40.0), (2, -53.98), (1.5, -56.48), (1, -60.0)],
)
def test_microphone_sensitivity_in_both_ways_of_writing(
    mv_per_pa: float, printed_db: float
) -> None:
    """Half a hundredth of a dB is 0.06 %."""
    new = parse_si(f"{mv_per_pa} mV/Pa", "V/Pa")
    assert parse_si(f"{printed_db} dBV/Pa", "V/Pa") == pytest.approx(new, rel=6e-4)


@pytest.mark.reference("teaching page: -40 dB re 1 V/Pa is -60 dB re 1 V/ubar (CV-41)")
def test_microphone_sensitivity_against_the_microbar() -> None:
    """One microbar is 0.1 Pa, so the old figure is 20 dB lower."""
    old = parse_si("-60 dB re 1 V/µbar", "V/Pa")
    assert old == pytest.approx(parse_si("-40 dB re 1 V/Pa", "V/Pa"), rel=1e-12)


@pytest.mark.reference("ASTM B258 wire table: 12 AWG is 3.309, 16 AWG 1.309 mm2 (CV-60)")
@pytest.mark.parametrize(("gauge", "printed_mm2"), [(10, 5.261), (12, 3.309), (16, 1.309)])
def test_cross_section_of_wire_gauges(gauge: int, printed_mm2: float) -> None:
    """Printed with three decimals."""
    assert area_m2_from_awg(gauge) * 1e6 == pytest.approx(printed_mm2, abs=0.0005)
    assert parse_si(f"{gauge} AWG", "m2") == area_m2_from_awg(gauge)


@pytest.mark.reference("encyclopaedia table of crest factors (CV-64)")
@pytest.mark.parametrize(
    ("samples", "printed_db"),
    [
        (np.sin(CYCLE), 3.01),
        (np.abs(np.mod(CYCLE / np.pi, 2) - 1) * 2 - 1, 4.77),
        (np.sign(np.sin(CYCLE + 1e-6)), 0.0),
        (np.maximum(np.sin(CYCLE), 0), 6.02),
    ],
    ids=["sine", "triangle", "square", "half-wave rectified sine"],
)
def test_crest_factors(samples: np.ndarray, printed_db: float) -> None:
    """Printed with two decimals."""
    assert crest_factor_db(samples) == pytest.approx(printed_db, abs=0.005)


@pytest.mark.reference("AES17: a sine's level is that of the sine with its own peak (CV-08, CV-64)")
def test_peak_of_a_sine_is_its_level() -> None:
    """A square wave of the same rms peaks 3.01 dB lower than the sine."""
    assert peak_level_db(nominal_db=4, crest_db=20 * np.log10(2**0.5)) == pytest.approx(4.0)
    assert peak_level_db(nominal_db=4, crest_db=0) == pytest.approx(0.99, abs=0.005)
