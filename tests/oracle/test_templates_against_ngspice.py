"""Templates against netlists that say the same in other words: cabinets, lines, cores."""

from __future__ import annotations

import math

import numpy as np
import pytest

from levelhead.circuit.limits.cores import core_v_per_v
from levelhead.circuit.limits.currents import Driver, drive_weights, load_ohm
from levelhead.circuit.network import GROUND, NetworkBuilder, Transformer
from levelhead.circuit.solving.solve import solve_networks
from levelhead.gear.book import load_book
from levelhead.quantity.bands import mid_hz
from tests.bench import Bench, on_bench
from tests.oracle.spice import BANDS_HZ, sweep

pytestmark = pytest.mark.oracle

SHARE = 10 ** (0.01 / 20) - 1  # 0.01 dB
CONTACT_OHM = load_book().cable("cable-loudspeaker-bare").contact_ohm.value

GEAR = """
amp:
  label: Amplifier
  kind: amplifier
  source: measured
  earth: mains
  ports: {out: {socket: terminals, role: loudspeaker, circuit: power-output, impedance: 50 mohm}}
box:
  label: Cabinet
  kind: loudspeaker
  source: measured
  ports:
    in: {socket: terminals, role: in, circuit: loudspeaker-load, impedance: 8 ohm, resonance: 90 Hz}
"""
OUT = Driver("a.out", None)
TAP_6_W = Transformer(
    turns_ratio=14.0, magnetising_h=4.3, leakage_h=3.3e-3, primary_ohm=67.0, secondary_ohm=0.35
)


def cabinet(ohm: float, resonance_hz: float, plus: str, minus: str) -> list[str]:
    """The curve with its cone as mass, spring and loss (Bl = 1): same numbers, other names."""
    nominal, least, peak, rise, sharpness = ohm, 0.8, 4.0, 2.0, 3.0
    omega, loss_ohm = 2 * math.pi * resonance_hz, (peak - least) * nominal
    mass_kg = sharpness / (omega * loss_ohm)
    return [
        f"rcoil {plus} k1 {0.95 * least * nominal!r}",
        f"lcoil k1 k2 {0.5 * nominal / (2 * math.pi * 1000)!r}",
        f"riron k1 k2 {(rise - least) * nominal!r}",
        f"rloss k2 {minus} {loss_ohm!r}",
        f"cmass k2 {minus} {mass_kg!r}",
        f"lspring k2 {minus} {1 / (omega**2 * mass_kg)!r}",
    ]


def test_a_cabinet_on_its_cable() -> None:
    """Volts at its terminals and what the amplifier sees, in every band."""
    bench = on_bench(
        GEAR, {"a": "amp", "b": "box"}, ["a.out > b.in: cable-loudspeaker-bare 30 m"], hz=mid_hz()
    )
    wire_ohm = 30 * 13.3e-3 + CONTACT_OHM
    found = sweep(
        [
            "vamp emf 0 dc 0 ac 1",
            "ramp emf out 0.05",
            f"rgo out in {wire_ohm!r}",
            f"rback low 0 {wire_ohm + 1e-3!r}",  # and the bond of the amplifier's terminal
            *cabinet(8.0, 90.0, "in", "low"),
        ]
    )
    theirs = found["v(in)"] - found["v(low)"]
    np.testing.assert_allclose(bench.gain("a.out", "b.in"), theirs, rtol=SHARE)
    ohm = 1 / -found["i(vamp)"] - 0.05
    ours = load_ohm(bench.islands[0], bench.solved[0], OUT)
    np.testing.assert_allclose(ours, ohm, rtol=SHARE)


def line() -> Bench:
    return on_bench(
        GEAR,
        {"a": "amp", "s": "loudspeaker-line-100v"},
        ["a.out > s.in: cable-loudspeaker-bare 200 m"],
        hz=mid_hz(),
    )


def test_a_tap_on_a_long_line() -> None:
    """Its transformer as an ideal one of controlled sources, core and wire drawn beside it."""
    bench = line()
    wire_ohm = 200 * 13.3e-3 + CONTACT_OHM
    found = sweep(
        [
            "vamp emf 0 dc 0 ac 1",
            "ramp emf out 0.05",
            f"rgo out in {wire_ohm!r}",
            f"rback low 0 {wire_ohm + 1e-3!r}",
            *ideal(TAP_6_W, ("in", "low"), ("sp", "sn")),
            "rtie sn 0 1e9",  # ngspice wants to know where a secondary stands
            *cabinet(8.0, 110.0, "sp", "sn"),
        ]
    )
    theirs = found["v(sp)"] - found["v(sn)"]
    np.testing.assert_allclose(bench.gain("a.out", "s.coil"), theirs, rtol=SHARE)
    (winding,) = bench.islands[0].windings
    assert winding.figures == TAP_6_W
    weights = drive_weights(bench.islands[0], OUT)
    core_v = core_v_per_v(bench.solved[0], 0, weights)
    np.testing.assert_allclose(core_v, found["v(core)"] - found["v(low)"], rtol=SHARE)


def ideal(figures: Transformer, primary: tuple[str, str], secondary: tuple[str, str]) -> list[str]:
    """A transformer as leakage and wire, core, and an ideal one behind: no coupled inductors."""
    (plus, minus), (other_plus, other_minus) = primary, secondary
    turns = 1 / figures.turns_ratio
    return [
        f"rprim {plus} leak {figures.primary_ohm!r}",
        f"lleak leak core {figures.leakage_h!r}",
        f"lcore core {minus} {figures.magnetising_h!r}",
        f"etrafo et {other_minus} core {minus} {turns!r}",
        "vsense et es dc 0",
        f"rsec es {other_plus} {figures.secondary_ohm!r}",
        f"ftrafo core {minus} vsense {turns!r}",
    ]


@pytest.mark.parametrize("seed", range(4))
def test_the_volts_at_a_core(seed: int) -> None:
    """Any transformer between a source and a load: those that make the flux, in every band."""
    rng = np.random.default_rng(seed)
    ratio = float(np.exp(rng.uniform(-2, 3)))
    magnetising_h = float(np.exp(rng.uniform(-1, 4)))
    figures = Transformer(
        turns_ratio=ratio,
        magnetising_h=magnetising_h,
        leakage_h=magnetising_h * float(np.exp(rng.uniform(-8, -4))),
        primary_ohm=float(rng.uniform(1, 2000)),
        secondary_ohm=float(rng.uniform(1, 200)),
    )
    source_ohm, load_ohm_ = float(rng.uniform(1, 1e4)), float(rng.uniform(10, 1e5))
    builder = NetworkBuilder()
    hot, out = builder.node(), builder.node()
    builder.source(hot, GROUND, source_ohm)
    builder.transformer((hot, GROUND), (out, GROUND), figures)
    builder.resistor(out, GROUND, load_ohm_)
    builder.sense({out: 1})
    (solved,) = solve_networks([builder.build()], BANDS_HZ)
    found = sweep(
        [
            "vsig emf 0 dc 0 ac 1",
            f"rsig emf hot {source_ohm!r}",
            *ideal(figures, ("hot", "0"), ("out", "0")),
            f"rload out 0 {load_ohm_!r}",
        ]
    )
    np.testing.assert_allclose(solved.transfer[0, 0], found["v(out)"], rtol=SHARE)
    core_v = core_v_per_v(solved, 0, np.array([1.0]))
    np.testing.assert_allclose(core_v, found["v(core)"], rtol=SHARE)
