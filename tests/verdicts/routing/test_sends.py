"""Sends before and behind the fader, sides that get lost, talkback, echoes, late in-ears."""

from __future__ import annotations

import pytest

from levelhead.planning.remedy.offers import with_remedies
from levelhead.verdicts.told.severity import Severity
from tests.verdicts.shows import judged_text, tried_text, worst_of

BAND = """
items:
  mic: {{type: mic-vocal-dynamic}}
  desk: {{type: mixer-analogue-16}}
  pa: {{type: loudspeaker-powered-12}}
  box: {{type: loudspeaker-powered-12{places}}}
sources: {{ada: {{type: voice-singer, at: mic}}}}
links:
  - {{from: mic.out, to: desk.ch1.mic}}
  - {{from: desk.main-left.out, to: pa.in}}
  - {{from: desk.aux{aux}.out, to: box.in, via: [lead-jack-balanced-xlr 20 m]}}
settings: {{desk: {{ch1: {{tap: {tap}, send{aux}: 0 dB}}}}}}
"""
TO_THE_STAGE, TO_THE_HALL = (
    ", at: [0, 0, 0], aim: [0, -2, 1.6]",
    ", at: [0, 0, 0], aim: [0, 9, 1.6]",
)
CODE = "routing.monitor-behind-fader"


@pytest.mark.parametrize(
    ("aux", "tap", "places", "is_told"),
    [
        (1, "post", TO_THE_STAGE, True),
        (1, "pre", TO_THE_STAGE, False),
        (1, "post", TO_THE_HALL, False),  # a fill moves along with the hall
        (1, "post", "", False),  # nobody says who hears it
        (3, "pre", TO_THE_STAGE, False),  # no switch of this desk can help: nobody can act
    ],
)
def test_a_wedge_behind_the_fader(aux: int, tap: str, places: str, is_told: bool) -> None:  # noqa: FBT001 -- the answer of a row
    text = BAND.format(aux=aux, tap=tap, places=places)
    assert (worst_of(text, CODE) is not None) is is_told


def test_the_tap_is_the_remedy() -> None:
    trial = tried_text(BAND.format(aux=1, tap="post", places=TO_THE_STAGE))
    found = [each for each in trial.judgement.findings if each.code == CODE]
    (mended,) = with_remedies(trial, found)
    assert [each.verdict_after for each in mended.remedies] == [Severity.FINE]
    assert "tap" in mended.remedies[0].do


DOWN_THE_HALL = """
items:
  feed: {{type: feed-line}}
  desk: {{type: mixer-digital-32}}
  main: {{type: loudspeaker-powered-12, at: [0, 0, 2]}}
  del: {{type: loudspeaker-powered-12, at: [0, {apart}, 2]}}
links:
  - {{from: feed.out, to: desk.ch1.line, via: [lead-xlr-jack-balanced 3 m]}}
  - {{from: desk.main-left.out, to: main.in}}
  - {{from: desk.aux6.out, to: del.in}}
settings: {{desk: {{ch1: {{gain: 14 dB, fader: -20 dB, send6: {send}}}, aux6: {{delay: {delay}}}}}}}
"""


@pytest.mark.parametrize(
    ("apart", "send", "delay", "severity"),
    [
        (24, "-42 dB", "0 ms", Severity.FAILS),  # 69.9 ms early, as loud as the main
        (24, "-42 dB", "85 ms", None),  # 15.1 ms behind
        (24, "-42 dB", "101 ms", None),  # 31.1 ms behind: no cliff at 30 ms
        (24, "-42 dB", "115 ms", Severity.CARE),  # 45.1 ms: one in twenty or more hear it
        (24, "-42 dB", "125 ms", Severity.FAILS),  # 55.1 ms
        (24, "-30 dB", "101 ms", Severity.FAILS),  # 31.1 ms behind and 12 dB louder
        (24, "-25 dB", "0 ms", None),  # drowns the main: the late sound is 17 dB weaker
        (10, "-34 dB", "0 ms", None),  # 29.1 ms
        (11, "-34 dB", "0 ms", None),  # 32.1 ms
    ],
)
def test_a_loudspeaker_down_the_hall(
    apart: int, send: str, delay: str, severity: Severity | None
) -> None:
    """24 m at 343.2 m/s (ISO 9613-1) are 69.9 ms.

    As loud as the first a late sound is an echo from 50 ms on, 10 dB louder from 30 ms on, 10 dB
    weaker never (Haas 1949); how far listeners differ in it is from memory.
    """
    text = DOWN_THE_HALL.format(apart=apart, send=send, delay=delay)
    found = worst_of(text, "routing.echo")
    assert (None if found is None else found.severity) is severity


