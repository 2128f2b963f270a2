"""Recorders that nothing comes by although something plays that could."""

from __future__ import annotations

import pytest

from levelhead.planning.remedies import remedies_for
from levelhead.verdicts.routing.silent import NO_SIGNAL
from levelhead.verdicts.severity import Severity
from tests.verdicts.shows import tried_text, worst_of


def recorded(settings: str, output: str = "aux2.out", fader: str = "0 dB") -> str:
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
        settings: {{desk: {{ch1: {{gain: 30 dB, fader: {fader}{settings}}}}}}}
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


def test_a_show_in_which_nothing_is_turned_up_yet_is_not_judged() -> None:
    assert worst_of(recorded("", fader="off"), NO_SIGNAL) is None


def test_the_send_turned_up_is_offered() -> None:
    trial = tried_text(recorded(""))
    finding = next(each for each in trial.judgement.findings if each.code == NO_SIGNAL)
    first, *_ = remedies_for(trial, finding)
    assert first.do == "Set desk.ch1.send2 to 0 dB"
    assert first.verdict_after is Severity.FINE
