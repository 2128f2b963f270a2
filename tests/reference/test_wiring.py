"""Published values of loading, unbalancing and balance, through gear types and what is plugged.

``test_networks.py`` has the same sources on bare networks; here the templates of the gear book,
cables and assembly stand between.
"""

from __future__ import annotations

import numpy as np
import pytest

from levelhead.chain.solve import solve
from levelhead.circuit.limits.swing import swing_v_per_v
from levelhead.gear.book import load_book
from levelhead.quantity.decibels import dbu_from_volts, pascals_from_db_spl
from levelhead.rig.build import build_rig
from levelhead.show.model import Cable, Item, Link, Show
from tests.bench import Bench, link, on_bench
from tests.reference.values import BRIDGING_LOSSES

HIGH_OHM = "1 Mohm"  # so that only the topology of an output is left of the level


def types(circuit: str, out_ohm: str, in_ohm: str, *, more: str = "") -> str:
    """A source with this output circuit, a balanced and an unbalanced input."""
    return f"""
    source:
      label: Output
      kind: box
      source: measured
      earth: mains
      ports: {{out: {{socket: xlr-m, role: out, circuit: {circuit}, impedance: {out_ohm}{more}}}}}
    balanced:
      label: Balanced input
      kind: box
      source: measured
      earth: mains
      ports: {{in: {{socket: xlr-f, role: in, circuit: balanced-input, impedance: {in_ohm}}}}}
    unbalanced:
      label: Unbalanced input
      kind: box
      source: measured
      earth: mains
      ports:
        in: {{socket: jack-ts, role: in, circuit: unbalanced-input, impedance: {in_ohm},
              capacitance: 1 pF}}
    """


# ---------------------------------------------------------------- loading


@pytest.mark.reference("voltage divider, textbook, evaluated to three decimals (CV-27)")
@pytest.mark.parametrize(("source_ohm", "load_ohm", "expected_db"), BRIDGING_LOSSES)
def test_bridging_loss(source_ohm: int, load_ohm: int, expected_db: float) -> None:
    """Rated impedances are those between the pins, on both sides."""
    gear = types("symmetrical-output", f"{source_ohm} ohm", f"{load_ohm} ohm")
    bench = on_bench(gear, {"a": "source", "b": "balanced"}, ["a.out > b.in: bench-lead"])
    assert bench.one_db("a.out", "b.in") == pytest.approx(expected_db, abs=0.001)


@pytest.mark.reference("IEC 61938: line source of 50 ohm or less into 10 kohm or more (CV-28)")
def test_a_line_output_loses_almost_nothing() -> None:
    gear = types("symmetrical-output", "50 ohm", "10 kohm")
    bench = on_bench(gear, {"a": "source", "b": "balanced"}, ["a.out > b.in: bench-lead"])
    assert bench.one_db("a.out", "b.in") == pytest.approx(-0.043, abs=0.001)


@pytest.mark.reference("IEC 60268-15: microphones of 200 ohm want 1 kohm or more (CV-28)")
def test_microphone_inputs_of_the_book_load_a_microphone_lightly() -> None:
    """Five times the source; every XLR input with its own gain control counts as one."""
    book = load_book()
    mixers = [each for each in book.ids if book.entry(each).kind == "mixer"]
    found = [
        (type_id, port.figures["impedance"].value)
        for type_id in mixers
        for block in book.plan(type_id, {}, {}).blocks
        for name, port in block.plan.ports.items()
        if name == "mic" and "impedance" in port.figures
    ]
    assert found
    assert {type_id for type_id, ohm in found if ohm < 1000} == set()


# ---------------------------------------------------------------- transformers


