"""What brings a dead microphone to life is offered, whatever its sound then asks for."""

from __future__ import annotations

from levelhead.planning.remedy.remedies import remedies_for
from levelhead.verdicts.told.finding import Remedy
from levelhead.verdicts.told.severity import Severity
from tests.verdicts.shows import tried_text

BEHIND_A_MULTICORE = """
    items:
      vox: {type: mic-vocal-condenser}
      snake: {type: multicore-16-4}
      desk: {type: mixer-analogue-16}
      pow: {type: loudspeaker-powered-12}
      MORE
    sources: {singer: {type: voice-singer, at: vox}}
    links:
      - {from: vox.out, to: snake.line1.in, via: [cable-xlr 10 m]}
      - {from: snake.line1.out, to: desk.ch1.mic}
      - {from: desk.main-left.out, to: pow.in, via: [cable-xlr 3 m]}
      LINK
    settings: {desk: {ch1: {gain: GAIN}}}
    """
LAPTOP = "laptop: {type: laptop}"
INTO_MIC = "- {from: laptop.phones, to: desk.ch6.mic, via: [lead-mini-sum-xlr 2 m]}"


def offered(gain: str, more: str = "", link: str = "") -> tuple[Remedy, ...]:
    text = BEHIND_A_MULTICORE.replace("GAIN", gain).replace("MORE", more).replace("LINK", link)
    trial = tried_text(text)
    finding = next(each for each in trial.judgement.findings if each.code == "phantom.missing")
    return remedies_for(trial, finding)


def test_the_switch_of_the_desk_is_offered_behind_a_multicore() -> None:
    (first, *_) = offered("30 dB")
    assert (first.do, first.verdict_after) == ("Set desk.phantom to on", Severity.FINE)


def test_a_gain_that_is_too_high_for_the_living_microphone_does_not_hide_the_switch() -> None:
    """It clips once it lives; dead it is worse."""
    (first, *_) = offered("55 dB")
    assert (first.do, first.verdict_after) == ("Set desk.phantom to on", Severity.CARE)


def test_a_laptop_on_the_same_switch_is_moved_first() -> None:
    """48 V would hurt its headphone output, so the switch alone is no remedy."""
    (first, *_) = offered("30 dB", LAPTOP, INTO_MIC)
    assert first.do.startswith("Plug laptop.phones into desk.ch")
    assert first.do.endswith("Set desk.phantom to on")
    assert first.verdict_after.rank < Severity.FAILS.rank


RINGING = """
    items:
      choir: {type: mic-large-condenser, at: [0, 1, 2.8]}
      desk: {type: mixer-digital-16}
      box: {type: loudspeaker-powered-12, at: [1, 2, 2.2], aim: [0, 1, 2.8]}
    sources: {singers: {type: voice-choir, at: choir, distance: 3 m}}
    links:
      - {from: choir.out, to: desk.ch1.mic, via: [cable-xlr 10 m]}
      - {from: desk.main-left.out, to: box.in, via: [cable-xlr 10 m]}
    settings: {desk: {ch1: {gain: 50 dB}}}
    room: {corners: [[-7, -4], [7, -4], [7, 24], [-7, 24]], height: 9 m, reverberation: 2.6 s}
    """


def test_what_remains_once_a_microphone_lives_is_said_with_its_remedy() -> None:
    """It is alive by the switch, which is what was asked for; that it rings then is named."""
    trial = tried_text(RINGING)
    finding = next(each for each in trial.judgement.findings if each.code == "phantom.missing")
    remedy = next(
        each for each in remedies_for(trial, finding) if "desk.ch1.phantom to on" in each.do
    )
    assert remedy.verdict_after.rank >= Severity.FAILS.rank
    assert "choir plays then; what remains: It rings" in remedy.do
    after = trial.after(remedy.edits)
    assert after is not None
    assert "choir" not in after.solution.dead


BASS_THROUGH_A_BOX = """
    items:
      bass: {type: guitar-electric-passive}
      box: {type: di-active}
      desk: {type: mixer-digital-32}
      left: {type: loudspeaker-powered-12}
    links:
      - {from: bass.out, to: box.in, via: [cable-jack 5 m]}
      - {from: box.out, to: desk.ch1.mic, via: [cable-xlr 10 m]}
      - {from: desk.main-left.out, to: left.in, via: [cable-xlr 10 m]}
    settings: {box: {battery: none}, desk: {ch1: {gain: 30 dB}}}
    """


def test_a_box_is_not_brought_to_life_with_its_lead_in_another_socket() -> None:
    """The desk on the through socket loads the coil: no battery mends that."""
    trial = tried_text(BASS_THROUGH_A_BOX)
    finding = next(each for each in trial.judgement.findings if each.code == "phantom.missing")
    remedies = remedies_for(trial, finding)
    assert remedies
    assert not any("through" in each.do for each in remedies)
    assert all(each.verdict_after.rank < Severity.FAILS.rank for each in remedies)


def test_a_box_that_keeps_phantom_power_away_is_left_out() -> None:
    """A line transformer passes no direct current: the condenser before it is dead."""
    trial = tried_text(
        """
        items:
          mic: {type: mic-large-condenser}
          iso: {type: isolator-line}
          desk: {type: mixer-analogue-16}
        sources: {p: {type: sound-piano, at: mic}}
        links:
          - {from: mic.out, to: iso.in, via: [cable-xlr 5 m]}
          - {from: iso.out, to: desk.ch3.mic, via: [cable-xlr 20 m]}
        settings: {desk: {phantom: on}}
        """
    )
    finding = next(each for each in trial.judgement.worse_than_fine() if each.family == "phantom")
    offered = [each.do for each in remedies_for(trial, finding)]
    assert any(each.startswith("Plug mic.out into desk.ch3.mic") for each in offered)
