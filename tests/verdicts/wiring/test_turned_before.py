"""Sides in opposite polarity are told where they begin, and not again behind."""

from __future__ import annotations

import pytest

from levelhead.planning.remedy.remedies import remedies_for
from levelhead.verdicts.wiring.cancelling import CANCELS, OPPOSITE
from levelhead.verdicts.wiring.leads import BALANCE
from levelhead.verdicts.wiring.shorted import SHORTED
from tests.verdicts.shows import judged_text, tried_text


def stack(right: str = "cable-xlr", top: str = "cable-xlr") -> str:
    """A desk into a subwoofer with both sides, and from there into two tops."""
    return f"""
        items:
          vox: {{type: mic-vocal-dynamic}}
          desk: {{type: mixer-analogue-16}}
          sub: {{type: subwoofer-powered}}
          left: {{type: loudspeaker-powered-12}}
          right: {{type: loudspeaker-powered-12}}
        sources: {{v: {{type: voice-singer, at: vox}}}}
        links:
          - {{from: vox.out, to: desk.ch1.mic, via: [cable-xlr 10 m]}}
          - {{from: desk.main-left.out, to: sub.in-left, via: [cable-xlr 20 m]}}
          - {{from: desk.main-right.out, to: sub.in-right, via: [{right} 20 m]}}
          - {{from: sub.out-left, to: left.in, via: [cable-xlr 5 m]}}
          - {{from: sub.out-right, to: right.in, via: [{top} 5 m]}}
        settings: {{desk: {{ch1: {{gain: 40 dB, fader: 0 dB}}, main: 0 dB}}}}
        """


def upside_down(text: str) -> list[tuple[str, str]]:
    found = judged_text(text).worse_than_fine()
    return [(each.code, each.where) for each in found if each.code in (CANCELS, OPPOSITE)]


TURNED = "cable-xlr-reversed"


@pytest.mark.parametrize(
    ("right", "top", "told"),
    [
        ("cable-xlr", "cable-xlr", []),
        (TURNED, "cable-xlr", [(CANCELS, "sub.low.sum")]),
        ("cable-xlr", TURNED, [(OPPOSITE, "left.driver")]),
        (TURNED, TURNED, [(CANCELS, "sub.low.sum")]),  # the tops play alike again
    ],
)
def test_a_turned_lead_is_told_where_it_begins(
    right: str, top: str, told: list[tuple[str, str]]
) -> None:
    assert upside_down(stack(right, top)) == told


def test_with_the_lead_that_is_told_mended_nothing_behind_is_left() -> None:
    trial = tried_text(stack(TURNED))
    found = next(each for each in trial.judgement.findings if each.code == CANCELS)
    first, *_ = remedies_for(trial, found)
    mended = trial.after(first.edits)
    assert mended is not None
    assert not {each.code for each in mended.judgement.worse_than_fine()} & {CANCELS, OPPOSITE}


def test_a_sum_that_cancels_elsewhere_hides_no_turned_loudspeaker() -> None:
    """Both sides of a player into one mono input cancel; the tops are turned by their own lead."""
    text = stack("cable-xlr", TURNED)
    for voice, player in (
        ("{type: mic-vocal-dynamic}", "{type: phone}"),
        ("sources: {v: {type: voice-singer, at: vox}}", ""),
        ("vox.out, to: desk.ch1.mic", "vox.headset, to: desk.ch1.line"),
        ("via: [cable-xlr 10 m]", "via: [lead-mini-jack-balanced 3 m]"),
    ):
        text = text.replace(voice, player)
    assert {code for code, _ in upside_down(text)} == {CANCELS, OPPOSITE}


def unbalanced(lead: str, supply: str) -> list[str]:
    """A desk and a powered loudspeaker on a lead, by what is told of it."""
    text = f"""
        items:
          vox: {{type: mic-vocal-dynamic}}
          desk: {{type: mixer-compact-8, supply: foh}}
          pow: {{type: loudspeaker-powered-12, supply: {supply}}}
        sources: {{v: {{type: voice-singer, at: vox}}}}
        links:
          - {{from: vox.out, to: desk.ch1.mic, via: [cable-xlr 10 m]}}
          - {{from: desk.main-left.out, to: pow.in, via: [{lead}]}}
        supplies: {{foh: {{outlet: a, circuit: "1"}}, stage: {{outlet: b, circuit: "2"}}}}
        settings: {{desk: {{ch1: {{gain: 40 dB, fader: 0 dB}}, main: 0 dB}}}}
        """
    codes = {SHORTED, BALANCE, "hum.heard"}
    found = judged_text(text).worse_than_fine()
    return sorted(each.code for each in found if each.code in codes)


def test_a_lead_that_lost_the_balance_is_told_by_what_comes_of_it() -> None:
    """A leg on ground says it along; where the hum is told, nothing says that hum may come."""
    assert unbalanced("lead-xlr-jack 20 m", "foh") == [SHORTED]
    assert unbalanced("lead-xlr-jack 20 m", "stage") == ["hum.heard", SHORTED]
    assert unbalanced("cable-xlr 20 m", "stage") == []
