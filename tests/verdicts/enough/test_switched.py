"""An input that stands at mic where a line comes: told once, with the switch."""

from __future__ import annotations

import pytest

from levelhead.planning.remedy.remedies import remedies_for
from levelhead.verdicts.enough.clipping import CODE as CLIPS_AS_SET
from levelhead.verdicts.told.finding import Finding
from tests.verdicts.shows import judged_text, tried_text

MONITOR = """
    items:
      feed: {type: feed-line, figures: {generator.level: LEVEL dBu}}
      wedge: {type: wedge-powered}
    links: [{from: feed.out, to: wedge.in, via: [cable-xlr 10 m]}]
    settings: {wedge: {input: STANDS}}
    """


def monitor(level_dbu: float, stands: str) -> str:
    return MONITOR.replace("LEVEL", str(level_dbu)).replace("STANDS", stands)


def bad(text: str) -> list[Finding]:
    return [each for each in judged_text(text).worse_than_fine() if each.family == "enough"]


@pytest.mark.parametrize("level_dbu", [-8.0, 4.0])
def test_a_line_in_an_input_at_mic_is_one_finding_and_the_switch_mends_it(level_dbu: float) -> None:
    """30 dB of gain on a line: that it clips, what the limiter does and the hiss are one fault."""
    (found,) = bad(monitor(level_dbu, "mic"))
    assert found.code == CLIPS_AS_SET
    assert "The mic/line switch of wedge stands at mic: at line it has 30.0 dB less." in found.what
    trial = tried_text(monitor(level_dbu, "mic"))
    finding = next(each for each in trial.judgement.findings if each.key == found.key)
    first, *_ = remedies_for(trial, finding)
    assert first.do.startswith("Set wedge.input to line")


def test_at_line_nothing_is_said_of_a_switch() -> None:
    assert not [each for each in bad(monitor(4.0, "line")) if "switch" in each.what]


def test_a_switch_that_is_locked_is_not_told() -> None:
    text = monitor(4.0, "mic").replace("input: mic", "input: mic, lock: [input]")
    assert not [each for each in bad(text) if "stands at mic" in each.what]


def test_a_control_that_is_too_high_has_no_switch_to_blame() -> None:
    """A preamplifier whose knob stands too high; the desk has no switch there."""
    text = """
        items:
          feed: {type: feed-line}
          desk: {type: mixer-compact}
          box: {type: loudspeaker-powered-12}
        links:
          - {from: feed.out, to: desk.ch1.mic, via: [cable-xlr 3 m]}
          - {from: desk.main-left.out, to: box.in, via: [cable-xlr 10 m]}
        settings: {desk: {ch1: {gain: 50 dB}}}
        """
    found = [each for each in bad(text) if each.code == CLIPS_AS_SET]
    assert found
    assert not [each for each in found if " stands at " in each.what]
