"""Published values of phantom power, through gear types, cables and assembly."""

from __future__ import annotations

import pytest

from levelhead.circuit.direct.phantom import FeedLeg
from levelhead.gear.book import load_book
from levelhead.show.model import Item, Link
from tests.bench import Bench, link, on_bench


def types(supply: str, feed: str, *, current: str = "2 mA", minimum: str = "1 V") -> str:
    """A supply with its feed resistors, and something that lives on it."""
    return f"""
    desk:
      label: Input with phantom power
      kind: box
      source: measured
      earth: mains
      ports:
        in: {{socket: xlr-f, role: in, circuit: balanced-input, impedance: 100 kohm,
              common-mode: 100 kohm, phantom: {supply}, phantom-feed: {feed}, ground: 0.001 mohm}}
    mic:
      label: Microphone
      kind: microphone
      source: measured
      powered-by: [{{phantom: out, current: {current}, minimum: {minimum}}}]
      ports:
        out: {{socket: xlr-m, role: out, circuit: symmetrical-output, impedance: 150 ohm,
               coupling: 47 uF, ground: 0.001 mohm}}
    """


def powered(supply: str, feed: str, current: str, minimum: str = "1 V") -> Bench:
    """The microphone on its supply, by a lead of no length."""
    gear = types(supply, feed, current=current, minimum=minimum)
    return on_bench(gear, {"m": "mic", "d": "desk"}, ["m.out > d.in: bench-lead"])


def shorted(**pins: str) -> tuple[FeedLeg, ...]:
    """Currents of both legs of a P48 supply with pins tied at the far plug, nothing else there."""
    bench = on_bench(
        types("48 V", "6.8 kohm") + PLAIN,
        {"x": "open", "d": "desk"},
        [link("x.out > d.in: bench-lead", **pins)],
    )
    return bench.flow("d.in").legs


PLAIN = """
    open:
      label: A socket with nothing behind it
      kind: box
      source: measured
      ports: {out: {socket: xlr-m, role: out}}
"""


# ---------------------------------------------------------------- definitions


@pytest.mark.reference("IEC 61938:2018, phantom clause: 48 V +-4 V, 6.8 kohm, 10 mA (CV-29)")
def test_phantom_of_the_book_is_p48() -> None:
    """Every input of the book that feeds phantom power says the standard's volts and resistors."""
    book = load_book()
    found = []
    for type_id in book.ids:
        for name, control in book.entry(type_id).controls.items():
            if "on" in (control.options or {}) and name == "phantom":
                for block in book.plan(type_id, {"phantom": "on"}, {}).blocks:
                    found += [
                        each for each in block.plan.ports.values() if "phantom" in each.figures
                    ]
    p48 = [each for each in found if each.figures["phantom"].source == "standard"]
    assert len(p48) > 10
    for port in p48:
        supply = port.figures["phantom"]
        # 48 V, at most 4 V off: limits are three spreads, a range of the book is two each side
        assert supply.value == 48
        assert (supply.low, supply.high) == pytest.approx((48 - 8 / 3, 48 + 8 / 3), abs=0.05)
        assert port.figures["phantom-feed"].value == 6800


@pytest.mark.reference("IEC 61938:2018: P12, P24, P12L, SP48 (CV-30, CV-31)")
@pytest.mark.parametrize(
    ("supply", "feed", "current", "left_v", "milliwatt"),
    [
        ("12 V", "680 ohm", "15 mA", 6.9, 103.5),
        ("24 V", "1.2 kohm", "10 mA", 18.0, 180.0),
        ("12 V", "3.3 kohm", "4 mA", 5.4, 21.6),
        ("48 V", "2.2 kohm", "22 mA", 23.8, 523.6),
    ],
)
def test_other_phantom_powers_by_their_figures(
    supply: str, feed: str, current: str, left_v: float, milliwatt: float
) -> None:
    """What the largest current of each leaves: printed 'about 22 mW' and 'about 520 mW'."""
    arrival = powered(supply, feed, current).phantom("m")
    assert arrival.volts == pytest.approx(left_v, abs=0.01)
    assert 1e3 * arrival.volts * arrival.current_a == pytest.approx(milliwatt, rel=2e-3)


