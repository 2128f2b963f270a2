"""One clock, two, none; sample rates; preamplifiers that two desks move."""

from __future__ import annotations

import pytest

from levelhead.planning.remedy.offers import with_remedies
from levelhead.verdicts.told.severity import Severity
from tests.verdicts.shows import judged_text, tried_text

PAIR = """
items: {{desk: {{type: mixer-digital-32}}, sb: {{type: stagebox-digital-16}}}}
links: [{{from: sb.net, to: desk.net, via: [cable-network 50 m]}}]
settings: {{desk: {{clock: {desk}}}, sb: {{clock: {sb}}}}}
"""
PLAYER = """
items:
  player: {{type: digital-out-spdif, figures: {{sample-rate: {rate}}}}}
  desk: {{type: mixer-digital-32}}
links: [{{from: player.out, to: desk.spdif-in}}]
settings: {{desk: {{clock: {clock}, converter: '{converter}'}}}}
"""


def digital(text: str) -> list[str]:
    return [each.code for each in judged_text(text).findings if each.family == "digital"]


@pytest.mark.parametrize(
    ("desk", "sb", "codes"),
    [
        ("internal", "network", []),
        ("network", "internal", []),
        ("internal", "internal", ["digital.two-clocks"]),
        ("network", "network", ["digital.no-clock"]),
        ("internal", "network-2", ["digital.two-clocks"]),  # nothing is plugged there
    ],
)
def test_one_clock_sets_the_pace(desk: str, sb: str, codes: list[str]) -> None:
    assert digital(PAIR.format(desk=desk, sb=sb)) == codes


@pytest.mark.parametrize(
    ("rate", "clock", "converter", "codes"),
    [
        ("44.1 kHz", "internal", "on", []),
        ("44.1 kHz", "internal", "off", ["digital.sample-rates"]),
        ("48 kHz", "internal", "off", ["digital.two-clocks"]),
        ("44.1 kHz", "digital-input", "off", []),  # the desk follows the player
        ("48.04 kHz", "internal", "off", ["digital.two-clocks"]),  # within 0.1 % (IEC 60958-3)
        ("48.06 kHz", "internal", "off", ["digital.sample-rates"]),
    ],
)
def test_a_converter_or_one_clock(rate: str, clock: str, converter: str, codes: list[str]) -> None:
    assert digital(PLAYER.format(rate=rate, clock=clock, converter=converter)) == codes


def test_what_has_no_clock_takes_what_arrives() -> None:
    text = """
        items: {player: {type: digital-out-aes3}, dac: {type: converter-digital-analogue}}
        links: [{from: player.out, to: dac.in}]
        """
    assert digital(text) == []


@pytest.mark.parametrize(
    ("first", "second", "severity"),
    [("off", "off", "care"), ("on", "off", "care"), ("on", "on", None)],
)
def test_two_desks_on_one_preamplifier(first: str, second: str, severity: str | None) -> None:
    trial = tried_text(f"""
        items:
          sb: {{type: stagebox-digital-16}}
          foh: {{type: mixer-digital-32}}
          mon: {{type: mixer-digital-32}}
        links: [{{from: sb.net, to: foh.net}}, {{from: sb.net-2, to: mon.net}}]
        settings:
          foh: {{compensation: '{first}'}}
          mon: {{compensation: '{second}', clock: network}}
        """)
    found = [each for each in trial.judgement.findings if each.family == "digital"]
    assert [each.severity for each in found] == ([] if severity is None else [Severity(severity)])
    for each in with_remedies(trial, found):
        assert "compensation" in each.remedies[0].do


def test_a_mistaken_clock_has_a_remedy_that_was_tried() -> None:
    trial = tried_text(PAIR.format(desk="internal", sb="internal"))
    (found,) = (each for each in trial.judgement.findings if each.family == "digital")
    (mended,) = with_remedies(trial, [found])
    assert "sb.clock to network" in " ".join(each.do for each in mended.remedies).replace(" (", " ")
