"""Everything that people write is read, and what cannot be read is refused in words that help."""

from __future__ import annotations

import math
import timeit

import pytest
from hypothesis import given
from hypothesis import strategies as st

from levelhead.errors import QuantityError
from levelhead.quantity.levels import Gain, Level, Reference
from levelhead.quantity.measure import UNITS, Measure
from levelhead.quantity.parsing import parse, parse_si
from levelhead.quantity.units import EXACT

LEVELS = [
    ("+4 dBu", 4, Reference.DBU),
    ("4dBu", 4, Reference.DBU),
    ("-10 dBV", -10, Reference.DBV),
    ("\u221210\u00a0dBV", -10, Reference.DBV),
    ("- 10 dBV", -10, Reference.DBV),
    ("\u201310 dBu", -10, Reference.DBU),
    ("+21 dbu", 21, Reference.DBU),
    ("94 dB SPL", 94, Reference.DB_SPL),
    ("94 dBSPL", 94, Reference.DB_SPL),
    ("94 db spl", 94, Reference.DB_SPL),
    ("94 dB re 20 µPa", 94, Reference.DB_SPL),
    ("94\u202fdB\u2009SPL", 94, Reference.DB_SPL),
    ("-18 dBFS", -18, Reference.DBFS),
    ("-18dBfs", -18, Reference.DBFS),
    ("-18 dB FS", -18, Reference.DBFS),
    ("0 dB re 1 V", 0, Reference.DBV),
    ("20 dBW", 20, Reference.DBW),
    ("85 dB(A)", 85, Reference.DB_SPL_A),
    ("85 dBA", 85, Reference.DB_SPL_A),
    ("85 dB SPL(A)", 85, Reference.DB_SPL_A),
    ("85 dBA SPL", 85, Reference.DB_SPL_A),
    ("100 dB(C)", 100, Reference.DB_SPL_C),
    ("-128 dBu A-weighted", -128, Reference.DBU_A),
    ("-128 dBu(A)", -128, Reference.DBU_A),
    ("-112 dBFS (A)", -112, Reference.DBFS_A),
]