@pytest.mark.reference("Ohm's law on IEC 61938 feed resistors, V - I R / 2 (CV-32)")
@pytest.mark.parametrize(
    ("supply", "feed", "current", "left_v"),
    [
        ("48 V", "6.8 kohm", "2 mA", 41.2),
        ("48 V", "6.8 kohm", "4 mA", 34.4),
        ("48 V", "6.8 kohm", "10 mA", 14.0),
        ("12 V", "680 ohm", "15 mA", 6.9),
        ("24 V", "1.2 kohm", "10 mA", 18.0),
    ],
)
def test_volts_left_at_a_microphone(supply: str, feed: str, current: str, left_v: float) -> None:
    """Both legs share the current, so half of a feed resistor counts."""
    arrival = powered(supply, feed, current).phantom("m")
    assert arrival.volts == pytest.approx(left_v, abs=0.01)
    assert arrival.is_fed


@pytest.mark.reference("IEC 61938, matched load: printed 'up to 170 mW' and 100 mW (CV-33 a)")
@pytest.mark.parametrize(
    ("supply", "feed", "current", "milliwatt"),
    [("48 V", "6.8 kohm", "7.06 mA", 169.4), ("12 V", "680 ohm", "17.65 mA", 105.9)],
)
def test_most_power_of_a_supply(supply: str, feed: str, current: str, milliwatt: float) -> None:
    """At half of the volts."""
    arrival = powered(supply, feed, current).phantom("m")
    assert 1e3 * arrival.volts * arrival.current_a == pytest.approx(milliwatt, abs=0.1)


@pytest.mark.reference("Ohm's law; a reference page prints 'less than 15 mA' (CV-33 b)")
def test_short_circuits_of_p48() -> None:
    """One leg to ground, and both."""
    one = shorted(b_3="1")
    assert [1e3 * leg.current_a for leg in one] == pytest.approx([0, 7.06], abs=0.01)
    both = shorted(b_2="1", b_3="1")
    assert 1e3 * sum(leg.current_a for leg in both) == pytest.approx(14.12, abs=0.01)


@pytest.mark.reference("IEC 61938 / DIN 45596: resistors of a pair within 0.4 % (CV-34)")
def test_uneven_feed_resistors_offset_the_legs() -> None:
    """2 mA through each leg, 0.4 % apart: 54 mV between them. Through a box with the difference."""
    gear = (
        types("48 V", "6.8 kohm")
        + """
    uneven:
      label: 0.4 % of 6.8 kohm in one leg
      kind: box
      source: measured
      ports: {in: {socket: xlr-f, role: in}, out: {socket: xlr-m, role: out}}
      parts:
        - {resistor: [in.3, out.3], value: 27.2 ohm}
        - {wire: [in.2, out.2]}
        - {wire: [in.1, out.1]}
    sinks:
      label: 13.6 kohm in each leg, which take 2.3 mA each
      kind: box
      source: measured
      ports: {out: {socket: xlr-m, role: out}}
      parts:
        - {resistor: [out.2, out.1], value: 17.2 kohm}
        - {resistor: [out.3, out.1], value: 17.2 kohm}
    """
    )
    bench = on_bench(
        gear,
        {"s": "sinks", "u": "uneven", "d": "desk"},
        ["s.out > u.in: bench-lead", "u.out > d.in: bench-lead"],
    )
    first, second = bench.flow("d.in").legs
    assert 1e3 * first.current_a == pytest.approx(2.0, abs=0.01)
    offset_v = 27.2 * second.current_a
    assert 1e3 * offset_v == pytest.approx(54, abs=0.5)


# ---------------------------------------------------------------- where it was not meant to go


@pytest.mark.reference("Ohm's law on the stated circuit (CV-119)")
def test_phantom_into_an_unbalanced_output_by_a_jack_lead() -> None:
    """Pin 3 grounded by the lead: what its leg gives is wasted, the other goes into the output."""
    gear = (
        types("48 V", "6.8 kohm")
        + """
    player:
      label: Direct-coupled output
      kind: box
      source: measured
      earth: mains
      ports: {out: {socket: jack-ts, role: out, circuit: single-ended-output, impedance: 100 ohm,
                    ground: 0.001 mohm}}
    lead:
      label: Jack to XLR, pin 3 to 1
      kind: adaptor
      source: measured
      ends: {a: jack-ts, b: xlr-m}
      map: {a.tip: b.2, a.sleeve: [b.1, b.3]}
    """
    )
    flow = on_bench(gear, {"p": "player", "d": "desk"}, ["p.out > d.in: lead"]).flow("d.in")
    (back,) = flow.back_fed
    assert 1e3 * back.current_a == pytest.approx(6.957, abs=0.01)
    assert back.volts == pytest.approx(0.696, abs=0.001)
    assert 1e3 * flow.legs[1].current_a == pytest.approx(7.059, abs=0.01)


