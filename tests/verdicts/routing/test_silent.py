"""Recorders that nothing comes by although something plays that could."""

from __future__ import annotations

import pytest

from levelhead.planning.remedy.remedies import remedies_for
from levelhead.verdicts.routing.silent import NO_SIGNAL
from levelhead.verdicts.told.severity import Severity
from tests.verdicts.shows import tried_text, worst_of


def recorded(settings: str, output: str = "aux2.out", fader: str = ", fader: 0 dB") -> str:
    """A singer on channel 1, heard in the hall; a recorder on an output of the desk."""
    return f"""
        items:
          vox: {{type: mic-vocal-dynamic}}
          desk: {{type: mixer-analogue-16}}
          rec: {{type: recorder-line-pro}}
          pow: {{type: loudspeaker-powered-12}}
        sources: {{singer: {{type: voice-singer, at: vox}}}}
        links:
          - {{from: vox.out, to: desk.ch1.mic, via: [cable-xlr 10 m]}}
          - {{from: desk.{output}, to: rec.in-left, via: [lead-jack-balanced-xlr 3 m]}}
          - {{from: desk.main-left.out, to: pow.in, via: [cable-xlr 20 m]}}
        settings: {{desk: {{ch1: {{gain: 30 dB{fader}{settings}}}}}}}
        """


@pytest.mark.parametrize(
    ("settings", "is_silent"),
    [
        (", send2: off", True),
        (", send2: -60 dB", False),  # just open: how little comes is for other rules
        (", send2: 0 dB", False),
        (", send1: 0 dB", True),  # another send
    ],
)
def test_a_send_that_is_off_leaves_the_recorder_without_a_signal(
    settings: str, *, is_silent: bool
) -> None:
    finding = worst_of(recorded(settings), NO_SIGNAL)
    assert (finding is not None) is is_silent
    if finding is not None:
        assert finding.severity is Severity.CARE
        assert finding.ports == ("rec.in-left",)


def test_the_direct_out_of_a_channel_that_nothing_is_plugged_into_is_no_finding() -> None:
    """A recorder of many tracks has free ones; nothing that anybody does there brings a signal."""
    assert worst_of(recorded("", "ch5.insert"), NO_SIGNAL) is None


def test_a_show_in_which_nobody_sings_yet_is_not_judged() -> None:
    text = recorded("", fader=", fader: off").replace(
        "sources: {singer: {type: voice-singer, at: vox}}", ""
    )
    assert worst_of(text, NO_SIGNAL) is None


def test_the_send_turned_up_is_offered() -> None:
    trial = tried_text(recorded(""))
    finding = next(each for each in trial.judgement.findings if each.code == NO_SIGNAL)
    first, *_ = remedies_for(trial, finding)
    assert first.do == "Set desk.ch1.send2 to 0 dB"
    assert first.verdict_after is Severity.FINE


@pytest.mark.parametrize(
    ("settings", "fader", "said"),
    [
        (", send2: 0 dB, mute: on", ", fader: 0 dB", "the mute of desk ch1 shuts the way"),
        (", send2: 0 dB, tap: post", ", fader: off", "the fader of desk ch1 shuts the way"),
    ],
)
def test_a_desk_that_is_muted_or_faded_down_as_a_whole_leaves_the_recorder_silent(
    settings: str, fader: str, said: str
) -> None:
    """Nothing else plays then, and nobody in the room could tell."""
    trial = tried_text(recorded(settings, fader=fader))
    finding = next(each for each in trial.judgement.findings if each.code == NO_SIGNAL)
    assert said in finding.what
    first, *_ = remedies_for(trial, finding)
    assert first.verdict_after is Severity.FINE


def test_a_mute_of_one_channel_is_looked_through_where_others_play() -> None:
    """The recorder hangs on the muted channel alone; the hall hears another one."""
    text = recorded(", send2: 0 dB, mute: on").replace(
        "links:", "links:\n          - {from: two.out, to: desk.ch2.mic}"
    )
    text = text.replace("items:", "items:\n          two: {type: mic-vocal-dynamic}")
    text = text.replace("singer: {", "other: {type: voice-singer, at: two}, singer: {")
    text = text.replace("desk: {ch1", "desk: {ch2: {fader: 0 dB}, ch1")
    assert worst_of(text, NO_SIGNAL) is not None