def step_down(turns: int, load_ohm: int) -> Bench:
    """A source without resistance into a DI box without losses to speak of."""
    gear = (
        types("symmetrical-output", "1 mohm", f"{load_ohm} ohm")
        + f"""
    generator:
      label: Output against 0 V
      kind: box
      source: measured
      earth: mains
      ports:
        out: {{socket: jack-ts, role: out, circuit: single-ended-output, impedance: 10 mohm}}
    ideal-di:
      label: DI box
      kind: box
      source: measured
      ports: {{in: {{socket: jack-ts, role: in}}, out: {{socket: xlr-m, role: out}}}}
      parts:
        - {{transformer: [in.tip, in.sleeve, out.2, out.3], ratio: "{turns}",
           magnetising: 10000 H, primary: 0.001 mohm, secondary: 0.001 mohm}}
        - {{wire: [in.sleeve, out.1]}}
    jack-lead:
      label: Jack lead of no length
      kind: adaptor
      source: measured
      ends: {{a: jack-ts, b: jack-ts}}
      map: {{a.tip: b.tip, a.sleeve: b.sleeve}}
    """
    )
    return on_bench(
        gear,
        {"a": "generator", "di": "ideal-di", "b": "balanced"},
        ["a.out > di.in: jack-lead", "di.out > b.in: bench-lead"],
    )


@pytest.mark.reference(
    "Whitlock, 'Audio Transformers', in Ballou (ed.), Handbook for Sound Engineers (CV-37)"
)
@pytest.mark.parametrize(
    ("turns", "expected_db", "half_digit_db", "seen_ohm"),
    [(12, -21.584, 0.001, 216_000), (10, -20.00, 0.005, 150_000), (20, -26.02, 0.005, 600_000)],
)
def test_step_down_of_a_passive_di(
    turns: int, expected_db: float, half_digit_db: float, seen_ohm: float
) -> None:
    """The voltage falls by the turns; a 1.5 kohm input appears as 1.5 kohm times their square."""
    bench = step_down(turns, 1500)
    assert bench.one_db("a.out", "b.in") == pytest.approx(expected_db, abs=half_digit_db)
    current_a = bench.solved[0].source_current[0, 0, 0]
    assert abs(bench.gain("a.out", "di.in")[0] / current_a) == pytest.approx(seen_ohm, rel=1e-3)


@pytest.mark.reference(
    "Whitlock, 'Audio Transformers': a 12:1 DI box shows some 140 kohm, from memory (CV-37)"
)
def test_the_passive_di_of_the_book_shows_an_instrument_what_it_should() -> None:
    """The losses of a real core lie beside the 216 kohm of an ideal one."""
    gear = types("symmetrical-output", "1 mohm", "1500 ohm")
    bench = on_bench(
        gear,
        {"a": "feed-line-unbalanced", "di": "di-passive", "b": "balanced"},
        ["a.out > di.in: cable-jack 1 m", "di.out > b.in: bench-lead"],
    )
    (column,) = (n for n, drive in enumerate(bench.islands[0].drives) if drive.port == "a.out")
    current_a = bench.solved[0].source_current[column, column, 0]
    seen_ohm = abs(bench.gain("a.out", "di.in")[0] / current_a)
    assert seen_ohm == pytest.approx(140_000, rel=0.1)


# ---------------------------------------------------------------- balanced outputs made unbalanced


def unbalanced(circuit: str, lead: str, *, out_ohm: str = "50 ohm", more: str = "") -> Bench:
    """A balanced output into an unbalanced input of a high impedance."""
    gear = types(circuit, out_ohm, HIGH_OHM, more=more)
    return on_bench(gear, {"a": "source", "b": "unbalanced"}, [f"a.out > b.in: {lead}"])


@pytest.mark.reference("Rayburn, 'Balanced to unbalanced' note (CV-39 a)")
@pytest.mark.parametrize("lead", ["bench-jack-lead", "bench-open-lead"])
def test_a_driven_pair_gives_half_of_its_voltage(lead: str) -> None:
    """Pin 3 tied or open: only one leg is used."""
    bench = unbalanced("symmetrical-output", lead)
    assert bench.one_db("a.out", "b.in") == pytest.approx(-6.02, abs=0.01)


