"""Both sides of stereo on one lead into one socket, and boxes that a remedy would leave silent."""

from __future__ import annotations

from levelhead.planning.remedy.remedies import remedies_for
from levelhead.verdicts.told.finding import Remedy
from levelhead.verdicts.told.severity import Severity
from tests.verdicts.shows import tried_text

TIP_AND_RING = """
    items:
      keys: {type: keyboard-stereo}
      desk: {type: mixer-compact-8}
      box: {type: loudspeaker-powered-12}
      other: {type: loudspeaker-powered-12}
    links:
      - ends: {a: desk.ch1.line, left: keys.out-left, right: keys.out-right}
        via: [lead-stereo-two-jacks 3 m]
      - {from: desk.main-left.out, to: box.in, via: [cable-xlr 10 m]}
      - {from: desk.main-right.out, to: other.in, via: [cable-xlr 10 m]}
    settings:
      desk: {ch1: {gain: 30 dB, fader: -5 dB}}
      box: {level: -10 dB}
      other: {level: -10 dB}
    """
FOUR_ON_ONE = """
    items:
      feed: {type: feed-line}
      amp: {type: amplifier-two-channel}
      box-1: {type: loudspeaker-passive-12}
      box-2: {type: loudspeaker-passive-12}
      box-3: {type: loudspeaker-passive-12}
      box-4: {type: loudspeaker-passive-12}
    links:
      - {from: feed.out, to: amp.ch1.in, via: [cable-xlr 3 m]}
      - {from: amp.ch1.out, to: box-1.in, via: [cable-loudspeaker 10 m]}
      - {from: box-1.link, to: box-2.in, via: [cable-loudspeaker 5 m]}
      - {from: box-2.link, to: box-3.in, via: [cable-loudspeaker 5 m]}
      - {from: box-3.link, to: box-4.in, via: [cable-loudspeaker 5 m]}
    settings: {amp: {ch1: {level: -20 dB}}}
    """


def offered(text: str, code: str) -> tuple[Remedy, ...]:
    trial = tried_text(text)
    finding = next(each for each in trial.judgement.findings if each.code == code)
    return remedies_for(trial, finding)


def test_two_sides_on_tip_and_ring_go_into_two_channels_or_one_goes_alone() -> None:
    """Common practice: a keyboard's left output alone is its mono output."""
    apart, alone = offered(TIP_AND_RING, "wiring.cancels")
    assert "keys.out-right into desk.ch2.line with cable-jack 3 m" in apart.do
    assert alone.do == "Plug keys.out-left into desk.ch1.line with cable-jack 3 m"
    assert {apart.verdict_after, alone.verdict_after} == {Severity.FINE}


def test_a_remedy_that_keeps_all_boxes_playing_comes_first() -> None:
    """Two boxes of 8 ohm on each channel are 4 ohm each: nobody goes home with two boxes less."""
    first, *others = offered(FOUR_ON_ONE, "amplifier.load")
    assert "amp.ch2.out into box-3.in" in first.do
    assert "silent" not in first.do
    assert any("stay silent" in each.do for each in others)
