"""A guitarist's amplifier is none of the desk's: the plan for the hall leaves it alone."""

from __future__ import annotations

from levelhead.gear.book import load_book
from levelhead.planning.gains.make import make_plan
from levelhead.planning.gains.planned.plan import GainPlan
from levelhead.planning.limiters.thresholds import limiter_settings
from levelhead.planning.trial import try_show
from levelhead.show.document import parse_show

STAGE = """levelhead: 1
show: {name: Stage}
items:
  vox: {type: mic-vocal-dynamic}
  desk: {type: mixer-compact}
  box: {type: loudspeaker-powered-12}
  gtr: {type: guitar-electric-passive}
  head: {type: guitar-head-valve}
  cab: {type: guitar-cabinet, label: Cabinet}
sources: {ada: {type: voice-singer, at: vox, distance: 5 cm}}
links:
  - {from: vox.out, to: desk.ch1.mic}
  - {from: desk.main-left.out, to: box.in}
  - {from: gtr.out, to: head.in}
  - {from: head.out, to: cab.in, via: [cable-loudspeaker-jack 2 m]}
settings:
  desk: {ch1: {gain: 60 dB}}
"""


def planned(text: str) -> GainPlan:
    return make_plan(parse_show(text, "stage.yaml").show, load_book()).plan


def test_a_guitar_amplifier_keeps_its_volume_whatever_the_hall_does() -> None:
    """A singer 20 dB too hot brought the cabinet down with the hall."""
    plan = planned(STAGE)
    assert plan.position("head.volume") is None
    assert [each.at for each in plan.ends] == ["box.driver"]
    assert "Cabinet plays without the desk" in " ".join(plan.turns_on)


def test_nobody_is_told_to_put_a_limiter_behind_a_guitar() -> None:
    """The hall gets its threshold, the cabinet none."""
    trial = try_show(parse_show(STAGE, "stage.yaml").show, load_book())
    told = limiter_settings(trial.reading)
    assert [each.output for each in told] == ["box.in"]


def test_a_player_on_its_own_loudspeaker_alone_is_planned() -> None:
    """Where nothing else plays for the audience, it is the whole show."""
    before, _, rest = STAGE.partition("  - {from: vox.out")
    plan = planned(before + "  - {from: gtr.out" + rest.partition("  - {from: gtr.out")[2])
    assert plan.position("head.volume") is not None
    assert "without the desk" not in " ".join(plan.turns_on)
