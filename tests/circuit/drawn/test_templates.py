"""Each circuit of the gear book, drawn, solved, and reckoned by hand."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from levelhead.circuit.drawn.inputs import beside_ohm
from levelhead.circuit.drawn.templates import TEMPLATES
from levelhead.circuit.limits.swing import swing_v_per_v
from levelhead.gear.circuits import CIRCUITS
from levelhead.gear.connectors import signal_pins
from tests.bench import Bench, on_bench

HZ = 1000.0
OMEGA = 2 * math.pi * HZ
LOAD_OHM = 20_000.0
HALF_OHM = LOAD_OHM / 2


def parallel(*ohm: complex) -> complex:
    """Impedances beside one another. [ohm]"""
    return 1 / sum(1 / each for each in ohm)


def divider(load_ohm: complex, source_ohm: complex) -> complex:
    """What a source leaves a load."""
    return load_ohm / (load_ohm + source_ohm)


def box(name: str, port: str, *, earth: str = "mains") -> str:
    """A gear type with one port."""
    return f"""
    {name}:
      label: {name}
      kind: box
      source: measured
      earth: {earth}
      ports: {{{port}}}
    """


BALANCED = box(
    "balanced",
    "in: {socket: xlr-f, role: in, circuit: balanced-input, impedance: 20 kohm, cmrr: 180 dB}",
)


def output(circuit: str, figures: str, *, socket: str = "xlr-m", earth: str = "mains") -> str:
    """A type with one output."""
    return box(
        "source",
        f"out: {{socket: {socket}, role: out, circuit: {circuit}, {figures}}}",
        earth=earth,
    )


def into_balanced(circuit: str, figures: str, *, earth: str = "mains") -> Bench:
    """An output by a straight lead into a balanced input of 20 kohm."""
    gear = output(circuit, figures, earth=earth) + BALANCED
    return on_bench(gear, {"s": "source", "b": "balanced"}, ["s.out > b.in: bench-lead"], hz=[HZ])


def test_every_circuit_of_the_gear_book_has_a_template() -> None:
    assert TEMPLATES.keys() == CIRCUITS.keys()


# ---------------------------------------------------------------- outputs


def test_a_single_ended_output_on_a_balanced_plug_loads_one_leg() -> None:
    """Its pin 3 is 0 V: the cold leg of the input does nothing."""
    bench = into_balanced("single-ended-output", "impedance: 600 ohm")
    assert bench.gain("s.out", "b.in")[0] == pytest.approx(divider(HALF_OHM, 600), rel=1e-5)


@pytest.mark.parametrize("circuit", ["symmetrical-output", "impedance-balanced-output"])
def test_the_rated_impedance_lies_between_the_pins(circuit: str) -> None:
    """Half of it stands in each leg, driven or not."""
    bench = into_balanced(circuit, "impedance: 600 ohm")
    assert bench.gain("s.out", "b.in")[0] == pytest.approx(divider(LOAD_OHM, 600), rel=1e-5)


def test_a_cross_coupled_output_is_loaded_by_its_own_legs_too() -> None:
    bench = into_balanced("cross-coupled-output", "impedance: 600 ohm, common-mode: 20 kohm")
    load_ohm = 2 * parallel(HALF_OHM, 20_000)
    assert bench.gain("s.out", "b.in")[0] == pytest.approx(divider(load_ohm, 600), rel=1e-5)


def test_a_transformer_has_its_inductance_and_capacitance_across_it() -> None:
    """Its wire stands between them and the pins, within the rated 600 ohm."""
    figures = "impedance: 600 ohm, magnetising: 1 H, winding-capacitance: 2 nF"
    bench = into_balanced("transformer-output", f"{figures}, winding-resistance: 40 ohm")
    load_ohm = parallel(LOAD_OHM, 2 / (1j * OMEGA * 2e-9))
    core_ohm = parallel(1j * OMEGA * 1, load_ohm + 40)
    expected = divider(core_ohm, 560) * divider(load_ohm, 40)
    assert bench.gain("s.out", "b.in")[0] == pytest.approx(expected, rel=1e-5)


def test_a_coil_has_nothing_but_its_own_wire() -> None:
    bench = into_balanced(
        "floating-output", "impedance: 200 ohm, winding-capacitance: 2 nF", earth="none"
    )
    load_ohm = parallel(LOAD_OHM, 2 / (1j * OMEGA * 2e-9))
    assert bench.gain("s.out", "b.in")[0] == pytest.approx(divider(load_ohm, 200), rel=1e-5)


@pytest.mark.parametrize("circuit", ["power-output", "bridge-tied-output"])
def test_a_loudspeaker_output_is_rated_between_its_terminals(circuit: str) -> None:
    gear = output(circuit, "impedance: 100 mohm", socket="speaker-4")
    gear += """
    box:
      label: Dummy load
      kind: box
      source: measured
      ports: {in: {socket: speaker-4, role: in}}
      parts: [{resistor: [in.1+, in.1-], value: 4 ohm}]
    wire:
      label: Cable
      kind: cable
      source: measured
      ends: {a: speaker-4, b: speaker-4}
      wire: {core: 1 mohm/m, contact: 0.001 mohm}
      map: {a.1+: b.1+, a.1-: b.1-}
    """
    bench = on_bench(gear, {"s": "source", "b": "box"}, ["s.out > b.in: wire 50 m"], hz=[HZ])
    assert bench.gain("s.out", "b.in")[0] == pytest.approx(divider(4, 0.1 + 2 * 0.05), rel=1e-4)


def test_neither_terminal_of_a_bridge_is_ground() -> None:
    """Each of them moves by half of the signal."""
    gear = output("bridge-tied-output", "impedance: 100 mohm", socket="speaker-4")
    gear += box("end", "in: {socket: speaker-4, role: in}")
    items = {"s": "source", "e": "end"}
    bench = on_bench(gear, items, ["s.out > e.in: cable-loudspeaker 1 m"])
    island, solved = bench.islands[0], bench.solved[0]
    legs = [
        abs(solved.node_transfer[island.numbers[drive.plus], column, 0] * drive.weight)
        for column, drive in enumerate(island.drives)
    ]
    assert legs == pytest.approx([0.5, 0.5], rel=1e-6)


def test_a_coupling_capacitor_stands_in_each_leg() -> None:
    """10 uF a leg: 5 uF in the loop, with all of the impedance."""
    for circuit in ("symmetrical-output", "impedance-balanced-output"):
        bench = into_balanced(circuit, "impedance: 600 ohm, coupling: 100 nF")
        loop_ohm = 600 + 2 / (1j * OMEGA * 100e-9)
        expected = divider(LOAD_OHM, loop_ohm)
        assert bench.gain("s.out", "b.in")[0] == pytest.approx(expected, rel=1e-5), circuit


def jack_load(ohm: str, farad: str) -> str:
    """An unbalanced input."""
    figures = f"circuit: unbalanced-input, impedance: {ohm}, capacitance: {farad}"
    return box("load", f"in: {{socket: jack-ts, role: in, {figures}}}")


JACK_LEAD = """
    jack-lead:
      label: Jack lead of no length
      kind: adaptor
      source: measured
      ends: {a: jack-ts, b: jack-ts}
      map: {a.tip: b.tip, a.sleeve: b.sleeve}
