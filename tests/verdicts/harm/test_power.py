"""Power outputs on inputs, line outputs on loudspeakers."""

from __future__ import annotations

import pytest

from levelhead.verdicts.harm.power import NO_AMPLIFIER, POWER
from levelhead.verdicts.told.severity import Severity
from tests.verdicts.shows import judged_text, worst_of


def amplifier(ceiling: str, role: str = "amp.ch1.out") -> str:
    lead = "lead-loudspeaker-jack 3 m" if role.endswith("out") else "lead-xlr-jack-balanced 3 m"
    return f"""
    items:
      amp: {{type: amplifier-two-channel, figures: {{ch.power.ceiling: {ceiling}}}}}
      desk: {{type: mixer-line-trims, figures: {{ch.line.damage: 30 V, ch.trim.ceiling: +21 dBu}}}}
    links: [{{from: {role}, to: desk.ch1.line, via: [{lead}]}}]
    """


@pytest.mark.parametrize(
    ("ceiling", "is_care"),
    [("+10 dBu", False), ("+20.9 dBu", False), ("+21.1 dBu", True), ("+24 dBu", True)],
)
def test_a_power_output_that_can_clip_an_input_is_care(ceiling: str, is_care: bool) -> None:  # noqa: FBT001
    finding = worst_of(amplifier(ceiling), POWER)
    assert (finding is not None) is is_care
    assert finding is None or finding.severity is Severity.CARE


def test_its_link_output_is_a_line() -> None:
    assert worst_of(amplifier("+24 dBu", "amp.ch1.link"), POWER) is None


def test_a_loudspeaker_is_no_input_that_clips() -> None:
    text = """
    items: {amp: {type: amplifier-two-channel}, box: {type: loudspeaker-passive-12}}
    links: [{from: amp.ch1.out, to: box.in, via: [cable-loudspeaker 10 m]}]
    """
    codes = {each.code for each in judged_text(text).findings}
    assert codes.isdisjoint({POWER, NO_AMPLIFIER})


@pytest.mark.parametrize(
    ("damage_v", "is_told"), [(68.0, True), (15.9, True), (15.0, False), (3.0, False)]
)
def test_a_line_output_is_no_amplifier(damage_v: float, is_told: bool) -> None:  # noqa: FBT001
    """+22 dBu behind 150 ohm on a cabinet of 32 ohm at its resonance: 1.6 V, a tenth of 15.6 V."""
    text = f"""
    items:
      desk: {{type: mixer-compact, figures: {{main.level.ceiling: +22 dBu,
             main.out.impedance: 150 ohm}}}}
      box: {{type: loudspeaker-passive-12, figures: {{in.impedance: 8 ohm,
             in.long-term-rating: {damage_v} V}}}}
    links: [{{from: desk.main-left.out, to: box.in, via: [lead-xlr-loudspeaker 1 m]}}]
    """
    assert (worst_of(text, NO_AMPLIFIER) is not None) is is_told
