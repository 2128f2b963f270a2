"""Cables as drawn: resistance and capacitance by length, screens, faults at their pins."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from levelhead.circuit.drawn.sketch import Element
from levelhead.circuit.network import Kind
from levelhead.errors import ShowError
from levelhead.show.lengths import checked_cable
from levelhead.show.model import Link
from tests.bench import Bench, fan, link, on_bench

ENDS = """
source:
  label: Output
  kind: box
  source: measured
  earth: mains
  ports: {out: {socket: xlr-m, role: out, circuit: symmetrical-output, impedance: 100 ohm}}
load:
  label: Input
  kind: box
  source: measured
  earth: mains
  ports: {in: {socket: xlr-f, role: in, circuit: balanced-input, impedance: 20 kohm, cmrr: 180 dB}}
jack:
  label: Unbalanced input
  kind: box
  source: measured
  earth: mains
  ports: {in: {socket: jack-ts, role: in, circuit: unbalanced-input, impedance: 10 kohm}}
"""


def plugged(cable: str, *, to: str = "load", **pins: str) -> Bench:
    """An output into an input by one cable."""
    text = f"s.out > l.in: {cable}"
    return on_bench(ENDS, {"s": "source", "l": to}, [link(text, **pins)])


def of_cable(bench: Bench, kind: str) -> list[Element]:
    """Elements of the first cable, by what they are called."""
    return [
        element
        for island in bench.islands
        for element in island.elements
        if element.tag.startswith("link 0, ") and element.tag.endswith(kind)
    ]


def total(elements: list[Element]) -> float:
    """Sum of their values."""
    return sum(element.value for element in elements)


# ---------------------------------------------------------------- lengths


@given(metres=st.floats(0.1, 500))
@settings(max_examples=20)
def test_copper_and_capacitance_grow_with_length(metres: float) -> None:
    """85 and 30 mohm/m with 5 mohm of contacts; 110 pF/m to the screen, 60 pF/m between cores."""
    bench = plugged(f"cable-xlr {metres:.3f} m")
    metres = round(metres, 3)
    assert total(of_cable(bench, "core resistance")) == pytest.approx(2 * (0.085 * metres + 0.005))
    assert total(of_cable(bench, "screen resistance")) == pytest.approx(0.030 * metres + 0.005)
    farad = sorted(element.value / metres * 1e12 for element in of_cable(bench, "capacitance"))
    assert farad == pytest.approx([30, 30, 55, 55, 55, 55])


def test_two_halves_are_like_one_cable() -> None:
    """The middle plugs add contacts only."""
    whole = plugged("cable-xlr 100 m")
    halves = plugged("cable-xlr 50 m, cable-xlr 50 m")
    assert halves.one_db("s.out", "l.in") == pytest.approx(whole.one_db("s.out", "l.in"), abs=1e-4)


def test_an_adaptor_has_contacts_and_no_length() -> None:
    bench = plugged("bench-lead")
    assert [element.value for element in of_cable(bench, "core resistance")] == [0.005] * 2
    assert of_cable(bench, "capacitance") == []


def test_a_lead_with_ends_of_its_own_has_its_length_to_each_of_them() -> None:
    """Half of a conductor's capacitance at each of its two ends, however many ends the lead has."""
    gear = (
        ENDS
        + """
split:
  label: Y lead
  kind: cable
  source: measured
  ends: {a: xlr-f, b: xlr-m, c: xlr-m}
  wire: {core: 85 mohm/m, screen: 30 mohm/m, core-core: 60 pF/m, core-screen: 100 pF/m}
  map: {a.1: [b.1, c.1], a.2: [b.2, c.2], a.3: [b.3, c.3]}
"""
    )
    lead = fan({"a": "s.out", "b": "l.in", "c": "m.in"}, "split 2 m")
    bench = on_bench(gear, {"s": "source", "l": "load", "m": "load"}, [lead])
    per_branch = 2 * 2 * 100e-12 + 2 * 60e-12
    assert total(of_cable(bench, "capacitance")) == pytest.approx(2 * per_branch)
    assert total(of_cable(bench, "screen resistance")) == pytest.approx(2 * (0.06 + 0.005))


# ---------------------------------------------------------------- which conductor is the screen


def test_a_cold_core_tied_to_the_sleeve_is_no_screen() -> None:
    """XLR to mono jack: pin 1 by the screen, pin 3 by its own core, both on the sleeve."""
    gear = (
        ENDS
        + """
two-core:
  label: XLR to jack, two cores
  kind: cable
  source: measured
  ends: {a: xlr-f, b: jack-ts}
  wire: {core: 85 mohm/m, screen: 30 mohm/m}
  map: {a.1: b.sleeve, a.2: b.tip, a.3: b.sleeve}
"""
    )
    bench = on_bench(gear, {"s": "source", "l": "jack"}, ["s.out > l.in: two-core 10 m"])
    assert [e.value for e in of_cable(bench, "screen resistance")] == pytest.approx([0.305])
    assert [e.value for e in of_cable(bench, "core resistance")] == pytest.approx([0.855] * 2)