"""


@pytest.mark.parametrize("wiper", [1.0, 0.3])
def test_a_pickup_with_its_pots(wiper: float) -> None:
    """4 H and 7 kohm on a tone branch and a volume pot, into 1 Mohm with 1 nF."""
    figures = (
        "inductance: 4 H, resistance: 7 kohm, capacitance: 100 pF, volume-pot: 500 kohm, "
        f'tone-pot: 250 kohm, tone-capacitor: 22 nF, volume: "{wiper}"'
    )
    gear = output("pickup-output", figures, socket="jack-ts", earth="none")
    bench = on_bench(
        gear + jack_load("1 Mohm", "1 nF") + JACK_LEAD,
        {"s": "source", "l": "load"},
        ["s.out > l.in: jack-lead"],
        hz=[HZ],
    )
    load_ohm = parallel(1e6, 1 / (1j * OMEGA * 1e-9), 500e3 * wiper)
    below_ohm = load_ohm + 500e3 * (1 - wiper)
    tone_ohm = 250e3 + 1 / (1j * OMEGA * 22e-9)
    top_ohm = parallel(below_ohm, tone_ohm, 1 / (1j * OMEGA * 100e-12))
    expected = divider(top_ohm, 7e3 + 1j * OMEGA * 4) * load_ohm / below_ohm
    assert bench.gain("s.out", "l.in")[0] == pytest.approx(expected, rel=1e-5)


def test_a_piezo_stands_behind_its_own_capacitance() -> None:
    gear = output("piezo-output", "capacitance: 1 nF", socket="jack-ts", earth="none")
    bench = on_bench(
        gear + jack_load("1 Mohm", "1 nF") + JACK_LEAD,
        {"s": "source", "l": "load"},
        ["s.out > l.in: jack-lead"],
        hz=[HZ],
    )
    load_ohm = parallel(1e6, 1 / (1j * OMEGA * 1e-9))
    expected = divider(load_ohm, 100 + 1 / (1j * OMEGA * 1e-9))
    assert bench.gain("s.out", "l.in")[0] == pytest.approx(expected, rel=1e-5)


def test_both_sides_of_a_stereo_output_are_signals_of_their_own() -> None:
    """Left on the tip, right on the ring; into a stereo input nothing crosses but by the sleeve."""
    figures = "socket: mini-trs, signals: [left, right]"
    giving = "role: out, circuit: single-ended-output, impedance: 1 kohm"
    taking = "role: in, circuit: unbalanced-input, impedance: 9 kohm, capacitance: 1 pF"
    gear = box("source", f"out: {{{figures}, {giving}}}")
    gear += box("load", f"in: {{{figures}, {taking}}}")
    gear += """
    lead:
      label: Stereo lead
      kind: adaptor
      source: measured
      ends: {a: mini-trs, b: mini-trs}
      map: {a.tip: b.tip, a.ring: b.ring, a.sleeve: b.sleeve}
    """
    bench = on_bench(gear, {"s": "source", "l": "load"}, ["s.out > l.in: lead"], hz=[HZ])
    for side, other in (("left", "right"), ("right", "left")):
        assert abs(bench.gain(f"s.out.{side}", f"l.in.{side}")[0]) == pytest.approx(0.9, rel=1e-4)
        assert abs(bench.gain(f"s.out.{side}", f"l.in.{other}")[0]) < 1e-5


# ---------------------------------------------------------------- inputs


@given(source_ohm=st.floats(10, 2000), load_ohm=st.floats(600, 1e5), leg_ohm=st.floats(2000, 1e6))
@settings(max_examples=25)
def test_a_balanced_input_has_its_rated_impedance(
    source_ohm: float, load_ohm: float, leg_ohm: float
) -> None:
    """Whatever its legs have to 0 V: even where two of them alone would be less."""
    gear = output("symmetrical-output", f"impedance: {source_ohm:.3f} ohm") + box(
        "load",
        "in: {socket: xlr-f, role: in, circuit: balanced-input, cmrr: 180 dB, "
        f"impedance: {load_ohm:.3f} ohm, common-mode: {leg_ohm:.3f} ohm}}",
    )
    bench = on_bench(gear, {"s": "source", "l": "load"}, ["s.out > l.in: bench-lead"], hz=[HZ])
    expected = divider(round(load_ohm, 3), round(source_ohm, 3))
    assert bench.gain("s.out", "l.in")[0] == pytest.approx(expected, rel=1e-4)


@pytest.mark.parametrize(
    ("figures", "leg_ohm"),
    [
        ("common-mode: 6.8 kohm", 6800),
        ("common-mode: 6.8 kohm, phantom: 48 V", 6800),  # the feed resistors are the legs
        ("common-mode: 50 kohm, phantom: 48 V", 6800),  # they still are
        ("common-mode: 5 kohm, phantom: 48 V", 5000),  # they are part of them
        ("common-mode: 500 ohm", 1000),  # less than half of what it rates cannot be
    ],
)
def test_legs_of_a_microphone_input(figures: str, leg_ohm: float) -> None:
    """A signal that is the same on both pins meets the legs only."""
    gear = box(
        "source",
        "out: {socket: mini-trs, role: out, signals: [left, right], "
        "circuit: single-ended-output, impedance: 1 kohm}",
    )
    taking = f"circuit: balanced-input, impedance: 2 kohm, {figures}"
    gear += box("load", f"in: {{socket: xlr-f, role: in, {taking}}}")
    bench = on_bench(gear, {"s": "source", "l": "load"}, ["s.out > l.in: lead-mini-xlr 0.01 m"])
    island, solved = bench.islands[0], bench.solved[0]
    at = island.numbers
    (hot, cold) = (drive.plus for drive in island.drives)
    both = solved.node_transfer[:, 0] + solved.node_transfer[:, 1]
    for leg in (hot, cold):
        assert abs(both[at[leg]][0]) == pytest.approx(divider(leg_ohm, 1000), rel=1e-3)


def test_an_input_rejects_what_its_figure_says() -> None:
    """The same on both pins, without imbalance outside: cmrr is all there is."""
    gear = box(
        "source",
        "out: {socket: mini-trs, role: out, signals: [left, right], "
        "circuit: single-ended-output, impedance: 1 mohm}",
    )
    gear += box(
        "load",
        "in: {socket: xlr-f, role: in, circuit: balanced-input, impedance: 1 Mohm, cmrr: 40 dB}",
    )
    bench = on_bench(gear, {"s": "source", "l": "load"}, ["s.out > l.in: lead-mini-xlr 0.01 m"])
    common = sum(bench.gain(f"s.out.{side}", "l.in")[0] for side in ("left", "right"))
    assert abs(common) == pytest.approx(0.01, rel=1e-3)


@given(total=st.floats(1, 1e6), part=st.floats(1, 1e6))
def test_what_lies_beside_makes_the_total(total: float, part: float) -> None:
    beside = beside_ohm(total, part)
    if math.isinf(beside):
        assert part <= total
    else:
        assert abs(parallel(beside, part)) == pytest.approx(total, rel=1e-6)


def test_a_port_without_a_circuit_is_sensed_like_by_a_voltmeter() -> None:
    gear = output("symmetrical-output", "impedance: 600 ohm")
    gear += box("end", "in: {socket: xlr-f, role: in}")
    bench = on_bench(gear, {"s": "source", "e": "end"}, ["s.out > e.in: bench-lead"])
    assert bench.gain("s.out", "e.in")[0] == pytest.approx(1.0, rel=1e-6)
    assert signal_pins("xlr-f").plus == "2"


# ---------------------------------------------------------------- swing


@pytest.mark.parametrize(
    ("circuit", "swing"), [("cross-coupled-output", 0.5), ("symmetrical-output", 0.0)]
)
def test_each_end_of_a_floating_emf_makes_half(circuit: str, swing: float) -> None:
    """Of other outputs the ends are not limited one by one."""
    bench = into_balanced(circuit, "impedance: 1 ohm")
    found = swing_v_per_v(bench.islands[0], bench.solved[0], "s.out", None)
    assert found == pytest.approx(swing, abs=1e-3)


def test_frequencies_are_solved_one_by_one() -> None:
    """A coupling capacitor: bass falls, treble does not."""
    gear = output("single-ended-output", "impedance: 600 ohm, coupling: 1 uF") + BALANCED
    bench = on_bench(
        gear, {"s": "source", "b": "balanced"}, ["s.out > b.in: bench-lead"], hz=[20, 1000, 20_000]
    )
    down_db = bench.gain_db("s.out", "b.in")
    assert np.all(np.diff(down_db) > 0)
