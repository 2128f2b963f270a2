"""Cores: volt-seconds of a transformer, and what hangs behind it."""

from __future__ import annotations

import math

import numpy as np
import pytest

from levelhead.circuit.limits.cores import cores_of, is_behind, sine_emf_v
from levelhead.circuit.limits.currents import Driver, drive_weights, load_ohm
from tests.bench import Bench, on_bench

GEAR = """
tone:
  label: Tone
  kind: feed
  source: measured
  earth: mains
  ports: {out: {socket: xlr-m, role: out, circuit: single-ended-output, impedance: 1 mohm}}
  path:
    from: [{generator: {level: 0 dBu, peak-to-rms: 3 dB}}]
    stages: [{stage: output, ceiling: +24 dBu}]
    to: out
iso:
  label: Isolating transformer
  kind: box
  source: measured
  ports: {in: {socket: xlr-f, role: in}, out: {socket: xlr-m, role: out}}
  parts:
    - name: core
      transformer: [in.2, in.3, out.2, out.3]
      ratio: "2"
      magnetising: 100 H
      leakage: 1 mH
      primary: 100 ohm
      secondary: 25 ohm
      ceiling: 1 V
    - {wire: [in.1, out.1]}
sink:
  label: Input
  kind: mixer
  source: measured
  earth: mains
  ports:
    in:
      {socket: xlr-f, role: in, circuit: balanced-input, impedance: 10 kohm, common-mode: 1 Mohm}
"""
LINKS = ("a.out > b.in: bench-lead", "b.out > c.in: bench-lead")
HZ = (20.0, 40.0, 1000.0)
ITEMS = {"a": "tone", "b": "iso", "c": "sink"}


def rig() -> Bench:
    return on_bench(GEAR, ITEMS, LINKS, hz=HZ)


def test_a_core_bears_its_ceiling_at_20_hz_and_twice_that_an_octave_higher() -> None:
    """Behind 1 mohm, so that the volts of the emf are those at the winding: within its copper."""
    bench = rig()
    (core,) = cores_of(bench.islands[0])
    weights = drive_weights(bench.islands[0], Driver("a.out", None))
    emf_v = sine_emf_v(bench.islands[0], bench.solved[0], core, weights)
    assert emf_v[0] == pytest.approx(1.0, rel=3e-3)
    assert emf_v[1] / emf_v[0] == pytest.approx(2.0, rel=3e-3)
    assert emf_v[2] / emf_v[0] == pytest.approx(50.0, rel=3e-3)


def test_only_what_comes_by_the_core_is_behind_it() -> None:
    bench = rig()
    (island,) = bench.islands
    (core,) = cores_of(island)
    weights = drive_weights(island, Driver("a.out", None))
    addresses = ["a.out", "b.in", "b.out", "c.in"]
    rows = [island.sense_addresses.index(each) for each in addresses]
    assert is_behind(island.network(), core, weights, rows) == [False, False, True, True]


def test_a_transformer_without_a_figure_has_no_limit() -> None:
    bench = on_bench(GEAR.replace("      ceiling: 1 V\n", ""), ITEMS, LINKS)
    assert cores_of(bench.islands[0]) == []


def test_an_output_sees_the_load_through_the_turns() -> None:
    """2:1 shows four times the load: 4 x (10 kohm beside 2 x 1 Mohm, and the wire), and 100 ohm."""
    bench = rig()
    seen_ohm = load_ohm(bench.islands[0], bench.solved[0], Driver("a.out", None))
    load = 1 / (1 / 10e3)
    reflected = 100 + 4 * (25 + load)
    beside = 1 / (1 / reflected + 1 / (2j * math.pi * 1000 * 100))
    assert abs(seen_ohm[2]) == pytest.approx(abs(beside), rel=5e-3)


def test_an_output_that_nothing_loads_sees_nothing() -> None:
    bench = on_bench(GEAR, {"a": "tone", "b": "iso"}, ("a.out > b.in: bench-lead",), hz=HZ)
    seen_ohm = load_ohm(bench.islands[0], bench.solved[0], Driver("a.out", None))
    assert np.abs(seen_ohm[2]) > 100e3
