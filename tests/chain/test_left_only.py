"""Left-only jacks: what one side gives, or gets, while the other socket is empty."""

from __future__ import annotations

import math

import pytest

from levelhead.chain.solution import Solution
from levelhead.chain.solve import solve
from levelhead.gear.book import load_book
from levelhead.rig.build import build_rig
from levelhead.show.model import Cable, Item, Link, Show
from levelhead.show.model import Plugged as HowFar
from tests.gear.plugging import Plugged, loading_ohm, plugged

JACK = "cable-jack 3 m"
LEFT: Plugged = ("keys.out-left", "line.ch1.line", JACK)
RIGHT: Plugged = ("keys.out-right", "line.ch2.line", JACK)
ITEMS = {"keys": "keyboard-stereo", "line": "mixer-line-trims", "desk": "mixer-compact"}
GAIN_DB, SHARED = -5.3, 0.7


IDEAL = {"ch.line.cmrr": "100 dB", "st.in-left.cmrr": "100 dB", "st.in-right.cmrr": "100 dB"}


def solved(*links: Plugged) -> Solution:
    """Inputs reject what is common to their pins whole, so that only loading is left."""
    return plugged(ITEMS, links, figures={"desk": IDEAL})


def signals(solution: Solution, point: str) -> set[str]:
    """Names of the signals at a point; what a shared ground brings is left out."""
    carried = solution.carried
    here = (carried.point == solution.number(point)) & (carried.component < carried.first_noise)
    power = carried.power.sum(axis=1)
    loud = here & (power > 1e-6 * power[here].max())
    return {solution.graph.components[each].name for each in carried.component[loud]}


def test_left_alone_carries_the_sum_of_both_sides() -> None:
    """Case wiring-keyboard-left-mono-only: one channel carries everything."""
    alone = solved(LEFT)
    assert signals(alone, "line.ch1.trim") == {"keys.", "keys.-left", "keys.-right"}
    both_db = 10 * math.log10(4 * SHARED + 2 * (1 - SHARED))  # shared parts add as voltages
    left = alone.levels("keys.output-left").nominal
    assert left == pytest.approx(-6 + GAIN_DB + both_db, abs=0.01)


@pytest.mark.parametrize("links", [(LEFT, RIGHT), (RIGHT,)])
def test_a_plug_on_the_right_keeps_the_sides_apart(links: tuple[Plugged, ...]) -> None:
    """Case wiring-keyboard-right-only: the right socket does not sum."""
    apart = solved(*links)
    assert signals(apart, "line.ch2.trim") == {"keys.", "keys.-right"}
    assert apart.levels("keys.output-right").nominal == pytest.approx(-6, abs=0.01)
    assert apart.levels("keys.output-left").nominal == pytest.approx(-6, abs=0.01)


def test_left_alone_of_a_stereo_channel_feeds_both_sides() -> None:
    alone = solved(("keys.out-left", "desk.st1.in-left", JACK))
    for side in ("left", "right"):
        nominal = alone.levels(f"desk.st1.input-{side}").nominal
        assert nominal == pytest.approx(-6 + 20 * math.log10(5 / 6), abs=0.03)  # 1 kohm, 5 kohm
    assert alone.levels("desk.main-right.level").nominal is not None


def test_left_alone_loads_with_both_inputs_side_by_side() -> None:
    """Two legs of 10 kohm: the two-pole plug shorts the other two."""
    one = solved(("keys.out-left", "desk.ch1.line", JACK))
    both = solved(("keys.out-left", "desk.st1.in-left", JACK))
    assert loading_ohm(one, "desk.ch1.line", 1000) == pytest.approx(10e3, rel=0.01)
    assert loading_ohm(both, "desk.st1.in-left", 1000) == pytest.approx(5e3, rel=0.01)


def test_a_plug_in_the_right_input_opens_the_contact() -> None:
    right_too = solved(
        ("keys.out-left", "desk.st1.in-left", JACK),
        ("line.main-left.out", "desk.st1.in-right", JACK),
    )
    left, right = (right_too.levels(f"desk.st1.input-{side}").nominal for side in ("left", "right"))
    assert left is not None
    assert right is None or right < left - 60  # nothing plays there


def test_a_half_plug_on_the_right_opens_nothing_also_after_another() -> None:
    """A stage piano has three-pole sockets: its right jack may stand at the first click."""
    before: Solution | None = None
    states: tuple[tuple[HowFar, bool], ...] = (("full", False), ("half", True), ("full", False))
    for how, is_mono in states:
        ends = {"a": "keys.out-right", "b": "line.ch2.line"}
        right = Link(ends, (Cable("cable-jack", 3.0),), plugged=how)
        left = Link({"a": "keys.out-left", "b": "line.ch1.line"}, (Cable("cable-jack", 3.0),))
        items = {"keys": Item("keys", "stage-piano"), "line": Item("line", "mixer-line-trims")}
        rig = build_rig(Show("half", items=items, links=(left, right)), load_book())
        before = solve(rig, before)
        sides = {"keys.", "keys.-left", *(["keys.-right"] if is_mono else [])}
        assert signals(before, "keys.output-left") == sides