@pytest.mark.reference(
    "Self, Small Signal Audio Design: cross-coupled output, cold leg grounded (CV-39 b)"
)
def test_a_cross_coupled_output_keeps_its_level_and_loses_6_db_of_headroom() -> None:
    """The free leg makes the whole signal: it swings 6.02 dB further than into a balanced input."""
    tied = unbalanced("cross-coupled-output", "bench-jack-lead")
    assert tied.one_db("a.out", "b.in") == pytest.approx(0.0, abs=0.05)
    gear = types("cross-coupled-output", "50 ohm", HIGH_OHM)
    straight = on_bench(gear, {"a": "source", "b": "balanced"}, ["a.out > b.in: bench-lead"])
    swings = [
        swing_v_per_v(bench.islands[0], bench.solved[0], "a.out", None)
        for bench in (tied, straight)
    ]
    assert 20 * np.log10(swings[0] / swings[1]) == pytest.approx(6.0, abs=0.05)


@pytest.mark.reference("Rayburn, 'Balanced to unbalanced' note (CV-39 c, from memory)")
@pytest.mark.parametrize("circuit", ["transformer-output", "floating-output"])
def test_a_winding_does_not_mind_which_end_is_earthed(circuit: str) -> None:
    bench = unbalanced(circuit, "bench-jack-lead")
    assert bench.one_db("a.out", "b.in") == pytest.approx(0.0, abs=0.01)


@pytest.mark.reference("nodal analysis of the stated circuit, no printed source (CV-118 a)")
@pytest.mark.parametrize(("lead", "expected_db"), [("open", -12.04), ("jack", -0.05)])
def test_cold_leg_of_a_cross_coupled_output(lead: str, expected_db: float) -> None:
    """20 kohm from each leg to 0 V, 10 kohm load; 50 ohm of its own cost 0.06 dB."""
    gear = types("cross-coupled-output", "50 ohm", "10 kohm", more=", common-mode: 20 kohm")
    bench = on_bench(gear, {"a": "source", "b": "unbalanced"}, [f"a.out > b.in: bench-{lead}-lead"])
    assert bench.one_db("a.out", "b.in") == pytest.approx(expected_db, abs=0.1)


@pytest.mark.reference("nodal analysis of the stated circuit, no printed source (CV-118 b)")
@pytest.mark.parametrize(("hz", "expected_db"), [(100, -54), (1000, -34), (10_000, -15)])
def test_cold_leg_of_a_transformer_left_open(hz: float, expected_db: float) -> None:
    """Only 300 pF of winding close the circuit."""
    gear = types("transformer-output", "50 ohm", "10 kohm", more=", magnetising: 5 H")
    bench = on_bench(
        gear, {"a": "source", "b": "unbalanced"}, ["a.out > b.in: bench-open-lead"], hz=[hz]
    )
    assert bench.one_db("a.out", "b.in") == pytest.approx(expected_db, abs=1)


# ---------------------------------------------------------------- balance


def common_mode_bench(load_ohm: str) -> Bench:
    """Left and right of a stereo output as two legs, one of them 10 ohm longer."""
    gear = f"""
    stereo:
      label: Stereo output, both sides alike on pins 2 and 3
      kind: box
      source: measured
      earth: mains
      ports:
        out: {{socket: mini-trs, role: out, signals: [left, right], circuit: single-ended-output,
               impedance: 100 ohm}}
    uneven:
      label: 10 ohm in one leg
      kind: box
      source: measured
      ports: {{in: {{socket: xlr-f, role: in}}, out: {{socket: xlr-m, role: out}}}}
      parts:
        - {{resistor: [in.3, out.3], value: 10 ohm}}
        - {{wire: [in.2, out.2]}}
        - {{wire: [in.1, out.1]}}
    input:
      label: Input with perfect rejection of its own
      kind: box
      source: measured
      earth: mains
      ports:
        in: {{socket: xlr-f, role: in, circuit: balanced-input, impedance: {load_ohm},
              common-mode: {load_ohm}, cmrr: 180 dB}}
    stereo-lead:
      label: Left on 2, right on 3
      kind: adaptor
      source: measured
      ends: {{a: mini-trs, b: xlr-m}}
      map: {{a.tip: b.2, a.ring: b.3, a.sleeve: b.1}}
    """
    return on_bench(
        gear,
        {"a": "stereo", "pad": "uneven", "b": "input"},
        ["a.out > pad.in: stereo-lead", "pad.out > b.in: bench-lead"],
    )