@pytest.mark.reference("half of C U^2, on the stated circuit (CV-119)")
def test_charge_that_waits_in_a_coupling_capacitor() -> None:
    """47 uF at 48 V hold 54 mJ."""
    gear = (
        types("48 V", "6.8 kohm")
        + """
    output:
      label: Output behind capacitors
      kind: box
      source: measured
      earth: mains
      ports: {out: {socket: xlr-m, role: out, circuit: symmetrical-output, impedance: 100 ohm,
                    coupling: 47 uF}}
    """
    )
    flow = on_bench(gear, {"o": "output", "d": "desk"}, ["o.out > d.in: bench-lead"]).flow("d.in")
    held = [each for each in flow.charged if each.tag == "o.out.coupling"]
    assert [1e3 * each.joule for each in held] == pytest.approx([54, 54], abs=0.5)
    assert [back.current_a for back in flow.back_fed] == pytest.approx([0, 0], abs=1e-9)


@pytest.mark.reference("Ohm's law: 6.8 kohm alone, and 52 against 44 V (CV-29, CV-32)")
@pytest.mark.parametrize(
    ("pins", "left_v"), [({}, 34.4), ({"3": "open"}, 20.8), ({"1": "open"}, 0.0)]
)
def test_a_lost_conductor(pins: dict[str, str], left_v: float) -> None:
    """One leg alone drops 27.2 V at 4 mA; without the screen there is no way back."""
    gear = types("48 V", "6.8 kohm", current="4 mA")
    links: list[str | Link] = [link("m.out > d.in: bench-lead", **pins)]
    bench = on_bench(gear, {"m": "mic", "d": "desk"}, links)
    assert bench.phantom("m").volts == pytest.approx(left_v, abs=0.02)


@pytest.mark.reference("Ohm's law: two supplies of 13.6 kohm between them (CV-29)")
def test_two_feeds_that_meet() -> None:
    """44 and 52 V on one microphone of 4 mA: their mean, less half of the usual drop."""
    gear = (
        types("44 V", "6.8 kohm", current="4 mA")
        + """
    other:
      like: desk
      label: The other end of the standard
      ports: {in: {phantom: 52 V}}
    y-lead:
      label: Y lead
      kind: adaptor
      source: measured
      ends: {a: xlr-f, b: xlr-m, c: xlr-m}
      map: {a.1: [b.1, c.1], a.2: [b.2, c.2], a.3: [b.3, c.3]}
    """
    )
    split = Link({"a": "m.out", "b": "d1.in", "c": "d2.in"}, link("a.b > c.d: y-lead").via)
    bench = on_bench(gear, {"m": "mic", "d1": "desk", "d2": "other"}, [split])
    assert bench.phantom("m").volts == pytest.approx(48 - 4e-3 * 1700, abs=0.01)
    low, high = (sum(leg.current_a for leg in bench.flow("m.out").legs if leg.port == port)
                 for port in ("d1.in", "d2.in"))  # fmt: skip
    assert (low + high) * 1e3 == pytest.approx(4.0, abs=1e-3)
    assert (high - low) * 1e3 == pytest.approx(8 / 3.4, abs=0.01)


@pytest.mark.reference("Ohm's law: 10 mA on a supply that gives 7.06 mA at half its volts (CV-33)")
def test_a_load_below_its_minimum_is_like_a_resistance() -> None:
    """Wants 10 mA at 30 V, so 3 kohm: 48 V through 3.4 kohm leave 22.5 V and 7.5 mA."""
    arrival = powered("48 V", "6.8 kohm", "10 mA", "30 V").phantom("m")
    assert arrival.volts == pytest.approx(48 * 3000 / 6400, abs=0.01)
    assert 1e3 * arrival.current_a == pytest.approx(7.5, abs=0.01)
    assert arrival.volts < arrival.needed_v


@pytest.mark.reference("Ohm's law on 2 x 0.085 and 0.03 ohm/m (IEC 60228 copper; CV-32)")
def test_a_long_multicore_costs_next_to_nothing() -> None:
    """150 m: 4 mA in half of 12.8 ohm and 4.5 ohm of screen lose 0.04 V of 34.4."""
    gear = types("48 V", "6.8 kohm", current="4 mA")
    mic = Item("m", "mic")
    bench = on_bench(gear, {"m": mic, "d": "desk"}, ["m.out > d.in: cable-xlr 150 m"])
    assert bench.phantom("m").volts == pytest.approx(34.4 - 0.044, abs=0.005)
