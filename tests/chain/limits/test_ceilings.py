"""Ceilings: of stages, of inputs, and of outputs that run out of current."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from levelhead.chain.solve import solve
from levelhead.gear.book import load_book
from levelhead.rig.build import build_rig
from levelhead.show.model import Cable, Item, Link, Show
from tests.chain.bench import Items, bench
from tests.verdicts.cases import CASES

LINKS = [("t.out", "d.ch1.line")]


def ceiling(items: Items, address: str) -> float:
    level = bench(items, LINKS).levels(address).ceiling
    assert level is not None
    return level


def test_a_stage_has_the_ceiling_of_its_figure() -> None:
    assert ceiling({"t": "tone", "d": "desk"}, "d.ch1.preamp") == pytest.approx(21.0)


def test_what_an_output_feeds_ends_with_it() -> None:
    """Less what is lost on the way: 1 kohm into 1 kohm is 6.02 dB."""
    items: Items = {
        "t": ("tone", {"out.impedance": "1 kohm"}),
        "d": ("desk", {"ch.line.impedance": "1 kohm", "ch.line.common-mode": "1 Mohm"}),
    }
    lost_db = 20 * math.log10(2)
    assert ceiling(items, "d.ch1.line") == pytest.approx(24 - lost_db, abs=0.01)


def test_an_input_may_clip_before_its_source() -> None:
    items: Items = {"t": "tone", "d": ("desk", {"ch.line.clip": "+10 dBu"})}
    assert ceiling(items, "d.ch1.line") == pytest.approx(10.0)


@given(load_ohm=st.sampled_from([8, 32, 150, 600, 2000]), current_ma=st.sampled_from([2, 10, 40]))
def test_an_output_ends_where_its_current_does(load_ohm: int, current_ma: int) -> None:
    """Peak current over load and source: rms emf is I (R + R0) / sqrt 2, or the stage's ceiling."""
    items: Items = {
        "t": ("tone", {"out.impedance": "10 ohm", "out.current": f"{current_ma} mA"}),
        "d": ("desk", {"ch.line.impedance": f"{load_ohm} ohm", "ch.line.common-mode": "10 Mohm"}),
    }
    emf_v = current_ma * 1e-3 * (load_ohm + 10) / math.sqrt(2)
    by_current = 20 * math.log10(emf_v / math.sqrt(0.6))
    assert ceiling(items, "t.output") == pytest.approx(min(by_current, 24.0), abs=0.02)


def test_a_current_limit_is_no_loss_of_level() -> None:
    """Below it nothing changes: an output is clipped, never quieter."""
    items: Items = {
        "t": ("tone", {"out.impedance": "10 ohm", "out.current": "1 mA"}),
        "d": ("desk", {"ch.line.impedance": "600 ohm", "ch.line.common-mode": "10 Mohm"}),
    }
    levels = bench(items, LINKS).levels("d.ch1.line")
    assert levels.nominal == pytest.approx(4 + 20 * math.log10(600 / 610), abs=0.01)
    assert levels.headroom is not None
    assert levels.headroom < 0


def test_an_output_without_a_load_never_runs_out_of_current() -> None:
    """The stage's own ceiling is what is left."""
    items: Items = {"t": ("tone", {"out.current": "1 mA"}), "d": "desk"}
    assert ceiling(items, "t.output") == pytest.approx(24.0)


def test_where_outputs_meet_the_one_that_brings_most_sets_the_ceiling() -> None:
    """A lead that sums left and right: the trace of right in left's own socket limits nothing."""
    show = Show(
        "bench",
        items={
            "a": Item("a", "tone", figures={"out.impedance": "10 ohm"}),
            "b": Item("b", "tone", figures={"out.impedance": "1 kohm"}),
            "d": Item("d", "desk"),
        },
        links=(Link({"one": "a.out", "two": "b.out", "out": "d.ch1.line"}, (Cable("join", 1.0),)),),
    )
    ceiling_dbu = solve(build_rig(show, CASES)).levels("d.ch1.line").ceiling
    assert ceiling_dbu == pytest.approx(24 + 20 * math.log10(1000 / 1010), abs=0.01)


def joined(other_level: str) -> float:
    """Ceiling of one of two outputs of 100 ohm and 10 mA that a lead joins. [V]"""
    figures = {"out.impedance": "100 ohm", "out.current": "10 mA"}
    show = Show(
        "bench",
        items={
            "a": Item("a", "tone", figures=figures),
            "b": Item("b", "tone", figures={**figures, "generator.level": other_level}),
            "d": Item("d", "desk"),
        },
        links=(Link({"one": "a.out", "two": "b.out", "out": "d.ch1.line"}, (Cable("join", 1.0),)),),
    )
    solution = solve(build_rig(show, CASES))
    return float(solution.ceiling[solution.number("a.output")])


def test_what_another_output_drives_back_is_taken_in_the_worst_phase() -> None:
    """200 ohm from one to the other: 10 mA peak are sqrt(2) V rms, less the peak of the other."""
    alone_v = joined("-100 dBu")
    assert alone_v == pytest.approx(math.sqrt(2), rel=5e-3)
    peak_v = math.sqrt(0.6) * 10 ** ((-10 + 12 - 3.01) / 20)  # -10 dBu, peak-to-rms 12 dB
    assert joined("-10 dBu") == pytest.approx(alone_v - peak_v, rel=5e-3)


def test_an_output_that_another_overruns_has_nothing_left() -> None:
    assert joined("+20 dBu") == pytest.approx(1e-6)


def test_two_sides_that_play_together_end_with_the_first_that_clips() -> None:
    """A stereo player summed to mono has the room that each of its sides has, as Kirchhoff says."""
    lead = Link({"a": "player.headset", "b": "box.in"}, (Cable("lead-mini-sum-jack", 2.0),))
    items = {
        "player": Item("player", "phone"),
        "box": Item("box", "loudspeaker-powered-12"),
    }
    solution = solve(build_rig(Show("Foyer", items=items, links=(lead,)), load_book()))
    before, behind = solution.levels("player.converter-left"), solution.levels("box.in")
    assert before.headroom is not None
    assert behind.headroom is not None
    assert behind.headroom == pytest.approx(before.headroom, abs=0.05)
