"""Combined sockets: the plug chooses the half."""

from __future__ import annotations

import pytest

from levelhead.verdicts.told.severity import Severity
from levelhead.verdicts.wiring.halves import OTHER_HALF
from tests.verdicts.shows import worst_of


def fed(level_dbu: float, socket: str, lead: str) -> str:
    """A line feed with peaks 9 dB over its level, into a recorder with combined sockets."""
    figures = f"generator.level: {level_dbu} dBu, generator.peak-to-rms: 12.01 dB"
    return f"""
        items:
          f: {{type: feed-line, figures: {{{figures}, out.impedance: 1 ohm}}}}
          r: {{type: recorder-combo, figures: {{ch.preamp.ceiling: +40 dBu, ch.preamp.gain: 0 dB}}}}
        links: [{{from: f.out, to: r.ch1.{socket}, via: [{lead} 1 m]}}]
        """


@pytest.mark.parametrize(
    ("level_dbu", "severity"),
    [
        (-20.0, Severity.FINE),
        (-3.1, Severity.FINE),  # peaks of +5.9 dBu, just this side
        (-2.9, Severity.FAILS),  # peaks of +6.1 dBu, just that side
        (4.0, Severity.FAILS),
    ],
)
def test_the_xlr_half_takes_6_dbu(level_dbu: float, severity: Severity) -> None:
    finding = worst_of(fed(level_dbu, "mic", "cable-xlr"), OTHER_HALF)
    assert finding is not None
    assert finding.severity is severity
    assert finding.margin == pytest.approx(6 - (level_dbu + 9), abs=0.05)


def test_the_jack_half_takes_16_db_more() -> None:
    finding = worst_of(fed(4.0, "line", "lead-xlr-jack-balanced"), OTHER_HALF)
    assert finding is not None
    assert finding.severity is Severity.FINE
    assert finding.margin == pytest.approx(9.0, abs=0.1)


def test_a_socket_for_one_plug_has_no_other_half() -> None:
    text = """
        items: {f: {type: feed-line}, d: {type: mixer-compact}}
        links: [{from: f.out, to: d.ch1.mic, via: [cable-xlr 5 m]}]
        """
    assert worst_of(text, OTHER_HALF) is None
