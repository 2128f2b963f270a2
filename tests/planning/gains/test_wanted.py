"""Areas that want a level are an anchor: the plan brings the first of them there."""

from __future__ import annotations

import pytest

from levelhead.acoustics.seat_points import seat_points
from levelhead.gear.book import load_book
from levelhead.planning.gains.make import make_plan
from levelhead.planning.gains.wanted import wanted_room_db
from levelhead.show.document import parse_show
from tests.verdicts.air.halls import CHAIRS, show_text

AREAS = "{{chairs: {{{corners}, level: {level} dB(A)}}, far: {{at: [0, 14, 1.2]}}}}"


def planned_db(level: float) -> tuple[float, str]:
    """Level at the chairs with the plan, and what the plan says of its anchor. [dB(A)]"""
    text = show_text(areas=AREAS.format(corners=CHAIRS, level=level))
    made = make_plan(parse_show(text, "talk.yaml").show, load_book())
    nominal = seat_points(made.after)[0].nominal
    assert nominal is not None
    return nominal, made.plan.anchor


@pytest.mark.parametrize("level", [66.0, 74.0])
def test_chairs_get_what_they_want(level: float) -> None:
    """Within the steps of a knob."""
    told_db, anchor = planned_db(level)
    assert told_db == pytest.approx(level, abs=0.6)
    assert "wants it" in anchor


def test_no_more_than_the_loudspeaker_gives() -> None:
    """130 dB(A) are wanted; the peaks stay under the ceiling, as without any area."""
    loud_db, _ = planned_db(130.0)
    bare = make_plan(parse_show(show_text(), "talk.yaml").show, load_book())
    nominal = seat_points(bare.after)[0].nominal
    assert loud_db == pytest.approx(nominal, abs=0.1)
    assert "wants it" not in bare.plan.anchor


def test_a_show_that_wants_nothing_has_no_room_to_it() -> None:
    plan = make_plan(parse_show(show_text(), "talk.yaml").show, load_book())
    assert wanted_room_db(plan.before) is None


def test_what_decides_how_loud_it_gets_is_told() -> None:
    """The area, as long as the gear has more; else the ceiling, and what is missing."""

    def told(level: float) -> str:
        text = show_text(areas=AREAS.format(corners=CHAIRS, level=level))
        return " ".join(make_plan(parse_show(text, "talk.yaml").show, load_book()).plan.turns_on)

    soft, loud = told(70.0), told(125.0)
    assert "How loud it gets is what is wanted or set" in soft
    assert "the ceiling of" not in soft
    assert "are missing" in loud
    assert "How loud it gets turns on the ceiling of" in loud
    # each dB that is wanted more is one dB more that is missing
    missing = [float(each.split(" dB are missing")[0].split()[-1]) for each in (loud, told(130.0))]
    assert missing[1] - missing[0] == pytest.approx(5.0, abs=0.1)


def test_a_room_of_which_nothing_can_be_told_anchors_nothing() -> None:
    """Walls that swallow nothing: a sound that never dies away has no level (Sabine)."""
    room = "{corners: [[-6, -4], [6, -4], [6, 16], [-6, 16]], height: 6 m, absorption: 0}"
    text = show_text(room=room, areas=AREAS.format(corners=CHAIRS, level=80.0))
    plan = make_plan(parse_show(text, "talk.yaml").show, load_book())
    assert wanted_room_db(plan.before) is None
    assert "first area wants" not in plan.plan.anchor
    assert "6 dB under its ceiling" in plan.plan.anchor
