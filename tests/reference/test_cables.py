"""Published values of cables: copper, capacitance, damping, through the gear book's cables."""

from __future__ import annotations

import math

import numpy as np
import pytest

from levelhead.gear.book import load_book
from tests.bench import on_bench
from tests.reference.loudspeaker_bench import FOOT_M, gear


def loss_db(load: str, core: str, length_m: float) -> float:
    """Level at a loudspeaker, against no cable to speak of. [dB]"""
    types = gear(load, core)
    long, short = (
        on_bench(types, {"a": "amp", "b": "box"}, [f"a.out > b.in: wire {metres} m"])
        for metres in (length_m, 0.01)
    )
    return long.one_db("a.out", "b.in") - short.one_db("a.out", "b.in")


# ---------------------------------------------------------------- loudspeaker cables


@pytest.mark.reference("IEC 60228 Table 3, class 5: 7.98 and 13.3 ohm/km at 20 degrees C (CV-58)")
@pytest.mark.parametrize(
    ("cable", "ohm_per_km"), [("cable-loudspeaker", 7.98), ("lead-loudspeaker-jack", 13.3)]
)
def test_copper_of_the_book(cable: str, ohm_per_km: float) -> None:
    core = load_book().cable(cable).core_ohm_per_m
    assert core is not None
    assert 1e3 * core.value == pytest.approx(ohm_per_km)


@pytest.mark.reference("20 lg (R / (R + Rw)) with IEC 60228 copper, evaluated (CV-61 a)")
@pytest.mark.parametrize(
    ("load", "core", "expected_db"),
    [
        ("8 ohm", "7.98 mohm/m", -0.340),
        ("4 ohm", "7.98 mohm/m", -0.667),
        ("8 ohm", "13.3 mohm/m", -0.559),
        ("4 ohm", "13.3 mohm/m", -1.085),
    ],
)
def test_loss_of_20_m_of_loudspeaker_cable(load: str, core: str, expected_db: float) -> None:
    """There and back: the loop is twice the length."""
    assert loss_db(load, core, 20) == pytest.approx(expected_db, abs=0.002)


@pytest.mark.reference("cable maker's note: 40 ft of 18 AWG into 8 ohm, 'about 1/2 dB' (CV-61 b)")
def test_loss_of_40_feet_of_thin_wire() -> None:
    """18 AWG has 6.385 ohm in 1000 ft (NBS wire tables, CV-60)."""
    core = f"{6.385 / (1000 * FOOT_M) * 1e3:.5f} mohm/m"
    assert loss_db("8 ohm", core, 40 * FOOT_M) == pytest.approx(-0.538, abs=0.01)


@pytest.mark.reference("worked examples of damping at the loudspeaker (CV-62)")
@pytest.mark.parametrize(
    ("amp", "load_ohm", "loop_ohm", "expected"),
    [
        ("8 mohm", 4, 2 * 12 * 4.016e-3, 38.3),  # DF 500, 12 ft of 16 AWG; printed 38
        ("8 mohm", 4, 2 * 12 * 1.588e-3, 86.7),  # ... of 12 AWG; printed 87
        ("10 mohm", 8, 0.19, 40.0),
    ],
)
def test_damping_at_the_loudspeaker(
    amp: str, load_ohm: float, loop_ohm: float, expected: float
) -> None:
    """How much stiffer than the load the line is: from the voltage that the load takes away."""
    length_m = 10.0
    core = f"{1e3 * loop_ohm / 2 / length_m:.6f} mohm/m"
    loaded, idle = (
        on_bench(
            gear(load, core, amp=amp),
            {"a": "amp", "b": "box"},
            [f"a.out > b.in: wire {length_m} m"],
        ).gain("a.out", "b.in")[0]
        for load in (f"{load_ohm} ohm", "1 Mohm")
    )
    damping = abs(loaded) / abs(idle - loaded)
    assert damping == pytest.approx(expected, rel=0.005)


# ---------------------------------------------------------------- capacitance


@pytest.mark.reference("Duncan, 'Mating Microphones', 12 kohm and 4 m at 280 pF/m (CV-40)")
def test_high_impedance_microphone_on_a_screened_lead() -> None:
    """3 dB down at 11.84 kHz (printed 'just above 12 kHz')."""
    types = """
    old-mic:
      label: Old high-impedance microphone
      kind: box
      source: measured
      ports: {out: {socket: jack-ts, role: out, circuit: single-ended-output, impedance: 12 kohm}}
    input:
      label: Input that loads nothing
      kind: box
      source: measured
      earth: mains
      ports:
        in: {socket: jack-ts, role: in, circuit: unbalanced-input, impedance: 1 Gohm,
             capacitance: 0.01 pF}
    lead:
      label: Screened lead
      kind: cable
      source: measured
      ends: {a: jack-ts, b: jack-ts}
      wire: {core: 85 mohm/m, screen: 30 mohm/m, core-screen: 280 pF/m}
      map: {a.tip: b.tip, a.sleeve: b.sleeve}
    """
    hz = np.linspace(11_000, 13_000, 2001)
    bench = on_bench(types, {"m": "old-mic", "i": "input"}, ["m.out > i.in: lead 4 m"], hz=hz)
    down_db = bench.gain_db("m.out", "i.in")
    corner_hz = hz[np.argmin(np.abs(down_db - 20 * math.log10(math.sqrt(0.5))))]
    assert corner_hz == pytest.approx(11_840, abs=20)
