"""Hum at inputs: conversion, ranges, and what they hang on."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from levelhead.circuit.ground.mains import MAINS_230, Cause, Mains
from levelhead.circuit.ground.network import solve_ground
from levelhead.circuit.hum.at_inputs import PortHum, hum_at_inputs
from levelhead.circuit.hum.sums import HumSum, added
from levelhead.gear.figures import Figure
from tests.circuit.ground_rigs import line_of_two, rig_of


def hum_of(text: str, mains: Mains = MAINS_230, address: str = "two.in") -> PortHum:
    """Hum at one input of a rig."""
    return hum_at_inputs(solve_ground(rig_of(text), mains))[address]


def unbalanced(lead: str, at: tuple[str | None, str | None]) -> PortHum:
    """An unbalanced lead between two earthed items."""
    return hum_of(line_of_two("player-earthed", lead, "amp-unbalanced", at=at))


def balanced(cable: str, *, figures: str = "", sender: str = "symmetrical") -> PortHum:
    """A balanced line between two circuits."""
    return hum_of(
        f"""
items:
  one: {{type: {sender}, supply: stage}}
  two: {{type: amp-balanced, supply: hall, figures: {{{figures}}}}}
links: [{{from: one.out, to: two.in, via: [{cable}]}}]
"""
    )


# ---------------------------------------------------------------- conversion


def test_an_unbalanced_input_takes_the_screens_drop_for_signal() -> None:
    """All that stands between the two 0 V arrives."""
    rig = rig_of(line_of_two("player-earthed", "lead-1-ohm 1 m", "amp-unbalanced",
                             at=("stage", "hall")))  # fmt: skip
    ground = solve_ground(rig)
    hum = hum_at_inputs(ground)["two.in"]
    assert hum.power.rms().value == pytest.approx(ground.volts_between("one", "two"), rel=1e-3)
    assert hum.partner == "one"


def test_what_only_fields_reach_adds_as_if_no_source_drove_it() -> None:
    """An island of one 0 V carries no zeros along, and every sum and gain is that with them."""
    driven = unbalanced("lead-1-ohm 1 m", ("stage", "hall")).power
    strength = driven.field + 1e-12
    field = HumSum.of_field(driven.of.fields, strength)
    nothing = np.zeros_like(driven.direct)
    full = HumSum(driven.of, "V", nothing, np.zeros_like(driven.shared), nothing, strength)
    power = np.linspace(0.5, 2.0, len(strength))
    for one, other in ((field, full), (field.scaled(power, "Pa"), full.scaled(power, "Pa"))):
        assert one.rms_a() == other.rms_a()
        assert one.strongest() == other.strongest() == (Cause.FIELD, "")
    for ours, theirs in (([field, field], [full, full]), ([driven, field], [driven, full])):
        assert added(ours).rms() == added(theirs).rms()
        assert added([*reversed(ours)]).rms() == added([*reversed(theirs)]).rms()
    assert not added([field, field]).is_driven
    assert added([field, driven]).is_driven


@pytest.mark.parametrize(
    ("at", "least_db", "most_db"),
    [(("stage", "stage"), -60, -40), (("stage", "wings"), -40, -20), (("stage", "hall"), -20, 5)],
)
def test_ranges_are_those_of_the_earths(
    at: tuple[str, str], least_db: float, most_db: float
) -> None:
    """A screen of 1 ohm takes most of 1 to 10 mV, 10 to 100 mV, 0.1 to 2 V, here in dBV."""
    rms = unbalanced("lead-1-ohm 1 m", at).power.rms()
    low_db, high_db = (20 * math.log10(end) for end in (rms.low, rms.high))
    assert least_db - 6 <= low_db <= least_db + 2
    assert most_db - 6 <= high_db <= most_db + 2


@given(more_db=st.integers(min_value=1, max_value=60))
def test_rejection_is_worth_its_decibels(more_db: int) -> None:
    """What both legs share comes through by the input's own figure."""
    poor, good = (
        balanced("cable-bare 10 m", figures=f"in.cmrr: {20 + more} dB").power.shared[1].sum()
        for more in (0, more_db)
    )
    assert 10 * math.log10(poor / good) == pytest.approx(more_db, abs=1e-6)


def test_a_balanced_line_hums_far_less_than_an_unbalanced_one() -> None:
    """The same earths, the same screens."""
    plain = unbalanced("lead-1-ohm 1 m", ("stage", "hall")).power.rms().value
    line = balanced("cable-bare 30 m").power.rms().value
    assert 50 < 20 * math.log10(plain / line) < 75


def test_one_open_end_of_a_screen_leaves_no_loop_and_more_in_common() -> None:
    """Without a screen's current the whole potential stands on both legs, and is rejected."""
    joined, opened = balanced("cable-bare 10 m").power, balanced("cable-open 10 m").power
    between = 10 * math.log10(opened.shared[1].sum() / joined.shared[1].sum())
    assert 2 < between < 12


