"""A gain plan as values."""

from __future__ import annotations

import json

from levelhead.planning.gains.planned.plan import Bind, GainPlan, GoalResult, Position
from levelhead.show.edits import Set


def _position(control: str, now: str, planned: str, *, locked: bool = False) -> Position:
    return Position(control, control, "gain", now, planned, 0.0, 0.0, Bind("meters"), locked)


def test_edits_are_of_what_moves_and_may_be_moved() -> None:
    positions = (
        _position("desk.ch1.gain", "30 dB", "34 dB"),
        _position("desk.ch2.gain", "30 dB", "30 dB"),
        _position("desk.ch3.gain", "30 dB", "20 dB", locked=True),
    )
    plan = GainPlan(6.0, "", positions, (), (), (), (), 0.0)
    assert plan.edits == (Set("desk.ch1.gain", "34 dB"),)
    assert plan.position("desk.ch2.gain") == positions[1]
    assert plan.position("desk.ch9.gain") is None


def test_a_gap_is_never_less_than_nothing() -> None:
    goal = GoalResult("noise", "", reached=True, gave_way_db=0.0, value_db=1.0, bound_db=1.001)
    assert goal.gap_db == 0.0


def test_json_has_no_minus_zero_and_can_be_written() -> None:
    goal = GoalResult("noise", "", reached=True, gave_way_db=-0.0, value_db=-0.0001, bound_db=0.0)
    plan = GainPlan(6.0, "", (), (goal,), (), (), (), -0.0)
    assert "-0.0" not in json.dumps(plan.to_json())