def test_a_core_that_is_not_there_has_no_capacitance() -> None:
    """Pin 3 open in the lead: the cold leg meets nothing at all."""
    gear = (
        ENDS
        + """
one-core:
  label: XLR to jack, one core
  kind: cable
  source: measured
  ends: {a: xlr-f, b: jack-ts}
  wire: {core: 85 mohm/m, screen: 30 mohm/m, core-core: 60 pF/m, core-screen: 110 pF/m}
  map: {a.1: b.sleeve, a.2: b.tip}
"""
    )
    bench = on_bench(gear, {"s": "source", "l": "jack"}, ["s.out > l.in: one-core 10 m"])
    farad = [element.value for element in of_cable(bench, "capacitance")]
    assert farad == pytest.approx([550e-12] * 2)


def test_an_unscreened_cable_has_copper_only() -> None:
    gear = """
amp:
  label: Amplifier
  kind: box
  source: measured
  earth: mains
  ports: {out: {socket: speaker-4, role: loudspeaker, circuit: power-output, impedance: 30 mohm}}
"""
    items = {"a": "amp", "b": "loudspeaker-passive-12"}
    bench = on_bench(gear, items, ["a.out > b.in: cable-loudspeaker 10 m"])
    assert {element.kind for element in of_cable(bench, "")} == {Kind.RESISTOR}


# ---------------------------------------------------------------- what differs at the pins


def test_a_broken_leg_halves_a_driven_pair() -> None:
    """Pin 3 open: the input's cold leg hangs on its own impedance to the hot one and to 0 V."""
    whole, broken = plugged("bench-lead"), plugged("bench-lead", **{"3": "open"})
    lost_db = whole.one_db("s.out", "l.in") - broken.one_db("s.out", "l.in")
    assert lost_db == pytest.approx(20 * math.log10(2), abs=0.05)


def test_tied_pins_short_a_leg_and_leave_its_wire() -> None:
    """Pin 3 on pin 1: the cold leg drives a short, half of the signal is left."""
    bench = plugged("bench-lead", **{"3": "1"})
    assert bench.one_db("s.out", "l.in") == pytest.approx(-6.02, abs=0.05)
    assert len(of_cable(bench, "core resistance")) == 3
    assert [element.value for element in of_cable(bench, "pins tied")] == [1e-3]


def test_pins_that_changed_places_turn_the_signal_over() -> None:
    plain, swapped = plugged("bench-lead"), plugged("bench-lead", **{"2": "3", "3": "2"})
    assert swapped.gain("s.out", "l.in")[0] == pytest.approx(-plain.gain("s.out", "l.in")[0])


def test_a_wire_may_be_open_at_either_end() -> None:
    """At the far end its capacitance still hangs on the near one."""
    hz = [20_000.0]
    near, far = (
        on_bench(
            ENDS,
            {"s": "source", "l": "jack"},
            [link("s.out > l.in: lead-xlr-jack 500 m", **{pin: "open"})],
            hz=hz,
        )
        for pin in ("a.2", "b.tip")
    )
    for bench in (near, far):
        assert abs(bench.gain("s.out", "l.in")[0]) < 0.5
    assert abs(far.gain("s.out", "s.out")[0]) < abs(near.gain("s.out", "s.out")[0])


@pytest.mark.parametrize(
    ("pins", "said"),
    [
        ({"4": "open"}, r"no pin '4' at the ends of this link; expected one of 1, 2, 3"),
        ({"tipp": "open"}, r"no pin 'tipp'.*Did you mean 'tip'"),
        ({"c_1": "open"}, r"no pin 'c\.1'"),
        ({"2": "tip"}, r"pin '2' cannot be 'tip'; expected open, or one of 1, 3"),
        ({"2": "2"}, r"pin '2' cannot be '2'"),
        ({"2": "unknown"}, r"pin '2' cannot be 'unknown'"),
    ],
)
def test_a_pin_that_is_not_there_is_refused(pins: dict[str, str], said: str) -> None:
    with pytest.raises(ShowError, match=said):
        plugged("lead-xlr-jack 1 m", to="jack", **pins)


def test_three_pins_in_a_ring_all_move() -> None:
    """1 on 2, 2 on 3, 3 on 1: the screen carries the hot leg's signal, and nothing is tied."""
    bench = plugged("bench-lead", **{"1": "2", "2": "3", "3": "1"})
    assert of_cable(bench, "pins tied") == []


def test_parts_in_a_plug_stand_between_its_pins() -> None:
    gear = (
        ENDS
        + """
pad-lead:
  label: Lead with 900 ohm in the tip
  kind: adaptor
  source: measured
  ends: {a: xlr-f, b: jack-ts}
  map: {a.1: b.sleeve, a.3: b.sleeve}
  parts: [{resistor: [a.2, b.tip], value: 900 ohm}]
"""
    )
    show_link = Link({"a": "s.out", "b": "l.in"}, (checked_cable("pad-lead"),))
    bench = on_bench(gear, {"s": "source", "l": "jack"}, [show_link])
    expected = 0.5 * 10_000 / (10_000 + 900 + 50)
    assert abs(bench.gain("s.out", "l.in")[0]) == pytest.approx(expected, rel=1e-3)
