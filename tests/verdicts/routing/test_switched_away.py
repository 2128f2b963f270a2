"""Inputs that a switch leaves without a listener."""

from __future__ import annotations

import pytest

from levelhead.verdicts.routing.switched_away import SWITCHED_AWAY
from levelhead.verdicts.told.finding import Finding
from levelhead.verdicts.told.severity import Severity
from tests.verdicts.shows import judged_text

DJ = """
    items: {deck: {type: turntable}, cd: {type: player-media}, dj: {type: mixer-dj-phono}}
    links:
      - {from: deck.out-left, to: dj.ch1.phono-left}
      - {from: deck.out-right, to: dj.ch1.phono-right}
"""
CD = """\
      - {from: cd.out-left, to: dj.ch1.line-left, via: [cable-phono 1 m]}
      - {from: cd.out-right, to: dj.ch1.line-right, via: [cable-phono 1 m]}
"""


def told(text: str) -> list[Finding]:
    return [each for each in judged_text(text).findings if each.code == SWITCHED_AWAY]


def test_both_sides_of_a_deck_are_one_finding() -> None:
    """Common practice: the switch of a channel of a DJ mixer is for both sides."""
    (found,) = told(f"{DJ}    settings: {{dj: {{ch1: {{input: line}}}}}}\n")
    assert (found.severity, found.where) == (Severity.FAILS, "dj.ch1.phono-left")
    assert "the input switch of dj ch1 stands at line" in found.what


@pytest.mark.parametrize("more", [CD, "    settings: {dj: {ch1: {input: phono}}}\n"])
def test_a_switch_between_two_players_is_there_to_be_moved(more: str) -> None:
    """Records and discs on one channel: that one of them waits is what the switch is for."""
    assert told(DJ + more) == []


def test_what_plays_nothing_asks_for_no_switch() -> None:
    text = """
        items: {phone: {type: phone}, head: {type: headset-trrs}}
        links: [{from: phone.headset, to: head.in}]
    """
    assert told(text) == []


def test_a_switch_that_nobody_has_spoken_of_may_stand_right() -> None:
    (found,) = told(DJ)
    assert found.severity is Severity.CARE
    assert "as it comes" in found.what