MEASURES = [
    ("1.23 V", 1.23, "V"),
    ("1.228 V rms", 1.228, "V"),
    ("775 mV", 0.775, "V"),
    ("775 MV", 0.775, "V"),
    ("48V", 48, "V"),
    ("48 V DC", 48, "V"),
    (".5 V", 0.5, "V"),
    ("5. V", 5, "V"),
    ("1.5e-3 V", 1.5e-3, "V"),
    ("1.5E3 mV", 1.5, "V"),
    ("48 volts", 48, "V"),
    ("2 millivolts", 0.002, "V"),
    ("2 mV/Pa", 0.002, "V/Pa"),
    ("2 mV / Pa", 0.002, "V/Pa"),
    ("2.2 kohm", 2200, "ohm"),
    ("2.2 kΩ", 2200, "ohm"),
    ("2.2 k\u2126", 2200, "ohm"),
    ("2.2 kOhm", 2200, "ohm"),
    ("2.2 KOHMS", 2200, "ohm"),
    ("2.2 kilohms", 2200, "ohm"),
    ("2.2 kiloohm", 2200, "ohm"),
    ("2k2", 2200, "ohm"),
    ("2K2", 2200, "ohm"),
    ("2k2 ohm", 2200, "ohm"),
    ("4R7", 4.7, "ohm"),
    ("R47", 0.47, "ohm"),
    ("0R022", 0.022, "ohm"),
    ("1M5", 1.5e6, "ohm"),
    ("150 ohm", 150, "ohm"),
    ("150R", 150, "ohm"),
    ("10kR", 10e3, "ohm"),
    ("10 Mohm", 10e6, "ohm"),
    ("30 mohm", 0.03, "ohm"),
    ("10 000 ohm", 10e3, "ohm"),
    ("10\u2009000 Hz", 10e3, "Hz"),
    ("1 234 567.5 Hz", 1234567.5, "Hz"),
    ("4u7", 4.7e-6, "F"),
    ("4µ7", 4.7e-6, "F"),
    ("47 uF", 47e-6, "F"),
    ("47 µF", 47e-6, "F"),
    ("47 \u03bcF", 47e-6, "F"),
    ("47 UF", 47e-6, "F"),
    ("47 microfarads", 47e-6, "F"),
    ("620 pF", 620e-12, "F"),
    ("4.5 H", 4.5, "H"),
    ("3 mH", 3e-3, "H"),
    ("4 mA", 4e-3, "A"),
    ("200 W", 200, "W"),
    ("1.5 kW", 1500, "W"),
    ("300 VA", 300, "VA"),
    ("20 kHz", 20e3, "Hz"),
    ("20 khz", 20e3, "Hz"),
    ("614.375 MHz", 614.375e6, "Hz"),
    ("614.375 mhz", 614.375e6, "Hz"),
    ("3 ms", 3e-3, "s"),
    ("250 µs", 250e-6, "s"),
    ("15 min", 900, "s"),
    ("8 h", 28800, "s"),
    ("5 m", 5, "m"),
    ("5 cm", 0.05, "m"),
    ("5 metres", 5, "m"),
    ("-4 m", -4, "m"),
    ("16 ft", 4.8768, "m"),
    ("16'", 4.8768, "m"),
    ("16\u2032", 4.8768, "m"),
    ("12 in", 0.3048, "m"),
    ('12"', 0.3048, "m"),
    ("5' 6\"", 1.6764, "m"),
    ("5 ft 6 in", 1.6764, "m"),
    ("1.5 mm2", 1.5e-6, "m2"),
    ("1.5 mm²", 1.5e-6, "m2"),
    ("1.5 mm^2", 1.5e-6, "m2"),
    ("20 m²", 20, "m2"),
    ("200 m³", 200, "m3"),
    ("100 pF/m", 100e-12, "F/m"),
    ("28 pF/ft", 28e-12 / 0.3048, "F/m"),
    ("85 mohm/m", 0.085, "ohm/m"),
    ("85 mΩ/m", 0.085, "ohm/m"),
    ("13.3 ohm/km", 0.0133, "ohm/m"),
    ("4.016 ohm/1000 ft", 4.016 / 304.8, "ohm/m"),
    ("4.016 ohm/kft", 4.016 / 304.8, "ohm/m"),
    ("1.33 ohm per 100 m", 0.0133, "ohm/m"),
    ("0.6 uH/m", 0.6e-6, "H/m"),
    ("29 dB/km", 0.029, "dB/m"),
    ("12 dB/octave", 12, "dB/oct"),
    ("20 dB/decade", 20 * math.log10(2), "dB/oct"),
    ("20 degC", 293.15, "K"),
    ("20 °C", 293.15, "K"),
    ("20\u2103", 293.15, "K"),
    ("68 °F", 293.15, "K"),
    ("293.15 K", 293.15, "K"),
    ("90 deg", math.pi / 2, "rad"),
    ("90°", math.pi / 2, "rad"),
    ("5 nV/rtHz", 5e-9, "V/rtHz"),
    ("5 nV/√Hz", 5e-9, "V/rtHz"),
    ("5 nV/sqrt(Hz)", 5e-9, "V/rtHz"),
    ("1 pA/rtHz", 1e-12, "A/rtHz"),
    ("23 kg", 23, "kg"),
    ("50 lb", 22.6796185, "kg"),
    ("343.2 m/s", 343.2, "m/s"),
    ("54 mJ", 0.054, "J"),
    ("2.3 mC", 2.3e-3, "C"),
    ("550 mAh", 1980, "C"),
    ("12:1", 12, "1"),
    ("1 : 4", 0.25, "1"),
    ("10 %", 0.1, "1"),
    ("12", 12, "1"),
    ("1.0 Pa", 1.0, "Pa"),
    ("1013 hPa", 101300, "Pa"),
]


@pytest.mark.parametrize(("text", "value_db", "reference"), LEVELS)
def test_levels_as_people_write_them(text: str, value_db: float, reference: Reference) -> None:
    assert parse(text) == Level(value_db, reference)


@pytest.mark.parametrize(("text", "value", "unit"), MEASURES)
def test_measures_as_people_write_them(text: str, value: float, unit: str) -> None:
    """Powers of ten are read exactly; other factors to the last bits."""
    measure = parse(text)
    assert isinstance(measure, Measure)
    assert (measure.value, measure.unit) == (pytest.approx(value, rel=1e-14), unit)
    assert parse_si(text, unit) == measure.value


@pytest.mark.parametrize("text", ["20 dB", "20dB", "+20 DB", "20 decibels", " 20\tdB "])
def test_gains(text: str) -> None:
    assert parse(text) == Gain(20)
    assert parse_si(text, "dB") == 20


@pytest.mark.parametrize("text", ["off", "Off", " OFF "])
def test_closed_fader_is_off(text: str) -> None:
    assert parse(text) == Gain(-math.inf)
    assert parse_si(text, "dB") == -math.inf


