"""Remedies that leave a condition, steps that belong to a moved plug, plugs that mend nothing."""

from __future__ import annotations

from levelhead.planning.remedy.remedies import remedies_for
from tests.verdicts.shows import tried_text

FULL_DESK = """
    items:
      v1: {type: mic-vocal-dynamic}
      v2: {type: mic-vocal-dynamic}
      v3: {type: mic-vocal-dynamic}
      v4: {type: mic-vocal-dynamic}
      phone: {type: phone}
      di: {type: di-passive}
      desk: {type: mixer-compact}
      hall: {type: loudspeaker-powered-12}
    sources:
      s1: {type: voice-singer, at: v1, distance: 5 cm}
      s2: {type: voice-singer, at: v2, distance: 5 cm}
      s3: {type: voice-singer, at: v3, distance: 5 cm}
      s4: {type: voice-singer, at: v4, distance: 5 cm}
    links:
      - {from: v1.out, to: desk.ch1.mic, via: [cable-xlr 10 m]}
      - {from: v2.out, to: desk.ch2.mic, via: [cable-xlr 10 m]}
      - {from: v3.out, to: desk.ch3.mic, via: [cable-xlr 10 m]}
      - {from: v4.out, to: desk.ch4.mic, via: [cable-xlr 10 m]}
      - {from: phone.headset, to: di.in, via: [lead-mini-sum-jack 2 m]}
      - {from: di.out, to: desk.st1.in-left, via: [lead-xlr-jack-balanced 3 m]}
      - {from: desk.main-left.out, to: hall.in, via: [cable-xlr 10 m]}
    """

BRIDGED = """
    items:
      feed: {type: feed-line}
      amp: {type: amplifier-bridgeable}
      b1: {type: loudspeaker-passive-12}
      b2: {type: loudspeaker-passive-12}
    links:
      - {from: feed.out, to: amp.ch1.in, via: [cable-xlr 5 m]}
      - {from: amp.bridge, to: b1.in, via: [cable-loudspeaker 10 m]}
      - {from: b1.link, to: b2.in, via: [cable-loudspeaker 10 m]}
    settings: {amp: {mode: bridge}}
    """

LINE_AND_A_BOX = """
    items:
      feed: {type: feed-line}
      amp: {type: amplifier-line-100v}
      c1: {type: loudspeaker-ceiling-100v}
      c2: {type: loudspeaker-ceiling-100v}
      box: {type: loudspeaker-passive-12}
    links:
      - {from: feed.out, to: amp.in, via: [lead-xlr-jack-balanced 5 m]}
      - {from: amp.out-100v, to: c1.in, via: [cable-loudspeaker-bare 20 m]}
      - {from: c1.link, to: c2.in, via: [cable-loudspeaker-bare 10 m]}
      - {from: c2.link, to: box.in, via: [lead-loudspeaker-bare 10 m]}
    """


def remedies(text: str, code: str) -> list[str]:
    trial = tried_text(text)
    finding = next(each for each in trial.judgement.worse_than_fine() if each.code == code)
    return [f"{each.do}: {each.verdict_after}" for each in remedies_for(trial, finding)]


def test_what_works_on_a_condition_is_offered_as_that_where_nothing_at_hand_is_fine() -> None:
    """A passive box takes 20 dB of a phone; without it the faders make up the rest.

    500 mV full scale, -9 dBFS: -13 dBu, 17 dB under +4 dBu; the box asks for 39 dB, and two faders
    give 10 dB each (common practice).
    """
    found = remedies(FULL_DESK, "enough.too-low")
    assert any("phone.headset into desk.st1.in-left" in each for each in found)
    assert all("(on a condition: " in each and each.endswith(": care") for each in found)
    assert all("fader" in each for each in found)


def test_the_other_side_of_a_stereo_input_is_no_way_out() -> None:
    """Contacts take what is plugged on the left to the right; there as much is missing."""
    found = remedies(FULL_DESK, "enough.too-low")
    assert not any("in-right" in each for each in found)


def test_a_loudspeaker_moved_off_a_bridge_takes_the_switch_along() -> None:
    """4 ohm on a bridge made for 8: half of it will do, once the amplifier is in stereo again."""
    first, *_ = remedies(BRIDGED, "amplifier.load")
    assert "Plug amp.ch1.out into b1.in" in first
    assert "Set amp.mode to stereo" in first


def test_a_loudspeaker_of_8_ohm_comes_off_a_line_of_100_v() -> None:
    """No line output feeds loudspeakers in its stead, and nobody else falls silent for it."""
    first, *others = remedies(LINE_AND_A_BOX, "amplifier.load")
    assert first.startswith("Unplug c2.link from box.in (box stays silent)")
    assert not any(words in each for words in ("amp.link", "c1.link") for each in others)


CUT_LEADS = """
    items:
      vox: {type: mic-vocal-dynamic}
      desk: {type: mixer-compact}
      hall: {type: loudspeaker-powered-12}
      foyer: {type: loudspeaker-powered-12}
      amp: {type: amplifier-two-channel}
      b1: {type: loudspeaker-passive-12}
      b2: {type: loudspeaker-passive-12}
    sources: {ana: {type: voice-singer, at: vox, distance: 5 cm}}
    links:
      - {from: vox.out, to: desk.ch1.mic, via: [cable-xlr 10 m]}
      - {from: desk.main-left.out, to: hall.in, via: [cable-xlr 10 m], pins: {2: open, 3: open}}
      - {from: hall.link, to: foyer.in, via: [cable-xlr 10 m]}
      - {from: desk.main-right.out, to: amp.ch1.in, via: [cable-xlr 10 m]}
      - {from: amp.ch1.out, to: b1.in, via: [cable-loudspeaker 10 m], pins: {1+: open}}
      - {from: b1.link, to: b2.in, via: [cable-loudspeaker 10 m]}
    settings: {desk: {ch1: {gain: 38 dB}}}
    """


def test_a_cut_lead_is_one_finding_and_another_lead_its_remedy() -> None:
    """What the loudspeakers behind it ask for once they are heard is no reason to keep it cut."""
    trial = tried_text(CUT_LEADS)
    failing = [each for each in trial.judgement.worse_than_fine() if each.severity.rank > 1]
    assert {each.code for each in failing} == {"wiring.level-lost"}
    assert {each.where for each in failing} == {"hall.in", "b1.in"}
    for each in failing:
        first, *others = remedies_for(trial, each)
        assert first.do.startswith("Take another lead")
        assert not any("aux" in other.do for other in others)


def test_a_bare_pickup_on_a_mic_input_is_one_finding() -> None:
    """1 nF into 2 kohm loses level and bass alike: a box with 10 Mohm mends both."""
    text = """
        items:
          fiddle: {type: guitar-acoustic-piezo}
          desk: {type: mixer-compact}
          hall: {type: loudspeaker-powered-12}
        links:
          - {from: fiddle.out, to: desk.ch1.mic, via: [lead-jack-xlr 5 m]}
          - {from: desk.main-left.out, to: hall.in, via: [cable-xlr 10 m]}
        """
    found = [
        each for each in tried_text(text).judgement.worse_than_fine() if each.severity.rank > 1
    ]
    assert [each.code for each in found] == ["loading.tone"]
