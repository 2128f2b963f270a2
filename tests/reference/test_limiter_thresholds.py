"""Published worked examples of limiter thresholds, by formula and through rigs."""

from __future__ import annotations

import math

import pytest

from levelhead.gear.book import load_book
from levelhead.planning.limiters.arithmetic import (
    dbu_of,
    gain_from_sensitivity_db,
    peak_threshold_v,
    rated_v,
    timing,
)
from levelhead.planning.limiters.settings import LimiterSetting
from levelhead.planning.limiters.thresholds import limiter_settings
from levelhead.planning.trial import try_show
from levelhead.show.document import parse_show

RIG = """
levelhead: 1
show: {{name: Threshold}}
items:
  player: {{type: mixer-compact}}
  proc: {{type: processor-line}}
  amp:
    type: amplifier-two-channel
    figures: {{ch.power.gain: {gain_db} dB, ch.power.ceiling: {ceiling_v} V}}
  box:
    type: loudspeaker-passive-12
    figures: {{in.long-term-rating: {rating_v} V, in.peak-rating: {peak_v} V}}
links:
  - {{from: player.main-left.out, to: proc.in}}
  - {{from: proc.out, to: amp.ch1.in, via: [cable-xlr 1 m]}}
  - {{from: amp.ch1.out, to: box.in, via: [cable-loudspeaker 1 m]}}
settings: {{proc: {{limiter: on, threshold: +18 dBu}}, amp: {{ch1: {{level: {level}}}}}}}
"""


def solved(
    *, power_w: float, gain_db: float, ceiling_v: float = 150.0, level: str = "0 dB"
) -> LimiterSetting:
    """Thresholds of a loudspeaker of 8 ohm behind a processor and an amplifier of that gain."""
    volts = rated_v(power_w, 8.0)
    text = RIG.format(
        gain_db=gain_db, ceiling_v=ceiling_v, rating_v=volts, peak_v=2 * volts, level=level
    )
    trial = try_show(parse_show(text, "threshold.yaml").show, load_book())
    (found,) = limiter_settings(trial.reading)
    return found


APPLICATION_NOTE = (
    "application note 'Selecting the limiter threshold for a loudspeaker power limiter', worked "
    "example and table of voltages (address withheld)"
)
TUTORIAL = "a maker's tutorial 'Loudspeaker protection via limiter', examples (address withheld)"
MANUAL = "operator's manual of a processor, table of thresholds, volts and watts (address withheld)"


@pytest.mark.reference(APPLICATION_NOTE)
def test_300_w_in_8_ohm_are_36_dbu() -> None:
    """Printed: 36.0 dBu less an amplifier of 32.5 dB (500 W, 8 ohm, 1.5 V) is 3.5 dBu."""
    loudspeaker_dbu = dbu_of(rated_v(300.0, 8.0))
    gain_db = gain_from_sensitivity_db(power_w=500.0, impedance_ohm=8.0, sensitivity_v=1.5)
    assert loudspeaker_dbu == pytest.approx(36.0, abs=0.05)
    assert gain_db == pytest.approx(32.5, abs=0.05)
    assert loudspeaker_dbu - gain_db == pytest.approx(3.5, abs=0.05)


@pytest.mark.reference(APPLICATION_NOTE)
def test_the_same_through_a_rig() -> None:
    """Printed: threshold 3.5 dBu. The rig has leads and input impedances besides: within 0.5 dB."""
    found = solved(power_w=300.0, gain_db=32.5)
    assert found.rms is not None
    assert found.rms.dbu == pytest.approx(3.5, abs=0.5)
    assert found.rms.volts == pytest.approx(49.0, abs=0.05)


@pytest.mark.reference(APPLICATION_NOTE)
@pytest.mark.parametrize(
    ("power_w", "ohm", "printed_dbu"),
    [(5, 1, 9.2), (5, 4, 15.2), (5, 8, 18.2), (5, 16, 21.2), (10, 2, 15.2), (10, 8, 21.2)],
)
def test_watts_and_ohms_in_dbu(power_w: float, ohm: float, printed_dbu: float) -> None:
    """One decimal is printed, and 0.775 V taken for 0 dBu."""
    assert dbu_of(rated_v(power_w, ohm)) == pytest.approx(printed_dbu, abs=0.1)


@pytest.mark.reference(TUTORIAL)
@pytest.mark.parametrize(
    ("power_w", "gain_db", "printed_dbu"),
    [(300, 26, 10), (300, 32, 4), (400, 26, 11), (400, 32, 5)],
)
def test_thresholds_for_two_gains_through_a_rig(
    power_w: float, gain_db: float, printed_dbu: float
) -> None:
    """Whole decibels are printed: half a step is the tolerance."""
    found = solved(power_w=power_w, gain_db=gain_db)
    assert found.rms is not None
    assert found.rms.dbu == pytest.approx(printed_dbu, abs=0.5)


@pytest.mark.reference(MANUAL)
@pytest.mark.parametrize(
    ("level_dbu", "volts", "watts_8", "watts_4"),
    [
        (45, 137.74, 2371.71, 4743.42),
        (40, 77.46, 750.00, 1500.00),
        (36, 48.87, 298.58, 597.16),
        (33, 34.60, 149.64, 299.2),
    ],
)
def test_table_of_a_manual(level_dbu: float, volts: float, watts_8: float, watts_4: float) -> None:
    """Five figures are printed; the table takes 0 dBu for the root of 0.6 V."""
    assert rated_v(watts_8, 8.0) == pytest.approx(volts, rel=2e-4)
    assert rated_v(watts_4, 4.0) == pytest.approx(volts, rel=2e-4)
    assert dbu_of(volts) == pytest.approx(level_dbu, abs=0.005)


@pytest.mark.reference("amplifier gain from input sensitivity, derived (CV-66)")
def test_gain_by_the_volts_that_an_amplifier_wants() -> None:
    """0.775 V for 400 W in 4 ohm."""
    gain_db = gain_from_sensitivity_db(power_w=400.0, impedance_ohm=4.0, sensitivity_v=0.775)
    assert gain_db == pytest.approx(34.26, abs=0.01)


@pytest.mark.reference("AES2-1984 (r2003): noise of a crest of 6 dB, a factor of 2 (CV-63)")
def test_peaks_of_the_power_test() -> None:
    """49 V rms with peaks of 98 V; a sine of 98 V peak has 69.3 V rms."""
    peak_v = peak_threshold_v(long_term_v=49.0, peak_rating_v=None, ceiling_v=math.inf)
    assert peak_v * math.sqrt(2) == pytest.approx(98.0, rel=0.003)  # 6 dB for a factor of 2


@pytest.mark.reference(
    "operator's manual of a line of amplifiers, appendix on limiters: attack by the high-pass, "
    "release 16 times that (address withheld)"
)
@pytest.mark.parametrize(
    ("low_hz", "high_hz", "printed_ms"),
    [(31, 63, 16), (63, 125, 8), (125, 250, 4), (250, 500, 2), (500, 1000, 1), (1000, 2000, 0.5)],
)
def test_attack_and_release_by_the_lowest_frequency(
    low_hz: float, high_hz: float, printed_ms: float
) -> None:
    """Printed in steps of an octave: at its middle half an octave is the tolerance."""
    times = timing(math.sqrt(low_hz * high_hz))
    assert abs(math.log2(times.attack_s * 1e3 / printed_ms)) <= 0.5
    assert times.release_s == pytest.approx(16 * times.attack_s)