def test_a_transformer_breaks_the_loop() -> None:
    """Only the capacitance between its windings is left."""
    text = """
items:
  one: {type: player-earthed, supply: stage}
  iso: {type: isolator}
  two: {type: amp-unbalanced, supply: hall}
links:
  - {from: one.out, to: iso.in, via: [lead-1-ohm 1 m]}
  - {from: iso.out, to: two.in, via: [lead-1-ohm 1 m]}
"""
    through, direct = hum_of(text), unbalanced("lead-1-ohm 1 m", ("stage", "hall"))
    assert 20 * math.log10(direct.power.rms().value / through.power.rms().value) > 60


def test_unlike_legs_are_counted_though_the_circuit_has_equal_ones() -> None:
    """Two legs of 100 ohm and two of 10 kohm at the input, each 1 % off by itself: -74 dB."""
    power = balanced("cable-bare 1 m", figures="in.cmrr: 200 dB").power
    common = power.shared[1].sum() * 1e20
    rejection_db = 10 * math.log10(common / power.unlike.sum())
    expected_db = -20 * math.log10(0.01 * 100 / 10e3 * math.sqrt(4))
    assert rejection_db == pytest.approx(expected_db, abs=0.5)


def test_a_chargers_noise_is_heard_at_kilohertz_only() -> None:
    """It enters by the same capacitance as the leakage."""
    hum = hum_of(line_of_two("player", "lead-1-ohm 1 m", "amp-unbalanced", at=(None, "hall")))
    row = next(
        row for row, source in enumerate(hum.power.of.sources) if source.cause is Cause.CHARGER
    )
    lines = hum.power.direct[row]
    hz = hum.power.of.mains.lines_hz
    assert not lines[:20].any()
    assert (hz[lines > 0] >= 1000).all()
    assert (np.diff(lines[20:]) > 0).all()  # a capacitance lets more through the higher it is


# ---------------------------------------------------------------- fields


def test_fields_bring_more_into_longer_leads() -> None:
    """As the length, for both ways in; the core's own ohms add to the 100 that current meets."""
    short, long = (
        hum_of(line_of_two("player-on-battery", f"lead-1-ohm {metres} m", "amp-unbalanced",
                           at=(None, "hall"))).power.field.sum()
        for metres in (1, 10)
    )  # fmt: skip
    assert 10 * math.log10(long / short) == pytest.approx(20, abs=1)


# ---------------------------------------------------------------- ranges and doubts


def test_the_typical_value_lies_inside_its_range() -> None:
    """For the whole, A-weighted, and for every line."""
    power = balanced("cable-bare 10 m").power
    for rms in (power.rms(), power.rms_a(), *power.rms_of_lines()):
        assert rms.low <= rms.value <= rms.high
    assert power.rms_a().value < power.rms().value


def test_lines_add_up_to_the_whole() -> None:
    """As powers."""
    power = unbalanced("lead-1-ohm 1 m", ("stage", "hall")).power
    lines = [rms.value**2 for rms in power.rms_of_lines()]
    assert math.sqrt(sum(lines)) == pytest.approx(power.rms().value, rel=1e-9)


def test_the_range_of_a_lone_doubt_is_that_of_its_figure() -> None:
    """Between two circuits nothing else matters much: 0.1 to 2 V are 26 dB."""
    rms = unbalanced("lead-1-ohm 1 m", ("stage", "hall")).power.rms()
    assert 20 * math.log10(rms.high / rms.low) == pytest.approx(26.0, abs=0.5)


def test_shares_of_all_causes_make_the_whole() -> None:
    """Rejection and unlike legs act on the same power once more."""
    doubts = balanced("cable-bare 10 m").power.doubts_a()
    causes = {each.value for each in Cause}
    assert sum(doubt.share for doubt in doubts if doubt.what in causes) == pytest.approx(1.0)


def test_a_doubt_moves_hum_by_its_share() -> None:
    """First order: one decibel more between the circuits."""
    more = Figure(MAINS_230.circuits.value * 10 ** (1 / 20), 0.1, 2.0, "V", "typical")
    text = line_of_two("player-earthed", "lead-1-ohm 1 m", "amp-unbalanced", at=("stage", "hall"))
    before, after = (
        hum_of(text, mains).power for mains in (MAINS_230, Mains(volts=230, hz=50, circuits=more))
    )
    (share,) = [each.share for each in before.doubts_a() if each.what == Cause.CIRCUITS.value]
    moved_db = 20 * math.log10(after.rms_a().value / before.rms_a().value)
    assert moved_db == pytest.approx(share, abs=0.01)


def test_the_strongest_cause_is_named_with_its_owner() -> None:
    """A loop by a circuit, a leakage by an item, a field by nobody."""
    loop = unbalanced("lead-1-ohm 1 m", ("stage", "hall")).power.strongest()
    leak = hum_of(line_of_two("player", "lead-1-ohm 1 m", "amp-unbalanced", at=(None, "hall")))
    field = hum_of(line_of_two("player-on-battery", "lead-1-ohm 1 m", "amp-unbalanced",
                               at=(None, "hall")))  # fmt: skip
    assert loop[0] is Cause.CIRCUITS
    assert loop[1] in {"1", "2"}
    assert leak.power.strongest() == (Cause.CLASS_2, "one")
    assert field.power.strongest() == (Cause.FIELD, "")