def test_the_delay_that_mends_an_echo_is_named() -> None:
    trial = tried_text(DOWN_THE_HALL.format(apart=24, send="-42 dB", delay="0 ms"))
    found = [each for each in trial.judgement.findings if each.code == "routing.echo"]
    (mended,) = with_remedies(trial, found)
    assert "85 ms" in mended.remedies[0].do


@pytest.mark.parametrize(
    ("delay_ms", "is_told"), [(7, False), (8.9, False), (9.1, True), (14, True)]
)
def test_a_voice_late_in_the_ears(delay_ms: float, is_told: bool) -> None:  # noqa: FBT001 -- the answer of a row
    text = f"""
        items:
          mic: {{type: mic-vocal-dynamic}}
          desk:
            type: mixer-digital-32
            figures: {{ch.converter.delay: {delay_ms} ms, aux.converter.delay: 1 ms}}
          iem: {{type: in-ear-set}}
          ears: {{type: earphones}}
        sources: {{ada: {{type: voice-singer, at: mic}}}}
        links:
          - {{from: mic.out, to: desk.ch1.mic}}
          - {{from: desk.aux1.out, to: iem.in-left}}
          - {{from: iem.phones, to: ears.in}}
        settings: {{desk: {{ch1: {{send1: 0 dB}}}}}}
        """
    assert (worst_of(text, "digital.late-in-ears") is not None) is is_told


def test_a_mute_before_a_recorder_and_a_bus_beside_it() -> None:
    text = """
        items:
          mic: {{type: mic-vocal-dynamic}}
          desk: {{type: mixer-digital-32}}
          rec: {{type: recorder-line-pro}}
          split: {{type: splitter-parallel}}
          hall: {{type: loudspeaker-powered-12}}
        sources: {{ada: {{type: voice-singer, at: mic}}}}
        links:
          - {{from: mic.out, to: desk.ch1.mic}}
          - {{from: desk.{out}.out, to: split.in}}
          - {{from: split.direct-1, to: rec.in-left}}
          - {{from: split.direct-2, to: hall.in}}
        settings: {{desk: {{ch1: {{send1: 0 dB}}}}}}
        """
    assert worst_of(text.format(out="main-left"), "routing.recording-behind-mute") is not None
    assert worst_of(text.format(out="aux1"), "routing.recording-behind-mute") is None


def test_both_sides_of_stereo_or_one() -> None:
    text = """
        items:
          pc: {{type: laptop}}
          desk: {{type: mixer-compact}}
          one: {{type: loudspeaker-powered-12}}
          {more}
        links:
          - ends: {{a: pc.phones, left: desk.st1.in-left, right: desk.st1.in-right}}
            via: [lead-mini-two-jacks]
          - {{from: desk.main-left.out, to: one.in}}
          {second}
        """
    both = text.format(
        more="two: {type: loudspeaker-powered-12}",
        second="- {from: desk.main-right.out, to: two.in}",
    )
    assert worst_of(both, "routing.one-side") is None
    found = worst_of(text.format(more="", second=""), "routing.one-side")
    assert found is not None
    assert found.severity is Severity.CARE
    assert found.what.startswith("The right side")


def test_single_points_are_told_on_request_only() -> None:
    text = BAND.format(aux=1, tap="pre", places=TO_THE_STAGE)
    assert not [each for each in judged_text(text).findings if each.family == "spares"]
