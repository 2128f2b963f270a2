"""Published values of filters, meters and limiters."""

from __future__ import annotations

import math
from typing import Final

import numpy as np
import pytest
from numpy.typing import NDArray

from levelhead.chain.levels import PointLevels
from levelhead.chain.meters import burst_shortfall_db, reading_level_db
from levelhead.chain.stages.limiting import Limiter, limited, reduction_db
from levelhead.chain.stages.responses import Filter, response
from levelhead.gear.book import load_book
from levelhead.quantity.bands import exact_mid_hz, mid_hz, nominal_hz


def level_db(gain: NDArray[np.complex128]) -> NDArray[np.float64]:
    return np.asarray(20 * np.log10(np.abs(gain)))


@pytest.mark.reference("S. Butterworth 1930: |H|^2 = 1 / (1 + (f / fc)^2n), 3.01 dB at the corner")
@pytest.mark.parametrize("order", [1, 2, 3, 4])
def test_a_butterworth_filter_is_3_db_down_at_its_corner(order: int) -> None:
    """10 lg 2 = 3.0103 dB whatever its order; an octave below a high-pass 6.02 dB an order."""
    one = Filter("high-pass", 80.0, order)
    assert float(level_db(response(one, 80.0))) == pytest.approx(-3.0103, abs=1e-4)
    octave_below = -10 * math.log10(1 + 2.0 ** (2 * order))
    assert float(level_db(response(one, 40.0))) == pytest.approx(octave_below, abs=1e-9)


@pytest.mark.reference("A. I. Zverev, Handbook of Filter Synthesis 1967: Butterworth tables")
@pytest.mark.parametrize(
    ("order", "polynomial"),
    [
        (1, [1, 1]),
        (2, [1, 1.4142, 1]),
        (3, [1, 2, 2, 1]),
        (4, [1, 2.6131, 3.4142, 2.6131, 1]),
    ],
)
def test_denominators_are_the_printed_polynomials(order: int, polynomial: list[float]) -> None:
    """Printed to four decimals; at several frequencies, so that the phase is held too."""
    frequency = np.array([0.3, 1.0, 2.7])
    printed = 1 / np.polyval(polynomial, 1j * frequency)
    assert response(Filter("low-pass", 1.0, order), frequency) == pytest.approx(printed, abs=1e-4)


@pytest.mark.reference("S. H. Linkwitz, JAES 24 (1976), 2-8: sum of fourth order is flat")
def test_a_linkwitz_riley_crossover_adds_up_flat() -> None:
    """Both halves 6.02 dB down at the corner, in phase everywhere, 24 dB an octave beyond."""
    hz = np.geomspace(10, 30_000, 400)
    low = response(Filter("low-pass", 100.0, 4, "linkwitz-riley"), hz)
    high = response(Filter("high-pass", 100.0, 4, "linkwitz-riley"), hz)
    assert level_db(low + high) == pytest.approx(0.0, abs=1e-9)
    one = Filter("low-pass", 100.0, 4, "linkwitz-riley")
    assert float(level_db(response(one, 100.0))) == pytest.approx(-6.0206, abs=1e-4)
    octave = float(level_db(response(one, 3200.0)) - level_db(response(one, 1600.0)))
    assert octave == pytest.approx(-24.08, abs=0.02)


@pytest.mark.reference("R. Bristow-Johnson, Audio EQ Cookbook, W3C note 2021: analogue prototypes")
@pytest.mark.parametrize("gain_db", [-12.0, 6.0, 15.0])
def test_equaliser_bands_reach_their_gain(gain_db: float) -> None:
    """A peaking band at its middle, a shelf at its far end; half of it (in dB) at its corner."""
    far = {"low-shelf": 1.0, "high-shelf": 1e6}
    peak = Filter("peaking", 1000.0, gain_db=gain_db, q=1.4)
    assert float(level_db(response(peak, 1000.0))) == pytest.approx(gain_db, abs=1e-9)
    for kind, hz in far.items():
        shelf = Filter(kind, 1000.0, gain_db=gain_db)  # type: ignore[arg-type]
        assert float(level_db(response(shelf, hz))) == pytest.approx(gain_db, abs=0.001)
        assert float(level_db(response(shelf, 1000.0))) == pytest.approx(gain_db / 2, abs=1e-9)


@pytest.mark.reference("ISO 266:1997, R10 series; IEC 61260-1 exact frequencies (CV-24, CV-26)")
def test_a_graphic_equaliser_has_the_preferred_frequencies() -> None:
    """31 third octaves; the name of each lies within 1.3 % of its exact middle."""
    assert len(mid_hz()) == 31
    assert nominal_hz()[[0, 2, 17, 30]].tolist() == [20.0, 31.5, 1000.0, 20_000.0]
    assert mid_hz() == pytest.approx(nominal_hz(), rel=0.013)
    assert float(exact_mid_hz(1)) == pytest.approx(1258.93, abs=0.01)


# ---------------------------------------------------------------- meters


@pytest.mark.reference("IEC 60268-10, type II, as a broadcaster's test files print it: tone bursts")
@pytest.mark.parametrize(
    ("milliseconds", "printed_db"), [(100, 0), (10, 2), (5, 4), (1.5, 9), (0.5, 17)]
)
def test_a_ppm_falls_short_of_bursts(milliseconds: float, printed_db: float) -> None:
    assert burst_shortfall_db(milliseconds / 1000) == pytest.approx(printed_db, abs=1e-9)


