"""Delays, polarity and places as remedies of what comes twice: each was solved and holds."""

from __future__ import annotations

from levelhead.gear.book import load_book
from levelhead.planning.remedy.remedies import remedies_for
from levelhead.planning.trial import try_show
from levelhead.show.document import parse_show
from levelhead.show.edits import Aim, Move, Plug, Set
from levelhead.verdicts.air.words import COMB, DELAYED, SUB
from levelhead.verdicts.told.finding import Remedy
from levelhead.verdicts.told.severity import Severity

HEAD = "levelhead: 1\nshow: {name: Twice}\n"
PLAYER = "player: {type: player-pro, label: Player}"
INTO_DESK = "{from: player.out-left, to: desk.st1.in-left, via: [lead-xlr-jack-balanced 3 m]}"
TOP = "type: loudspeaker-powered-12"


def offered(text: str, code: str) -> tuple[Remedy, ...]:
    """Remedies of the one finding of a code that is worse than fine."""
    trial = try_show(parse_show(HEAD + text, "twice.yaml").show, load_book())
    worse = [each for each in trial.judgement.worse_than_fine() if each.code == code]
    assert len(worse) == 1
    return remedies_for(trial, worse[0])


def sub_rig(*, sub_m: float, lead: str = "cable-xlr 2 m", desk: str = "") -> str:
    """A subwoofer and a top: through the subwoofer, or each from an output of the desk."""
    sub_from = desk or "desk.main-left.out"
    top_from = "desk.main-left.out" if desk else "sub.out-left"
    kind = "mixer-digital-32" if desk else "mixer-compact"
    into = "{from: player.out-left, to: desk.ch1.line, via: [lead-xlr-jack-balanced 3 m]}"
    strip = "ch1: {gain: 14 dB, fader: -24 dB, send1: -24 dB}" if desk else "st1: {fader: -10 dB}"
    return f"""items:
  {PLAYER}
  desk: {{type: {kind}, label: Desk}}
  sub: {{type: subwoofer-powered, label: Sub, at: [0, {sub_m}, 0.5], aim: [0, 20, 0.5]}}
  top: {{{TOP}, label: Top, at: [0, 0, 0.5], aim: [0, 20, 0.5]}}
links:
  - {into if desk else INTO_DESK}
  - {{from: {sub_from}, to: sub.in-left, via: [cable-xlr 10 m]}}
  - {{from: {top_from}, to: top.in, via: [{lead}]}}
settings: {{desk: {{{strip}}}, sub: {{level: -15 dB}}, top: {{level: -10 dB}}}}
room: {{where: outdoors}}
areas: {{floor: {{at: [0, 20, 0.5]}}}}
"""


def test_a_subwoofer_in_front_is_moved_back_where_nothing_delays() -> None:
    """Half a wave before the top: back beside it; without a dial no delay is offered."""
    found = offered(sub_rig(sub_m=1.7), SUB)
    assert any(edit == Move("sub", (0.0, 0.0, 0.5)) for each in found for edit in each.edits)
    assert not any(isinstance(edit, Set) for each in found for edit in each.edits)
    assert all(each.verdict_after is Severity.FINE for each in found)


def test_a_subwoofer_on_a_bus_is_delayed_there() -> None:
    """Three metres before the top: a third of a turn is made up by the dial of its bus."""
    found = offered(sub_rig(sub_m=3.0, desk="desk.aux1.out"), SUB)
    by_dial = [
        each.verdict_after
        for each in found
        if any(isinstance(edit, Set) and edit.address == "desk.aux1.delay" for edit in each.edits)
    ]
    assert by_dial[:1] == [Severity.FINE]


def test_swapped_pins_are_mended_by_a_usual_lead() -> None:
    """The lead that turns it round is the first thing to go."""
    first = offered(sub_rig(sub_m=0.0, lead="cable-xlr-reversed 2 m"), SUB)[0]
    (plug,) = [edit for edit in first.edits if isinstance(edit, Plug)]
    assert [each.type for each in plug.link.via] == ["cable-xlr"]


