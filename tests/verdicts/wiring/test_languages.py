"""Sockets that speak another language, and digital lines."""

from __future__ import annotations

import math

import pytest

from levelhead.verdicts.told.severity import Severity
from levelhead.verdicts.wiring.languages import EYE, LANGUAGE
from tests.verdicts.shows import worst_of


def line(cable: str, *, swing: str = "5 V", least: str = "0.2 V", pulse: str = "163 ns") -> str:
    """An AES3 output into an AES3 input."""
    return f"""
        items:
          s: {{type: digital-out-aes3, figures: {{out.swing: {swing}, out.pulse: {pulse}}}}}
          r: {{type: digital-in-aes3, figures: {{in.least-swing: {least}}}}}
        links: [{{from: s.out, to: r.in, via: [{cable}]}}]
        """


@pytest.mark.parametrize(
    ("swing", "severity"),
    [
        ("5 V", Severity.FINE),
        ("0.41 V", Severity.FINE),  # 6.2 dB over 0.2 V
        ("0.39 V", Severity.CARE),  # 5.8 dB
        ("0.21 V", Severity.CARE),  # 0.4 dB
        ("0.19 V", Severity.FAILS),  # -0.4 dB
    ],
)
@pytest.mark.reference("AES3, IEC 60958-4: an input reads 0.2 V peak to peak")
def test_the_swing_that_is_left_decides(swing: str, severity: Severity) -> None:
    finding = worst_of(line("cable-digital-110 5 m", swing=swing), EYE)
    assert finding is not None
    assert finding.severity is severity


@pytest.mark.parametrize(
    ("metres", "severity"),
    [(10, Severity.FINE), (25, Severity.FINE), (40, Severity.FAILS), (100, Severity.FAILS)],
)
def test_a_microphone_cable_closes_the_eye_when_it_is_long(metres: int, severity: Severity) -> None:
    """115 pF/m behind 55 ohm: 1 - 2 exp(-t / RC) of the swing is left, t 163 ns."""
    finding = worst_of(line(f"cable-xlr {metres} m"), EYE)
    assert finding is not None
    left = 1 - 2 * math.exp(-163e-9 / (55 * 115e-12 * metres))
    assert finding.why[1].value == pytest.approx(100 * max(0, left), abs=0.5)
    assert finding.severity is severity


def test_a_cable_of_the_right_impedance_is_a_line() -> None:
    finding = worst_of(line("cable-digital-110 100 m"), EYE)
    assert finding is not None
    assert finding.severity is Severity.FINE


@pytest.mark.parametrize(
    ("source", "into", "severity"),
    [
        ("digital-out-aes3", "mixer-compact, ch1.mic", Severity.FAILS),
        ("feed-line", "digital-in-aes3, in", Severity.FAILS),
        ("feed-line", "mixer-compact, ch1.mic", None),
        ("digital-out-aes3", "digital-in-aes3, in", None),
    ],
)
def test_both_ends_have_to_speak_one_language(
    source: str, into: str, severity: Severity | None
) -> None:
    kind, _, socket = into.partition(", ")
    finding = worst_of(
        f"""
        items: {{s: {{type: {source}}}, d: {{type: {kind}}}}}
        links: [{{from: s.out, to: d.{socket}, via: [cable-xlr 5 m]}}]
        """,
        LANGUAGE,
    )
    assert (None if finding is None else finding.severity) is severity