@pytest.mark.parametrize(
    "text",
    [
        "0 dBm in 600 ohm",
        "0 dBm into 600 Ω",
        "0 dBm (600 ohm)",
        "0 dBm (in 600 ohm)",
        "0dBm/600R",
        "0 dBm @ 0.6 kohm",
        "0 dBm 600 ohm",
    ],
)
def test_dbm_with_its_impedance(text: str) -> None:
    assert parse(text) == Level(0, Reference.DBM, 600)
    assert parse_si(text, "V") == pytest.approx(math.sqrt(0.6), rel=1e-12)
    assert parse_si(text, "dBu") == pytest.approx(0, abs=1e-9)


@pytest.mark.parametrize(
    ("text", "unit", "value"),
    [
        ("+4 dBu", "V", 1.2276529879),
        ("-10 dBV", "V", 0.316227766),
        ("0 dBm in 50 ohm", "V", 0.2236067977),
        ("20 dBW in 8 ohm", "V", 28.28427125),
        ("20 dBW", "W", 100),
        ("-54 dBV/Pa", "V/Pa", 1.99526231e-3),
        ("-54 dB re 1 V/Pa", "V/Pa", 1.99526231e-3),
        ("-74 dB re 1 V/µbar", "V/Pa", 1.99526231e-3),
        ("94 dB SPL", "Pa", 1.002374467),
        ("1 V", "dBu", 2.218487496),
        ("1 V", "dBV", 0),
        ("-10 dBV", "dBu", -7.781512504),
        ("1 Pa", "dB SPL", 93.97940009),
        ("100 W", "dBW", 20),
        ("silence", "dBu", -math.inf),
        ("10k", "Hz", 10e3),
        ("2k5", "Hz", 2500),
        ("10k", "ohm", 10e3),
        ("2.2K", "ohm", 2200),
        ("10 k", "ohm", 10e3),
        ("47u", "F", 47e-6),
        ("80m", "H", 0.08),
    ],
)
def test_what_is_meant_at_a_place_of_a_known_unit(text: str, unit: str, value: float) -> None:
    assert parse_si(text, unit) == pytest.approx(value, rel=1e-9, abs=1e-9)


@given(mantissa=st.integers(1, 99_999), places=st.integers(0, 4))
def test_prefixes_round_once(mantissa: int, places: int) -> None:
    """Millivolts are as exact as if the exponent had been typed."""
    number = f"{mantissa / 10**places:.{places}f}"
    assert parse_si(f"{number} uF", "F") == float(f"{number}e-6")
    assert parse_si(f"{number} kohm", "ohm") == float(f"{number}e3")


def outcome(text: str) -> object:
    """What reading a text comes to: the quantity, or what is wrong with it."""
    try:
        return parse(text)
    except QuantityError as error:
        return error.what


@given(
    spelling=st.sampled_from(sorted(EXACT)),
    space=st.sampled_from(["", " ", "  ", "\u00a0", "\u2009", "\u202f", "\t"]),
)
def test_any_space_or_none_stands_before_a_unit(spelling: str, space: str) -> None:
    """Every spelling of the table is known, with the same meaning whatever the space."""
    read = outcome(f"1{space}{spelling}")
    assert read == outcome(f"1 {spelling}")
    assert "is not known" not in str(read)


@given(text=st.text(max_size=40))
def test_any_text_is_read_or_refused(text: str) -> None:
    """Nothing but a QuantityError ever comes out of the parser."""
    assert isinstance(outcome(text), Level | Gain | Measure | str)


@given(
    text=st.text(alphabet="0123456789.,+-eEkKmMunRV dBuSPLFHzoh/%:'\"()\u00b5\u03a9", max_size=15),
    unit=st.sampled_from([*UNITS, "dB", *(reference.value for reference in Reference)]),
)
def test_text_of_the_usual_signs_is_read_or_refused_at_any_place(text: str, unit: str) -> None:
    """A place gets a number that it can work with, or nothing."""
    try:
        value = parse_si(text, unit)
    except QuantityError:
        return
    assert math.isfinite(value) or value == -math.inf


@pytest.mark.parametrize("unit", ["furlong", "mV", "", "dBx"])
def test_place_of_an_unknown_unit_is_a_mistake_of_the_caller(unit: str) -> None:
    with pytest.raises(QuantityError, match="nothing is read in"):
        parse_si("5 m", unit)


def test_reading_is_quick() -> None:
    """Well under 20 us each, the best of several tries; a big show has some ten thousand values."""
    texts = [text for text, *_ in LEVELS + MEASURES]
    seconds = min(timeit.repeat(lambda: [parse(text) for text in texts], number=5, repeat=5))
    assert seconds / (5 * len(texts)) < 20e-6
