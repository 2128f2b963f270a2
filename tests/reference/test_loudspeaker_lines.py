"""Published values of loudspeaker lines: taps, losses, sums, damping, sensitivity."""

from __future__ import annotations

import math

import pytest

from levelhead.chain.solve import solve
from levelhead.circuit.limits.currents import Driver, load_ohm
from levelhead.gear.book import load_book
from levelhead.rig.build import build_rig
from levelhead.show.model import Cable, Item, Link, Show
from tests.bench import Bench, on_bench

FOOT_M = 0.3048
OUT = Driver("a.out", None)
AMP = """
amp:
  label: Amplifier
  kind: amplifier
  source: measured
  earth: mains
  ports: {out: {socket: terminals, role: loudspeaker, circuit: power-output, impedance: 1 mohm}}
"""


def resistor(name: str, ohm: float) -> str:
    return f"""
{name}:
  label: Load
  kind: loudspeaker
  source: measured
  ports:
    in: {{socket: terminals, role: in}}
    more: {{socket: terminals, role: through, joined: in}}
  parts: [{{resistor: [in.1+, in.1-], value: {ohm!r} ohm}}]
"""


def tapped(watts: float, line_v: float) -> str:
    """8 ohm behind an ideal line transformer, whose turns make the power on the line."""
    ratio = line_v / math.sqrt(watts * 8)
    return f"""
tap:
  label: Loudspeaker behind a line transformer
  kind: loudspeaker
  source: measured
  ports:
    in: {{socket: terminals, role: in}}
    coil: {{socket: inside, role: inside}}
    more: {{socket: terminals, role: through, joined: in}}
  parts:
    - transformer: [in.1+, in.1-, coil.plus, coil.minus]
      ratio: "{ratio!r}"
      magnetising: 10000 H
      leakage: 1 nH
      primary: 0.001 mohm
      secondary: 0.001 mohm
    - {{resistor: [coil.plus, coil.minus], value: 8 ohm}}
"""


def wire(ohm_per_m: float) -> str:
    return f"""
wire:
  label: Wire
  kind: cable
  source: measured
  ends: {{a: bare, b: bare}}
  wire: {{core: {ohm_per_m!r} ohm/m, contact: 0.001 mohm}}
  map: {{a.1+: b.1+, a.1-: b.1-}}
"""


def chain_of(gear: str, *types: str, metres: float = 0.01) -> Bench:
    """An amplifier and loads, one after the other in parallel."""
    links, last = [], "a.out"
    for number, _ in enumerate(types):
        links.append(f"{last} > s{number}.in: wire {metres} m")
        last = f"s{number}.more"
    items = {"a": "amp", **{f"s{number}": each for number, each in enumerate(types)}}
    return on_bench(AMP + gear, items, links)


def seen_ohm(bench: Bench) -> float:
    return float(abs(load_ohm(bench.islands[0], bench.solved[0], OUT)[0]))


@pytest.mark.reference("EIA constant-voltage practice (SE-106): U squared over P (CV-54)")
@pytest.mark.parametrize(
    ("line_v", "watts", "printed_ohm"),
    [
        (70.7, 1, 5000), (70.7, 2, 2500), (70.7, 5, 1000), (70.7, 10, 500), (70.7, 6, 833),
        (100, 10, 1000), (100, 20, 500), (100, 6, 1667), (70.7, 100, 50.0), (100, 100, 100),
    ],
)  # fmt: skip
def test_a_tap_on_a_line(line_v: float, watts: float, printed_ohm: float) -> None:
    """70.7 V prints as 5000 what is 4998.5 ohm."""
    bench = chain_of(tapped(watts, line_v) + wire(1e-6), "tap")
    assert seen_ohm(bench) == pytest.approx(printed_ohm, rel=1e-3)


@pytest.mark.reference("the same practice: ten 6 W units, 166.7 ohm (CV-54)")
def test_ten_taps_on_a_line() -> None:
    bench = chain_of(tapped(6, 100) + wire(1e-6), *["tap"] * 10)
    assert seen_ohm(bench) == pytest.approx(166.7, abs=0.2)


@pytest.mark.reference("installer's worked example: 300 m, 100 W, 0.945 mm2, 10 % drop (CV-55)")
def test_a_long_line_of_100_v() -> None:
    """20 lg 0.9 = -0.915 dB: 11.1 ohm of copper before 100 ohm of taps."""
    bench = chain_of(tapped(100, 100) + wire(0.0175 / 0.945), "tap", metres=300)
    assert bench.one_db("a.out", "s0.in") == pytest.approx(-0.915, abs=0.005)


@pytest.mark.reference("installation manual: 25 V, 30 W, 13 ohm per 1000 ft of pair, 95 ft (CV-56)")
def test_a_line_of_25_v() -> None:
    loop_ohm_per_m = 13 / (1000 * FOOT_M)
    bench = chain_of(tapped(30, 25) + wire(loop_ohm_per_m / 2), "tap", metres=round(95 * FOOT_M, 3))
    assert bench.one_db("a.out", "s0.in") == pytest.approx(-0.500, abs=0.005)


@pytest.mark.reference("Ohm's law, handbook tables: 8 with 8, 8 with 4, three of 8 (CV-57)")
@pytest.mark.parametrize(
    ("ohms", "printed_ohm"),
    [((8, 8, 8, 8), 2.0), ((8, 4), 2.667), ((8, 8, 8), 2.667)],
)
def test_loads_in_parallel(ohms: tuple[float, ...], printed_ohm: float) -> None:
    names = [f"r{ohm}" for ohm in ohms]
    gear = "".join(resistor(name, ohm) for name, ohm in dict(zip(names, ohms)).items())
    bench = chain_of(gear + wire(1e-6), *names)
    assert seen_ohm(bench) == pytest.approx(printed_ohm, abs=0.001)


def solved_box(level: str) -> float:
    """Level at 1 m of the book's 12 inch loudspeaker with this much at its terminals. [dB SPL]"""
    figures = {"ch.out.impedance": "0.001 mohm"}
    items = {
        "line": Item("line", "feed-line", figures={"generator.level": level}),
        "a": Item("a", "amplifier-two-channel", figures={**figures, "ch.power.gain": "0 dB"}),
        "s": Item("s", "loudspeaker-passive-12", figures={"driver.sensitivity.level": "97 dB SPL"}),
    }
    links = (
        Link({"a": "line.out", "b": "a.ch1.in"}),
        Link({"a": "a.ch1.out", "b": "s.in"}, (Cable("cable-loudspeaker-4", 0.1),)),
    )
    solution = solve(build_rig(Show("x", items=items, links=links), load_book()))
    at_v = solution.nominal[solution.number("s.in")]
    found = solution.levels("s.driver").nominal
    assert found is not None
    return found - 20 * math.log10(at_v / 2.83)


@pytest.mark.reference("IEC 60268-5: level for 2.83 V, 1.001 W in 8 ohm (CV-52)")
def test_sensitivity_is_told_for_2_83_volts() -> None:
    assert solved_box("+4 dBu") == pytest.approx(97, abs=0.01)
