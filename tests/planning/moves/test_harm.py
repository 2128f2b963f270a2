"""Remedies against harm: what the rig has, further up the way; never another wrong input."""

from __future__ import annotations

from collections.abc import Iterator

from levelhead.planning.remedy.offers import with_remedies
from levelhead.show.edits import Plug, Power, Set
from levelhead.verdicts.told.finding import Remedy
from levelhead.verdicts.told.severity import Severity
from tests.verdicts.shows import tried_text

RECORDED = """
    items:
      feed: {type: feed-line}
      desk: {type: mixer-compact-8}
      amp: {type: amplifier-two-channel}
      rec: {type: recorder-line}
    links:
      - {from: feed.out, to: desk.ch1.line, via: [lead-xlr-jack-balanced 2 m]}
      - {from: desk.main-left.out, to: amp.ch1.in, via: [cable-xlr 10 m]}
      - {from: amp.ch1.out, to: rec.in-left, via: [lead-loudspeaker-jack 2 m, adaptor-jack-phono]}
    """


def remedies(text: str, code: str) -> Iterator[Remedy]:
    trial = tried_text(text)
    for finding in with_remedies(trial, trial.judgement.worse_than_fine()):
        if finding.code == code:
            yield from finding.remedies


def starts(remedy: Remedy) -> list[str]:
    """Where the new leads of a remedy begin."""
    return [edit.link.ends["a"] for edit in remedy.edits if isinstance(edit, Plug)]


def test_a_record_output_further_up_takes_the_place_of_the_amplifier() -> None:
    offered = list(remedies(RECORDED, "harm.level"))
    taken = {each for remedy in offered for each in starts(remedy)}
    assert "desk.record-left" in taken
    assert all(each.verdict_after is not Severity.HARM for each in offered)


def test_a_power_output_is_plugged_into_no_other_line_input() -> None:
    text = """
    items: {amp: {type: amplifier-two-channel}, desk: {type: mixer-compact}}
    links: [{from: amp.ch1.out, to: desk.ch1.mic, via: [lead-loudspeaker-xlr 5 m]}]
    """
    first, *others = (starts(each) for each in remedies(text, "harm.level"))
    assert first == ["amp.ch1.link"]
    assert others  # through a box that is made for loudspeaker lines
    assert all(each[1:] and each[-1].endswith("-line-1.out") for each in others)


def test_what_wants_power_is_not_fed_from_a_link() -> None:
    text = """
    items: {amp: {type: amplifier-two-channel}, cans: {type: headphones}}
    links:
      - {from: amp.ch1.out, to: cans.in, via: [adaptor-speaker-phones, cable-jack-balanced 1 m]}
    """
    assert list(remedies(text, "harm.level")) == []


def test_the_pad_of_a_di_box_is_enough() -> None:
    text = """
    items:
      amp: {type: amplifier-two-channel}
      di: {type: di-active}
      box: {type: loudspeaker-passive-12}
      desk: {type: mixer-compact}
    links:
      - {from: amp.ch1.out, to: di.in, via: [lead-loudspeaker-jack 1 m]}
      - {from: di.through, to: box.in, via: [lead-loudspeaker-jack 5 m]}
      - {from: di.out, to: desk.ch1.mic, via: [cable-xlr 20 m]}
    settings: {di: {battery: fitted}}
    """
    first = next(remedies(text, "harm.level"))
    assert first.edits == (Set("di.pad", "20-db"),)  # it stands 60 V with it, 34.6 V can come


def test_a_booster_that_clips_is_left_out() -> None:
    text = """
    items:
      mic: {type: mic-vocal-dynamic}
      boost: {type: booster-inline}
      desk: {type: mixer-compact, figures: {ch.preamp.ceiling: +21 dBu}}
    sources: {ann: {type: voice-singer-loud, at: mic, distance: 3 cm}}
    links:
      - {from: mic.out, to: boost.in, via: [cable-xlr 1 m]}
      - {from: boost.out, to: desk.ch1.mic, via: [cable-xlr 20 m]}
    settings: {desk: {phantom: on, ch1: {gain: 0 dB}}}
    """
    offered = list(remedies(text, "enough.clips-as-set"))
    assert ["mic.out"] in [starts(each) for each in offered]


def powered(power: str, circuits: tuple[str, str], more: str = "") -> list[Remedy]:
    """A powered mixer whose loudspeaker output goes into a loudspeaker with an amplifier."""
    text = f"""
    items:
      vox: {{type: mic-vocal-dynamic}}
      desk: {{type: mixer-powered, supply: bar}}
      box: {{type: loudspeaker-powered-12, supply: stage}}
      other: {{type: loudspeaker-powered-12, supply: stage}}
    sources: {{jo: {{type: voice-singer, at: vox}}}}
    links:
      - {{from: vox.out, to: desk.ch1.mic, via: [cable-xlr 5 m]}}
      - {{from: desk.{power}.out, to: box.in, via: [lead-loudspeaker-jack 10 m]}}
      {more}
    settings: {{desk: {{ch1: {{gain: 35 dB, fader: -5 dB}}}}}}
    supplies:
      bar: {{outlet: "bar", circuit: "{circuits[0]}"}}
      stage: {{outlet: "window", circuit: "{circuits[1]}"}}
    """
    return list(remedies(text, "harm.level"))


def test_the_line_output_of_the_same_mixer_comes_first_that_of_the_same_side() -> None:
    for side in ("left", "right"):
        first, *_ = powered(f"power-{side}", ("1", "1"))
        assert starts(first) == [f"desk.main-{side}.out"]
        assert first.verdict_after is Severity.FINE


def test_a_line_output_that_would_hum_comes_with_the_outlet_at_which_it_does_not() -> None:
    """Two circuits and an unbalanced jack hum; another loudspeaker hums already, a little more."""
    more = "- {from: desk.main-left.out, to: other.in, via: [cable-jack 20 m]}"
    first, *_ = powered("power-left", ("1", "2"), more)
    assert starts(first) == ["desk.main-right.out"]
    assert any(isinstance(edit, Power) for edit in first.edits)
    assert first.verdict_after is Severity.FINE