@pytest.mark.reference(
    "Whitlock, J. Audio Eng. Soc. 1995, and IEC 60268-3: 10 ohm of imbalance (CV-108)"
)
@pytest.mark.parametrize(
    ("leg_ohm", "expected_db"), [("10 kohm", 60.09), ("20 kohm", 66.07), ("1 Mohm", 100.0)]
)
def test_rejection_is_lost_by_uneven_legs(leg_ohm: str, expected_db: float) -> None:
    """Source legs of 100 and 110 ohm, each leg of the input to 0 V: a bridge out of balance."""
    bench = common_mode_bench(leg_ohm)
    left, right = (bench.gain(f"a.out.{side}", "b.in")[0] for side in ("left", "right"))
    common, difference = left + right, (left - right) / 2
    assert 20 * np.log10(abs(difference / common)) == pytest.approx(expected_db, abs=0.05)


# ---------------------------------------------------------------- microphones


@pytest.mark.reference("IEC 60268-4, definition of sensitivity (CV-43)")
@pytest.mark.parametrize(
    ("type_id", "sensitivity", "level_db_spl", "expected_dbu"),
    [
        ("mic-vocal-dynamic", "2 mV/Pa", 100, -45.74),
        ("mic-vocal-condenser", "20 mV/Pa", 134, 8.26),
    ],
)
def test_what_a_microphone_gives(
    type_id: str, sensitivity: str, level_db_spl: float, expected_dbu: float
) -> None:
    """Open circuit: into an input that does not load it."""
    gear = types("symmetrical-output", "50 ohm", HIGH_OHM)
    mic = Item("mic", type_id, figures={"capsule.sensitivity": sensitivity})
    bench = on_bench(gear, {"mic": mic, "b": "balanced"}, ["mic.out > b.in: bench-lead"])
    ((_, path),) = bench.rig.items["mic"].paths()
    ratio = path.stages[0].ratio
    assert ratio is not None
    emf_v = ratio.value * float(pascals_from_db_spl(level_db_spl))
    arriving_v = emf_v * abs(bench.gain("mic.out", "b.in")[0])
    assert float(dbu_from_volts(arriving_v)) == pytest.approx(expected_dbu, abs=0.01)


@pytest.mark.reference("IEC 60268-12: pin 2 hot, pin 3 cold, pin 1 screen (CV-35 a)")
def test_a_swapped_lead_turns_the_signal_over() -> None:
    gear = types("symmetrical-output", "50 ohm", "10 kohm")
    text = "a.out > b.in: cable-xlr 10 m"
    plain, swapped = (
        on_bench(gear, {"a": "source", "b": "balanced"}, [each])
        for each in (text, link(text, **{"2": "3", "3": "2"}))
    )
    assert plain.gain("a.out", "b.in")[0].real == pytest.approx(
        -swapped.gain("a.out", "b.in")[0].real, rel=1e-6
    )


@pytest.mark.reference("D. Self, Small Signal Audio Design: one leg of a balanced output grounded")
def test_grounding_a_leg_of_a_cross_coupled_output_costs_6_db_of_headroom() -> None:
    """The level stays, the ceiling falls by half: CV-39b carried through a show (gear book)."""
    items = {"feed": Item("feed", "feed-cross"), "desk": Item("desk", "mixer-compact")}
    book = load_book().extended(
        {
            "feed-cross": {
                "like": "feed-line",
                "ports": {"out": {"circuit": "cross-coupled-output", "current": None}},
            }
        }
    )
    levels = []
    for lead in ("lead-xlr-jack-balanced", "lead-xlr-jack"):
        run = Link({"a": "feed.out", "b": "desk.ch1.line"}, (Cable(lead, 3.0),))
        solution = solve(build_rig(Show("one", items=items, links=(run,)), book))
        levels.append(solution.levels("desk.ch1.line"))
    balanced, grounded = levels
    assert balanced.headroom is not None
    assert grounded.headroom is not None
    assert grounded.nominal == pytest.approx(balanced.nominal, abs=0.15)
    # its 20 kohm legs and the input's 20 kohm load 100 ohm differently in the two: 0.13 dB
    assert grounded.headroom == pytest.approx(balanced.headroom - 6.02, abs=0.15)
