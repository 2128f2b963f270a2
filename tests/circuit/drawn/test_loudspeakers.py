"""Loudspeakers as circuits: the curve of their impedance, line transformers, taps."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from levelhead.circuit.limits.currents import Driver, load_ohm
from levelhead.quantity.bands import mid_hz
from tests.bench import Bench, on_bench

HZ = mid_hz()
AT_1_KHZ = 17
AMP = """
amp:
  label: Amplifier
  kind: amplifier
  source: measured
  earth: mains
  ports: {out: {socket: terminals, role: loudspeaker, circuit: power-output, impedance: 1 mohm}}
  path:
    from: [{generator: {level: 0 dBu, peak-to-rms: 12 dB}}]
    stages: [{stage: power, ceiling: 100 V}]
    to: out
"""
OUT = Driver("a.out", None)


def cabinet(**figures: str) -> str:
    given = "".join(f", {name}: {value}" for name, value in figures.items())
    return f"""
box:
  label: Loudspeaker
  kind: loudspeaker
  source: measured
  ports:
    in: {{socket: terminals, role: in, circuit: loudspeaker-load{given}}}
    more: {{socket: terminals, role: through, joined: in}}
"""


def seen_ohm(bench: Bench, out: Driver = OUT) -> np.ndarray:
    """What the amplifier sees, less its cables' contacts of some milliohm."""
    return load_ohm(bench.islands[0], bench.solved[0], out)


def one_box(**figures: str) -> np.ndarray:
    gear = AMP + cabinet(**figures)
    links = ("a.out > b.in: cable-loudspeaker-bare 0.01 m",)
    return np.abs(seen_ohm(on_bench(gear, {"a": "amp", "b": "box"}, links, hz=HZ)))


def test_nowhere_less_than_four_fifths_of_the_nominal_impedance() -> None:
    """IEC 60268-5; it comes down to there above resonance, and at 1 kHz it is nominal."""
    curve = one_box(impedance="8 ohm")
    assert curve.min() == pytest.approx(0.8 * 8, rel=0.02)
    assert 200 < HZ[curve.argmin()] < 1000
    assert curve[AT_1_KHZ] == pytest.approx(8, rel=0.02)


def test_the_peak_stands_at_the_resonance_and_the_rise_at_the_top() -> None:
    curve = one_box(impedance="8 ohm", resonance="80 Hz", peak='"5"', rise='"3"')
    assert HZ[curve.argmax()] == pytest.approx(80, rel=0.02)
    assert curve.max() == pytest.approx(40, rel=0.05)
    assert 2 * 8 < curve[-1] < 3 * 8
    assert (np.diff(curve[AT_1_KHZ:]) > 0).all()


@given(scale=st.sampled_from([0.25, 0.5, 2, 4]))
def test_a_cabinet_of_other_impedance_has_the_same_curve(scale: float) -> None:
    assert one_box(impedance=f"{8 * scale} ohm") == pytest.approx(
        scale * one_box(impedance="8 ohm"), rel=2e-2
    )


@given(
    impedance=st.floats(2, 32),
    minimum=st.floats(0.5, 1),
    peak=st.floats(0.5, 10),
    rise=st.floats(0.5, 5),
    resonance=st.floats(30, 400),
)
def test_a_cabinet_only_takes_power(
    impedance: float, minimum: float, peak: float, rise: float, resonance: float
) -> None:
    """Passive at every frequency, whatever its figures."""
    gear = AMP + cabinet(
        impedance=f"{impedance} ohm",
        minimum=f'"{minimum}"',
        peak=f'"{peak}"',
        rise=f'"{rise}"',
        resonance=f"{resonance} Hz",
    )
    links = ("a.out > b.in: cable-loudspeaker-bare 0.01 m",)
    bench = on_bench(gear, {"a": "amp", "b": "box"}, links, hz=HZ)
    assert (seen_ohm(bench).real > 0.9 * 0.95 * minimum * impedance).all()


# ---------------------------------------------------------------- taps and lines


def taps(*settings: str, type_id: str = "loudspeaker-line-100v", metres: float = 0.01) -> Bench:
    """Loudspeakers of the book on one line behind an amplifier of 1 mohm, each with its tap."""
    names = [f"s{number}" for number in range(len(settings))]
    links, last = [], "a.out"
    for name in names:
        links.append(f"{last} > {name}.in: cable-loudspeaker-bare {metres} m")
        last = f"{name}.link"
    items = {"a": "amp", **dict.fromkeys(names, type_id)}
    chosen = {f"{name}.tap": tap for name, tap in zip(names, settings, strict=True)}
    return on_bench(AMP, items, links, settings=chosen, hz=HZ)


def watts(bench: Bench, line_v: float = 100) -> float:
    """Apparent power of a line at 1 kHz, as installers measure it."""
    return float(line_v**2 / np.abs(seen_ohm(bench)[AT_1_KHZ]))


@pytest.mark.parametrize(
    ("type_id", "tap", "rated_w"),
    [
        ("loudspeaker-line-100v", "10-w", 10),
        ("loudspeaker-line-100v", "6-w", 6),
        ("loudspeaker-line-100v", "3-w", 3),
        ("loudspeaker-ceiling-100v", "6-w", 6),
        ("loudspeaker-column-100v", "20-w", 20),
        ("loudspeaker-column-100v", "10-w", 10),
        ("loudspeaker-horn-100v", "30-w", 30),
        ("loudspeaker-horn-100v", "15-w", 15),
    ],
)
def test_a_tap_takes_its_power_from_a_line_of_100_v(type_id: str, tap: str, rated_w: float) -> None:
    """Within 3 %: turns, wire and the loudspeaker behind them together."""
    assert watts(taps(tap, type_id=type_id)) == pytest.approx(rated_w, rel=0.03)


def test_half_of_it_from_a_line_of_70_v() -> None:
    assert watts(taps("6-w"), 70.71) == pytest.approx(3, rel=0.03)


def test_taps_add_up() -> None:
    assert watts(taps("10-w", "6-w", "3-w")) == pytest.approx(19, rel=0.03)


def test_a_tap_keeps_its_loudspeaker_at_its_volts() -> None:
    """6 W in 8 ohm are 6.9 V, less what the transformer keeps for itself: under 1 dB."""
    bench = taps("6-w")
    volts = 100 * abs(bench.gain("a.out", "s0.coil")[AT_1_KHZ])
    assert -1 < 20 * math.log10(volts / math.sqrt(6 * 8)) < 0


def test_a_low_impedance_cabinet_among_taps_takes_the_line_down() -> None:
    """166.7 ohm of taps beside 8 ohm: 7.6 ohm."""
    gear = AMP + cabinet(impedance="8 ohm")
    links = ["a.out > b.in: cable-loudspeaker-bare 0.01 m"]
    links.append("b.more > s.in: cable-loudspeaker-bare 0.01 m")
    bench = on_bench(gear, {"a": "amp", "b": "box", "s": "loudspeaker-column-100v"}, links, hz=HZ)
    ohm = abs(seen_ohm(bench)[AT_1_KHZ])
    assert ohm == pytest.approx(1 / (1 / 8 + 20 / 100**2), rel=0.02)


def test_what_is_soldered_inside_takes_no_plug() -> None:
    bench = taps("6-w")
    assert bench.rig.ports["s0.coil"].plan.role == "inside"
    refused = on_bench(AMP, {"a": "amp", "s": "loudspeaker-line-100v"}, ["a.out > s.coil"])
    assert [each.at for each in refused.rig.misfits] == ["s.coil"]
