"""One level control is lined up once, however many loudspeakers stand behind it."""

from __future__ import annotations

from levelhead.gear.book import load_book
from levelhead.planning.gains.make import make_plan
from levelhead.planning.gains.planned.plan import GainPlan
from levelhead.show.document import parse_show

THREE_ON_ONE = """
levelhead: 1
show: {name: Three on one}
items:
  m: {type: mic-vocal-dynamic}
  desk: {type: mixer-compact}
  amp: {type: amplifier-two-channel}
  a: {type: loudspeaker-passive-12}
  b: {type: loudspeaker-passive-12}
  c: {type: loudspeaker-passive-12, figures: {driver.ceiling: 112 dB SPL}}
sources: {ann: {type: voice-singer-loud, at: m, distance: 5 cm}}
links:
  - {from: m.out, to: desk.ch1.mic}
  - {from: desk.main-left.out, to: amp.ch1.in}
  - {from: amp.ch1.out, to: a.in}
  - {from: a.link, to: b.in}
  - {from: b.link, to: c.in}
"""


def plan_of(text: str) -> GainPlan:
    return make_plan(parse_show(text, "three.yaml").show, load_book()).plan


def test_loudspeakers_on_one_channel_are_lined_up_once() -> None:
    plan = plan_of(THREE_ON_ONE)
    assert len(plan.ends) == 3
    (lineup,) = plan.lineups
    assert lineup.control == "amp.ch1.level"


def test_the_one_that_ends_first_stands_for_them() -> None:
    """112 dB SPL is 9 dB under what the others take."""
    (lineup,) = plan_of(THREE_ON_ONE).lineups
    assert lineup.end.startswith("c.")
    assert lineup.amplifier.startswith("c.")
