"""Leads behind splitters, and leads without any way: told once, at the input that gets nothing."""

from __future__ import annotations

import pytest

from levelhead.verdicts.told.severity import Severity
from tests.verdicts.shows import judged_text

SPLIT = """
    items:
      vox: {type: mic-vocal-dynamic}
      split: {type: splitter-passive}
      foh: {type: mixer-compact-8}
      mon: {type: mixer-compact-8}
    sources: {anna: {type: voice-singer, at: vox, distance: 5 cm}}
    links:
      - {from: vox.out, to: split.in, via: [cable-xlr 5 m]}
      - {from: split.direct, to: foh.ch1.mic, via: [cable-xlr 10 m]DIRECT}
      - {from: split.isolated, to: mon.ch1.mic, via: [cable-xlr 10 m]ISOLATED}
    settings: {foh: {ch1: {gain: 38 dB}}, mon: {ch1: {gain: 38 dB}}}
    """


def told(*, direct: str = "", isolated: str = "") -> list[tuple[str, str, Severity]]:
    pins = {"DIRECT": direct, "ISOLATED": isolated}
    text = SPLIT
    for name, said in pins.items():
        text = text.replace(name, f", pins: {said}" if said else "")
    return [(each.code, each.where, each.severity) for each in judged_text(text).worse_than_fine()]


def test_a_splitter_with_leads_in_order_says_nothing() -> None:
    assert told() == []


@pytest.mark.parametrize("pins", ["{'2': open}", "{'2': open, '3': open}"])
def test_a_cut_lead_behind_either_socket_of_a_splitter_is_one_finding(pins: str) -> None:
    """Circuit: behind an open leg a floating source has no way back; behind two nothing at all."""
    code, severity = "wiring.level-lost", Severity.FAILS
    assert told(direct=pins) == [(code, "foh.ch1.mic", severity)]
    assert told(isolated=pins) == [(code, "mon.ch1.mic", severity)]


def test_a_lead_without_any_way_says_so() -> None:
    pins = ", pins: {'2': open, '3': open}"
    text = SPLIT.replace("DIRECT", "").replace("ISOLATED", pins)
    (found,) = judged_text(text).worse_than_fine()
    assert "gets nothing of what split, isolated output gives: the lead has no way" in found.what
