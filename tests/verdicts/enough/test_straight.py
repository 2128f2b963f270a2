"""Microphones straight into powered loudspeakers: are they any louder for it?

A raised voice has 68.3 dB SPL at 1 m (ANSI S3.5-1997); 94 dB SPL at 5.19 cm, where the microphone
is. 2 mV/Pa and +8 dBu for 124 dB SPL: -51.8 dBu, 30 dB of gain and 94 dB SPL at 1 m.
"""

from __future__ import annotations

import pytest

from levelhead.verdicts.enough.straight import STRAIGHT
from levelhead.verdicts.told.finding import Finding
from levelhead.verdicts.told.severity import Severity
from tests.verdicts.shows import worst_of


def straight(setting: str, *, sensitivity: str = "2 mV/Pa") -> Finding | None:
    return worst_of(
        f"""
        items:
          mic: {{type: mic-vocal-dynamic, figures: {{capsule.sensitivity: {sensitivity}}}}}
          pow:
            type: loudspeaker-powered-12
            figures: {{driver.sensitivity.level: 124 dB SPL}}
        sources: {{who: {{type: voice-talker, at: mic, distance: 5.19 cm}}}}
        links: [{{from: mic.out, to: pow.in, via: [cable-xlr 10 m]}}]
        settings: {{pow: {{input: {setting}}}}}
        """,
        STRAIGHT,
    )


def test_an_input_for_microphones_is_fine() -> None:
    finding = straight("mic")
    assert finding is not None
    assert finding.severity is Severity.FINE
    assert finding.why[0].value == pytest.approx(94.3, abs=0.6)


def test_a_line_input_makes_it_no_louder() -> None:
    """30 dB less: 64 dB SPL, where the voice alone has 68."""
    finding = straight("line")
    assert finding is not None
    assert finding.severity is Severity.FAILS
    assert finding.why[0].value == pytest.approx(64.3, abs=0.6)
    assert finding.why[0].limit == pytest.approx(68.3)


@pytest.mark.parametrize(
    ("sensitivity", "severity"),
    [
        ("6.6 mV/Pa", Severity.FINE),  # just this side of 6 dB louder than without it
        ("6.2 mV/Pa", Severity.CARE),  # just that side, and nothing before it turns up
    ],
)
def test_twice_the_pressure_is_worth_a_loudspeaker(sensitivity: str, severity: Severity) -> None:
    """From 64.2 dB SPL at 2 mV/Pa: 74.3 dB SPL takes 6.4 mV/Pa."""
    finding = straight("line", sensitivity=sensitivity)
    assert finding is not None
    assert finding.severity is severity


def test_a_desk_between_is_judged_at_its_meter() -> None:
    finding = worst_of(
        """
        items:
          mic: {type: mic-vocal-dynamic}
          desk: {type: mixer-analogue-16}
          pow: {type: loudspeaker-powered-12}
        sources: {who: {type: voice-talker, at: mic}}
        links:
          - {from: mic.out, to: desk.ch1.mic, via: [cable-xlr 10 m]}
          - {from: desk.main-left.out, to: pow.in, via: [cable-xlr 10 m]}
        settings: {desk: {ch1: {fader: 0 dB}}}
        """,
        STRAIGHT,
    )
    assert finding is None
