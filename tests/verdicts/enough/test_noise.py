"""Noise behind the gain of an input, and hiss of loudspeakers."""

from __future__ import annotations

import pytest

from levelhead.planning.remedy.offers import with_remedies
from levelhead.verdicts.enough.noise import HISS, NOISE
from levelhead.verdicts.told.severity import Severity
from tests.verdicts.shows import tried_text, worst_of


def hissing(noise_dbu: float, fader_db: float = -27.0) -> str:
    return f"""
    items:
      feed: {{type: feed-line}}
      desk: {{type: mixer-compact, figures: {{main.sum.noise: {noise_dbu} dBu}}}}
      pow: {{type: loudspeaker-powered-12, figures: {{driver.sensitivity.level: 124 dB SPL}}}}
    links:
      - {{from: feed.out, to: desk.ch1.line, via: [lead-xlr-jack-balanced 2 m]}}
      - {{from: desk.main-left.out, to: pow.in, via: [cable-xlr 20 m]}}
    settings: {{desk: {{ch1: {{gain: 20 dB, fader: {fader_db} dB}}}}}}
    """


@pytest.mark.parametrize(
    ("noise_dbu", "is_told"), [(-90.0, False), (-79.0, False), (-75.0, True), (-60.0, True)]
)
def test_hiss_near_the_background_of_the_room_is_care(noise_dbu: float, is_told: bool) -> None:  # noqa: FBT001
    finding = worst_of(hissing(noise_dbu), HISS)
    assert (finding is not None) is is_told
    assert finding is None or finding.severity is Severity.CARE
    if finding is not None:  # as the meter that checks it shows; a quiet room is said to be one
        is_louder = "hisses with" in finding.what
        assert is_louder is (noise_dbu == -60.0)
        assert finding.what.count("dB(A)") == (2 if is_louder else 3)


def test_far_over_its_noise_nobody_complains() -> None:
    """The same noise under a programme that is 27 dB louder."""
    assert worst_of(hissing(-72.0), HISS) is not None
    assert worst_of(hissing(-72.0, 0.0), HISS) is None


def test_level_moved_from_the_loudspeaker_to_the_desk_takes_the_hiss_away() -> None:
    trial = tried_text(hissing(-72.0))
    told = with_remedies(trial, trial.judgement.worse_than_fine())
    finding = next(each for each in told if each.code == HISS)
    assert len(finding.remedies[0].edits) == 2
    assert finding.remedies[0].verdict_after is Severity.FINE


def speech(distance: str) -> str:
    return f"""
    items: {{mic: {{type: mic-ribbon-passive}}, desk: {{type: mixer-compact}}}}
    sources: {{talker: {{type: voice-talker, at: mic, distance: {distance}}}}}
    links: [{{from: mic.out, to: desk.ch1.mic, via: [cable-xlr 10 m]}}]
    settings: {{desk: {{ch1: {{gain: 60 dB}}}}}}
    """


@pytest.mark.parametrize(
    ("distance", "is_told"), [("10 cm", False), ("1.2 m", False), ("2.5 m", True), ("8 m", True)]
)
def test_too_little_level_lets_the_noise_be_heard(distance: str, is_told: bool) -> None:  # noqa: FBT001
    assert (worst_of(speech(distance), NOISE) is not None) is is_told


def hissing_with_the_signal(sum_noise_dbu: float) -> str:
    """A quiet talker far off with the gain up, panned to both sides: its hiss is the desk's."""
    return f"""
    items:
      mic: {{type: mic-vocal-dynamic}}
      desk: {{type: mixer-analogue-16, figures: {{main.sum.noise: {sum_noise_dbu} dBu}}}}
      pow: {{type: loudspeaker-powered-12, figures: {{driver.sensitivity.level: 124 dB SPL}}}}
    sources: {{talker: {{type: voice-talker, at: mic, distance: 3 m}}}}
    links:
      - {{from: mic.out, to: desk.ch1.mic, via: [cable-xlr 10 m]}}
      - {{from: desk.main-left.out, to: pow.in, via: [cable-xlr 20 m]}}
    settings: {{desk: {{ch1: {{gain: 60 dB, fader: 0 dB}}}}}}
    """


@pytest.mark.parametrize(
    ("sum_noise_dbu", "comes_with_it"),
    [(-95.0, True), (-76.0, True), (-70.0, False), (-50.0, False)],
)
def test_hiss_that_comes_with_the_signal_is_not_to_be_turned_down_behind_it(
    sum_noise_dbu: float,
    *,
    comes_with_it: bool,
) -> None:
    """Level moved from a loudspeaker to its feed takes nothing off what a microphone brings."""
    finding = worst_of(hissing_with_the_signal(sum_noise_dbu), HISS)
    assert finding is not None
    assert ("comes with the signal" in finding.what) is comes_with_it
    assert ("Turn the loudspeaker" in finding.what) is not comes_with_it
    share = finding.why[1].value
    assert share is not None
    assert (share > 0.5) is comes_with_it