@pytest.mark.reference("IEC 60268-17, IEC 60268-10: calibrated with a sine, on which meters agree")
@pytest.mark.parametrize("kind", ["vu", "ppm", "peak", "true-peak"])
def test_meters_agree_on_a_sine(kind: str) -> None:
    """A sine's peak-to-rms is 3.01 dB, so that its peak level is its rms level."""
    tone = PointLevels("a", "dBu", 4.0, 4.0, None, None, None)
    assert reading_level_db(tone, kind) == pytest.approx(4.0, abs=1e-9)  # type: ignore[arg-type]


@pytest.mark.reference("form factors: sine pi / (2 sqrt 2) = 1.1107, noise sqrt(pi / 2) = 1.2533")
def test_a_vu_meter_reads_noise_a_decibel_low() -> None:
    """20 lg (1.2533 / 1.1107) = 1.049 dB; noise exceeds 3.29 sigma, 10.35 dB, 0.1 % of the time."""
    noise = PointLevels("a", "dBu", 0.0, 10.345 - 3.0103, None, None, None)
    assert reading_level_db(noise, "vu") == pytest.approx(-1.049, abs=0.002)


@pytest.mark.reference("ITU-R BS.645-2, EBU R68-2000 (CV-07): true peaks 3 dB over the reading")
def test_true_peaks_of_programme_stand_3_db_above_a_ppm() -> None:
    programme = PointLevels("a", "dBu", 0.0, 12.0 - 3.0103, None, None, None)
    reading = reading_level_db(programme, "ppm")
    assert reading is not None
    assert programme.peak is not None
    assert programme.peak - reading == pytest.approx(3.0, abs=0.01)


# ---------------------------------------------------------------- limiters


@pytest.mark.reference("Giannoulis, Massberg, Reiss, JAES 60 (2012), eq. 3: hard knee")
@pytest.mark.parametrize(
    ("over_db", "ratio", "left_db"), [(-5.0, 4.0, -5.0), (8.0, 4.0, 2.0), (20.0, math.inf, 0.0)]
)
def test_static_curve(over_db: float, ratio: float, left_db: float) -> None:
    """``T + (x - T) / R`` above the threshold, nothing below."""
    assert over_db - float(reduction_db(over_db, ratio)) == pytest.approx(left_db)
    tone = limited(Limiter(1.0, ratio), nominal=10 ** (over_db / 20), crest_db=3.0103)
    assert over_db + tone.gain_db == pytest.approx(left_db, abs=0.002)


# ---------------------------------------------------------------- playback of records

# The table of RIAA's standard of 1954, of IEC 60098 and of many handbooks, one decimal, against
# 1 kHz. Recalled; the time constants 3180, 318 and 75 us are printed beside it.
_RIAA_DB: Final = {
    20: 19.3,
    30: 18.6,
    50: 17.0,
    70: 15.3,
    100: 13.1,
    200: 8.2,
    300: 5.5,
    400: 3.8,
    700: 1.2,
    1000: 0.0,
    2000: -2.6,
    4000: -6.6,
    5000: -8.2,
    8000: -11.9,
    10_000: -13.7,
    15_000: -17.2,
    20_000: -19.6,
}


def on_way(type_id: str, hz: NDArray[np.float64]) -> NDArray[np.float64]:
    """What filters of one side of a gear type come to, in dB against 1 kHz."""
    paths = load_book().plan(type_id, {}, {}).block("").plan.paths
    plans = [each for stage in paths[0].stages for each in stage.shaping.filters]
    assert plans, type_id
    gain_db = np.zeros(len(hz) + 1)
    for one in plans:
        assert one.corner_hz is not None
        shelf_db = 0.0 if one.gain_db is None else one.gain_db.value
        drawn = Filter(one.kind, one.corner_hz.value, one.order, gain_db=shelf_db)  # type: ignore[arg-type]
        gain_db += level_db(response(drawn, np.append(hz, 1000.0)))
    return np.asarray(gain_db[:-1] - gain_db[-1])


@pytest.mark.reference("RIAA 1954 and IEC 60098: table of playback, one decimal; 3180, 318, 75 us")
def test_a_phono_preamplifier_has_the_printed_playback_response() -> None:
    """Half a step of the print, and what a recalled table may have been rounded."""
    hz = np.array(list(_RIAA_DB), dtype=np.float64)
    assert on_way("preamp-phono", hz) == pytest.approx(list(_RIAA_DB.values()), abs=0.15)


@pytest.mark.reference("RIAA 1954 and IEC 60098: a record is cut with the reverse of its playback")
def test_a_record_through_a_phono_preamplifier_is_flat() -> None:
    """Within 0.7 dB from 20 Hz to 20 kHz: cutting amplifiers stop rising near 50 kHz."""
    hz = np.geomspace(20, 20_000, 61)
    flat = on_way("turntable", hz) + on_way("preamp-phono", hz)
    assert flat == pytest.approx(np.zeros(61), abs=0.7)


@pytest.mark.reference("Definition: one time constant up and one down, (1 + s T2) / (1 + s T1)")
@pytest.mark.parametrize(("kind", "sign"), [("low-shelf", 1), ("high-shelf", -1)])
@pytest.mark.parametrize("gain_db", [-20.0, 6.0, 20.0])
def test_a_shelf_of_first_order_has_one_pole_and_one_zero(
    kind: str, sign: int, gain_db: float
) -> None:
    """Pole and zero lie the gain apart about the corner, for the low end or for the high one."""
    x = np.array([0.01, 0.3, 1.0, 2.7, 100.0])
    apart = 10 ** (gain_db / 40)
    s = (1j * x) ** sign  # a high shelf is a low one with frequency turned round
    wanted = apart**2 * (1 + s / apart) / (1 + s * apart)
    shelf = Filter(kind, 1000.0, 1, gain_db=gain_db)  # type: ignore[arg-type]
    assert response(shelf, 1000.0 * x) == pytest.approx(wanted, rel=1e-9)
