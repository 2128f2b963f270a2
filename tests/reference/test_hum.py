"""Published values of hum: screen currents, rejection by imbalance, touch current.

Each rig is a show as people write it; the whole ground network is solved, with the mains behind it.
"""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np
import pytest

from levelhead.circuit.ground.mains import (
    BODY_OHM,
    CLASS_1_LIMIT_A,
    CLASS_2_LIMIT_A,
    MAINS_120,
    MAINS_230,
    Cause,
    Mains,
)
from levelhead.circuit.ground.network import Ground, solve_ground
from levelhead.circuit.hum.at_inputs import hum_at_inputs
from tests.circuit.ground_rigs import line_of_two, rig_of

CONSUMER_LINE_V = 0.316  # -10 dBV


def rows_of(ground: Ground, cause: Cause) -> list[int]:
    """Sources of one cause."""
    return [row for row, source in enumerate(ground.sources) if source.cause is cause]


# ---------------------------------------------------------------- screen currents


@pytest.mark.reference(
    "Whitlock, 'Grounding and Interfacing', in Ballou (ed.), Handbook for Sound Engineers: noise "
    "of an unbalanced interface by leakage in its shield (CV-107, from memory)"
)
@pytest.mark.parametrize(
    ("lead", "expected_v", "expected_db"),
    [("lead-1-ohm 1 m", 316e-6, -60.0), ("lead-65-mohm 1 m", 20.5e-6, -83.7)],
)
def test_leakage_in_an_unbalanced_screen(lead: str, expected_v: float, expected_db: float) -> None:
    """316 uA of leakage can only go home through the screen; -10 dBV is the reference."""
    rig = rig_of(line_of_two("player", lead, "amp-unbalanced", at=(None, "hall")))
    ground = solve_ground(rig, MAINS_230.knowing({"one": 316e-6}))
    leaked = hum_at_inputs(ground)["two.in"].volts[rows_of(ground, Cause.CLASS_2)]
    hum_v = float(np.linalg.norm(leaked))
    assert hum_v == pytest.approx(expected_v, rel=0.005)
    assert 20 * math.log10(hum_v / CONSUMER_LINE_V) == pytest.approx(expected_db, abs=0.1)


# ---------------------------------------------------------------- rejection


class Converted(NamedTuple):
    """What 50 Hz between the 0 V of two items becomes at a balanced input. [V]"""

    drop_v: float
    common_v: float
    between_v: float


def converted(sender: str, via: str, input_figures: str = "") -> Converted:
    """A line into an input that rejects perfectly by itself (200 dB)."""
    rig = rig_of(
        f"""
items:
  one: {{type: {sender}, supply: stage}}
  unlike: {{type: ten-ohm}}
  two: {{type: amp-balanced, supply: hall, figures: {{in.cmrr: 200 dB{input_figures}}}}}
links: {via}
"""
    )
    ground = solve_ground(rig)
    row = next(row for row in rows_of(ground, Cause.CIRCUITS) if ground.sources[row].who == "1")
    one_v, two_v = (complex(ground.zero_v[ground.row_of[item], row, 0]) for item in ("one", "two"))
    hum = hum_at_inputs(ground)["two.in"]
    common_v = math.sqrt(hum.power.shared[1, row, 0]) * 10 ** (200 / 20)
    return Converted(abs(one_v - two_v), common_v, abs(complex(hum.volts[row, 0])))


THROUGH_TEN_OHM = (
    "[{from: one.out, to: unlike.in, via: [cable-bare 0.01 m]}, "
    "{from: unlike.out, to: two.in, via: [cable-bare 0.01 m]}]"
)


@pytest.mark.reference(
    "Whitlock, J. Audio Eng. Soc. 43 (1995), Wheatstone-bridge model; IEC 60268-3, rejection with "
    "10 ohm of imbalance (CV-108)"
)
@pytest.mark.parametrize(
    ("common_mode", "impedance", "expected_db"),
    [("10 kohm", "20 kohm", 60.09), ("20 kohm", "40 kohm", 66.07), ("1 Mohm", "2 Mohm", 100.0)],
)
def test_rejection_with_unlike_legs(common_mode: str, impedance: str, expected_db: float) -> None:
    """Legs of 100 and 110 ohm; what both legs share at the input over what they differ by."""
    figures = f", in.common-mode: {common_mode}, in.impedance: {impedance}"
    found = converted("symmetrical", THROUGH_TEN_OHM, figures)
    assert 20 * math.log10(found.common_v / found.between_v) == pytest.approx(expected_db, abs=0.05)


@pytest.mark.reference(
    "the same bridge in ngspice, against the generator: -60.18 dB (CV-108, note)"
)
def test_rejection_against_the_generator() -> None:
    """The divider of 10 kohm behind 100 ohm costs 0.09 dB more."""
    found = converted("symmetrical", THROUGH_TEN_OHM)
    assert 20 * math.log10(found.drop_v / found.between_v) == pytest.approx(60.18, abs=0.01)


