"""Which knob comes first where something clips: that of the channel that drowns the others."""

from __future__ import annotations

import pytest

from levelhead.planning.moves.controls import turns
from levelhead.planning.remedy.remedies import remedies_for
from levelhead.planning.trial import Trial
from levelhead.show.edits import Set
from levelhead.verdicts.told.finding import Finding
from tests.verdicts.shows import tried_text

CLIPS = "enough.clips-as-set"


def two_lines(first: str, second: str, *, out: str = "main-left") -> tuple[Trial, Finding]:
    """Two equal line sources on a mixer and a powered loudspeaker behind its main or a bus."""
    trial = tried_text(f"""
        items:
          one: {{type: feed-line}}
          two: {{type: feed-line}}
          desk: {{type: mixer-digital-16}}
          box: {{type: loudspeaker-powered-12}}
        links:
          - {{from: one.out, to: desk.ch1.mic, via: [cable-xlr 2 m]}}
          - {{from: two.out, to: desk.ch2.mic, via: [cable-xlr 2 m]}}
          - {{from: desk.{out}.out, to: box.in, via: [cable-xlr 10 m]}}
        settings:
          desk:
            ch1: {{gain: 0 dB, {first}}}
            ch2: {{gain: 0 dB, {second}}}
        """)
    found = (each for each in trial.judgement.worse_than_fine() if each.code == CLIPS)
    return trial, next(each for each in found if each.where.startswith(f"desk.{out}."))


def first_turned(trial: Trial, finding: Finding) -> str:
    (edit,) = next(iter(turns(trial, finding))).edits
    assert isinstance(edit, Set)
    return edit.address


def test_one_hot_channel_comes_down_before_all_that_hangs_on_the_main() -> None:
    """The other one, 22 dB under it, would come down as well, and was never too loud."""
    trial, finding = two_lines("fader: 10 dB", "fader: -12 dB")
    assert first_turned(trial, finding) == "desk.ch1.fader"
    first, *_ = remedies_for(trial, finding)
    assert "desk.ch1.fader" in first.do


def test_of_a_mix_that_is_too_hot_as_a_whole_the_main_comes_down() -> None:
    trial, finding = two_lines("fader: 10 dB", "fader: 10 dB")
    assert first_turned(trial, finding) == "desk.main"


@pytest.mark.parametrize(("other_db", "first"), [(-10, "desk.ch1.send1"), (1, "desk.aux1.level")])
def test_a_send_is_the_channels_own(other_db: int, first: str) -> None:
    """At 10 dB under one channel, common practice, the rest of a mix is not what is wrong."""
    trial, finding = two_lines(
        "fader: off, send1: 10 dB", f"fader: off, send1: {other_db} dB", out="aux1"
    )
    assert first_turned(trial, finding) == first
