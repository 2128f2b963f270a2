"""Areas that want a level are an anchor: the plan brings the first of them there."""

from __future__ import annotations

import pytest

from levelhead.acoustics.heard.seat_points import seat_points
from levelhead.gear.book import load_book
from levelhead.planning.gains.make import make_plan
from levelhead.planning.gains.planned.plan import GainPlan
from levelhead.planning.gains.wanted.areas import wanted_room_db
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

    def made(level: float) -> GainPlan:
        text = show_text(areas=AREAS.format(corners=CHAIRS, level=level))
        return make_plan(parse_show(text, "talk.yaml").show, load_book()).plan

    soft, loud = made(70.0), made(125.0)
    assert "How loud it gets is what is wanted or set" in " ".join(soft.turns_on)
    assert "the ceiling of" not in " ".join(soft.turns_on)
    assert "How loud it gets turns on the ceiling of" in " ".join(loud.turns_on)
    assert soft.goal("loudness").reached
    # each dB that is wanted more is one dB more that is missing
    missing = [each.goal("loudness").gave_way_db for each in (loud, made(130.0))]
    assert missing[1] - missing[0] == pytest.approx(5.0, abs=0.1)
    assert loud.goal("loudness").places[0] == "chairs"


MONITORED = """levelhead: 1
show: {{name: Stage}}
items:
  vox: {{type: mic-vocal-dynamic}}
  desk: {{type: mixer-compact}}
  box: {{type: loudspeaker-powered-12, at: [0, 0, 2.5], aim: [0, 9, 1.2]}}
  wedge: {{type: loudspeaker-powered-12, at: [0, 1.6, 0.3], aim: [0, -1, 1.6]}}
sources: {{ada: {{type: voice-singer, at: vox, distance: 5 cm}}}}
links:
  - {{from: vox.out, to: desk.ch1.mic, via: [cable-xlr 10 m]}}
  - {{from: desk.main-left.out, to: box.in, via: [cable-xlr 10 m]}}
  - {{from: desk.aux.out, to: wedge.in, via: [cable-jack-balanced 10 m]}}
settings:
  desk: {{ch1: {{gain: 30 dB, aux: -6 dB}}}}
  box: {{level: -30 dB}}
  wedge: {{level: -30 dB}}
areas: {{chairs: {{{corners}, level: {level} dB(A)}}}}
room: {{where: outdoors}}
"""


def test_a_monitor_gets_louder_with_the_hall_and_no_further() -> None:
    """By as many dB; where the hall gets softer, the stage stays as it is set."""

    def louder_db(level: float) -> list[float]:
        text = MONITORED.format(corners=CHAIRS, level=level)
        ends = make_plan(parse_show(text, "stage.yaml").show, load_book()).plan.ends
        peaks = {each.at.partition(".")[0]: each for each in ends}
        found = [(peaks[name].peak_planned, peaks[name].peak_now) for name in ("box", "wedge")]
        return [then - now for then, now in found if then is not None and now is not None]

    hall, stage = louder_db(84.0)
    assert hall > 3.0
    assert stage == pytest.approx(hall, abs=0.3)
    hall, stage = louder_db(52.0)
    assert hall < -3.0
    assert stage == pytest.approx(0.0, abs=0.3)


CALLERS = """levelhead: 1
show: {name: Callers}
items:
  a: {type: mic-vocal-dynamic, label: Ann}
  b: {type: mic-vocal-dynamic, label: Bob}
  call: {type: laptop-headset, label: Callers}
  desk: {type: mixer-digital-16}
  box: {type: loudspeaker-powered-12}
sources: {s: {type: voice-talker, at: a, label: Ann}, t: {type: voice-talker, at: b, label: Bob}}
links:
  - {from: a.out, to: desk.ch1.mic}
  - {from: b.out, to: desk.ch2.mic}
  - {from: call.headset, to: desk.ch3.mic, via: [lead-mini-sum-jack 2 m]}
  - {from: desk.main-left.out, to: box.in}
settings: {desk: {ch1: {gain: 20 dB}, ch2: {gain: 20 dB}, ch3: {gain: 20 dB}}}
"""


def test_a_recording_of_nothing_but_its_own_leak_is_left_alone() -> None:
    """The plug of a computer's output touches its microphone pole, and nothing else comes there."""
    plan = make_plan(parse_show(CALLERS, "callers.yaml").show, load_book()).plan
    assert "call.recording.level" not in {each.address for each in plan.edits}
    assert not any("recording" in each.at for each in plan.ends)


def test_all_that_one_source_drowns_are_told_in_one_sentence() -> None:
    """20 dB under the loudest is hardly heard: common practice."""
    plan = make_plan(parse_show(CALLERS, "callers.yaml").show, load_book()).plan
    assert len(plan.balance) == 1
    assert "Ann and Bob are set " in plan.balance[0].replace("Bob and Ann", "Ann and Bob")
    assert " under Callers, as at box " in plan.balance[0]