def test_a_delayed_loudspeaker_is_set_in_time_and_lower() -> None:
    """One remedy by level alone; one by the dial with less off the level."""
    text = f"""items:
  {PLAYER}
  desk: {{type: mixer-compact, label: Desk}}
  unit: {{type: delay-unit, label: Delay}}
  front: {{{TOP}, label: Front, at: [0, 0, 2.2], aim: [0, 12, 1.2]}}
  back: {{{TOP}, label: Back, at: [0, 15, 2.2], aim: [0, 27, 1.2]}}
links:
  - {INTO_DESK}
  - {{from: desk.main-left.out, to: front.in, via: [cable-xlr 10 m]}}
  - {{from: front.link, to: unit.in, via: [cable-xlr 20 m]}}
  - {{from: unit.out-1, to: back.in, via: [cable-xlr 2 m]}}
settings:
  desk: {{st1: {{fader: -10 dB}}}}
  front: {{level: -10 dB}}
  back: {{level: -8 dB}}
  unit: {{tap-1: {{time: 42 ms}}}}
room: {{where: outdoors}}
areas: {{lawn: {{corners: [[-3, 16], [3, 16], [3, 30], [-3, 30]]}}}}
"""
    found = offered(text, DELAYED)
    controls = [tuple(getattr(edit, "address", "") for edit in each.edits) for each in found]
    assert ("back.level",) in controls
    assert ("unit.tap-1.time", "back.level") in controls


def test_two_that_colour_each_other_are_set_apart() -> None:
    """One of them 10 dB down, or each turned to its side."""
    text = f"""items:
  {PLAYER}
  desk: {{type: mixer-compact, label: Desk}}
  one: {{{TOP}, label: One, at: [-0.35, 0, 2.2], aim: [-0.35, 12, 1.2]}}
  two: {{{TOP}, label: Two, at: [0.35, 0, 2.2], aim: [0.35, 12, 1.2]}}
links:
  - {INTO_DESK}
  - {{from: desk.main-left.out, to: one.in, via: [cable-xlr 10 m]}}
  - {{from: one.link, to: two.in, via: [cable-xlr 2 m]}}
settings: {{desk: {{st1: {{fader: -10 dB}}}}, one: {{level: -10 dB}}, two: {{level: -10 dB}}}}
room: {{where: outdoors}}
areas: {{lawn: {{corners: [[-6, 3], [6, 3], [6, 15], [-6, 15]]}}}}
"""
    found = offered(text, COMB)
    assert found
    assert all(isinstance(edit, Set | Aim) for each in found for edit in each.edits)


def test_a_loudspeaker_processor_delays_its_low_output() -> None:
    """Behind a crossover every output has a delay: the subwoofer in front waits for the top."""
    text = f"""items:
  {PLAYER}
  desk: {{type: mixer-compact, label: Desk}}
  split: {{type: crossover-two-way, label: Processor}}
  amp: {{type: amplifier-two-channel, label: Amplifier}}
  sub: {{type: subwoofer-passive, label: Sub, at: [0, 1.7, 0.5], aim: [0, 20, 0.5]}}
  top: {{{TOP}, label: Top, at: [0, 0, 0.5], aim: [0, 20, 0.5]}}
links:
  - {INTO_DESK}
  - {{from: desk.main-left.out, to: split.in, via: [cable-xlr 10 m]}}
  - {{from: split.out-low, to: amp.ch1.in, via: [cable-xlr 2 m]}}
  - {{from: amp.ch1.out, to: sub.in, via: [cable-loudspeaker-4 5 m]}}
  - {{from: split.out-high, to: top.in, via: [cable-xlr 2 m]}}
settings:
  desk: {{st1: {{fader: -20 dB}}}}
  amp: {{ch1: {{level: -20 dB}}}}
  top: {{level: -10 dB}}
room: {{where: outdoors}}
areas: {{floor: {{at: [0, 20, 0.5]}}}}
"""
    first = offered(text, SUB)[0]
    (turned,) = first.edits
    assert isinstance(turned, Set)
    assert turned.address == "split.low.delay"
    assert first.verdict_after is Severity.FINE