@pytest.mark.reference(
    "IEC 60268-3, informative annex, quoted by Whitlock: rejection depends on the balance of "
    "common-mode impedances, not on the symmetry of the signal (CV-109)"
)
def test_balance_is_about_impedance() -> None:
    """One driven leg and an equal passive one reject as much as two driven legs."""
    both = converted("symmetrical", THROUGH_TEN_OHM)
    one = converted("impedance-balanced", THROUGH_TEN_OHM)
    assert one.between_v == pytest.approx(both.between_v, rel=1e-6)
    alike = converted("impedance-balanced", "[{from: one.out, to: two.in, via: [cable-bare 20 m]}]")
    assert alike.drop_v > 0.01
    assert alike.between_v < 1e-6 * alike.drop_v


# ---------------------------------------------------------------- pin 1


@pytest.mark.reference(
    "AES48-2005: screens are bonded to the chassis at the point of entry (CV-35)"
)
@pytest.mark.parametrize("ground_ohm", ["1 mohm", "20 mohm", "500 mohm"])
def test_screen_current_at_pin_1_is_not_signal(ground_ohm: str) -> None:
    """What a screen's current drops at pin 1 stays out of a balanced signal, whatever it is."""
    rig = rig_of(
        f"""
items:
  one: {{type: symmetrical, supply: stage}}
  two: {{type: amp-balanced, supply: hall, figures: {{in.cmrr: 200 dB, in.ground: {ground_ohm}}}}}
links: [{{from: one.out, to: two.in, via: [cable-bare 20 m]}}]
"""
    )
    ground = solve_ground(rig)
    assert ground.volts_between("one", "two") > 0.01
    between_v = hum_at_inputs(ground)["two.in"].volts
    assert float(np.linalg.norm(between_v)) < 1e-7


# ---------------------------------------------------------------- limits of touch current


@pytest.mark.reference("IEC 60950-1:2005, Table 5A: 0.25 mA without protective earth, 3.5 mA with")
def test_leakages_stay_within_what_standards_allow() -> None:
    """The upper ends of both ranges are the limits."""
    assert MAINS_230.class_2.high == CLASS_2_LIMIT_A == pytest.approx(0.25e-3)
    assert MAINS_230.class_1.high == CLASS_1_LIMIT_A == pytest.approx(3.5e-3)


@pytest.mark.reference(
    "IEC 60990, Figure 3: body of 1.5 kohm and 500 ohm; a two-pin supply's open output at half the "
    "mains (half-wave rectified bus, Fourier: fundamental of a half sine is half its peak)"
)
@pytest.mark.parametrize("chosen", [MAINS_230, MAINS_120], ids=["230 V", "120 V"])
def test_touching_an_unearthed_item(chosen: Mains) -> None:
    """Half the mains stands on it, open; through a body flows what leaks, no more."""
    text = """
items:
  one: {type: player}
  iso: {type: isolator}
links: [{from: one.out, to: iso.in, via: [lead-1-ohm 1 m]}]
"""
    ground = solve_ground(rig_of(text), chosen)
    (row,) = rows_of(ground, Cause.CLASS_2)
    open_v = abs(complex(ground.zero_v[ground.row_of["one"], row, 0]))
    assert open_v == pytest.approx(chosen.volts / 2, rel=0.001)
    harmonics = np.linalg.norm(np.arange(1, 21) * chosen.class_2_spectrum[:20])
    assert ground.touch_a("one") == pytest.approx(chosen.class_2.value / harmonics, rel=0.001)
    assert BODY_OHM == 2000


@pytest.mark.reference(
    "Fourier series of a half-wave rectified sine: even harmonics 2 / (pi (n^2 - 1)) of the peak, "
    "fundamental 1/2 (textbook)"
)
def test_spectrum_of_a_two_pin_supply_is_a_half_sine() -> None:
    """Taken from a sampled half sine by FFT, not from the formula."""
    angle = 2 * np.pi * np.arange(2**16) / 2**16
    lines = np.abs(np.fft.rfft(np.maximum(np.sin(angle), 0)))
    even = [2, 4, 6, 8, 20]
    found = [MAINS_230.class_2_spectrum[n - 1] for n in even]
    assert found == pytest.approx((lines[even] / lines[1]).tolist(), rel=1e-5)


@pytest.mark.reference("EN 50160:2010, Table 1: harmonics of the supply voltage, per cent")
@pytest.mark.parametrize(
    ("order", "allowed"), [(3, 5.0), (5, 6.0), (7, 5.0), (9, 1.5), (11, 3.5), (13, 3.0), (17, 2.0)]
)
def test_mains_harmonics_stay_within_the_standard(order: int, allowed: float) -> None:
    """A third of each is taken as usual."""
    assert 100 * MAINS_230.class_1_spectrum[order - 1] == pytest.approx(allowed / 3, rel=1e-9)
