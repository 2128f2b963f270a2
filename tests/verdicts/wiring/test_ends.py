"""Leads between two sockets: what they bring, what they short, what they join."""

from __future__ import annotations

import math

import pytest

from levelhead.verdicts.told.severity import Severity
from levelhead.verdicts.wiring.ends import NO_INPUT, NO_OUTPUT
from levelhead.verdicts.wiring.lost import LOST
from levelhead.verdicts.wiring.shorted import SHORTED
from tests.verdicts.shows import judged_text, worst_of


def open_leg(common_mode_ohm: float) -> str:
    """A cross-coupled output whose cold leg is left open, into 10 kohm."""
    return f"""
        items:
          f: {{type: feed-line}}
          d: {{type: mixer-analogue-16, figures: {{main.out.common-mode: {common_mode_ohm} ohm}}}}
          r: {{type: recorder-line, figures: {{in-left.impedance: 10 kohm}}}}
        links:
          - {{from: f.out, to: d.ch1.line, via: [lead-xlr-jack-balanced 3 m]}}
          - {{from: d.main-left.out, to: r.in-left, via: [lead-xlr-phono-open 3 m]}}
        """


@pytest.mark.parametrize(
    ("common_mode_ohm", "severity"),
    [
        (2.0e3, Severity.FINE),  # 6.8 dB: just this side
        (2.6e3, Severity.CARE),  # 7.08 dB: just that side
        (20.0e3, Severity.CARE),  # 12.0 dB
        (79.0e3, Severity.CARE),  # 19.9 dB
        (82.0e3, Severity.FAILS),  # 20.2 dB
    ],
)
def test_the_way_back_through_the_output_decides(
    common_mode_ohm: float, severity: Severity
) -> None:
    """Self, Small Signal Audio Design: the floating emf returns through its common-mode ohms."""
    finding = worst_of(open_leg(common_mode_ohm), LOST)
    assert finding is not None
    beside = 1 / (1 / common_mode_ohm + 1 / 10e3)
    lost_db = -20 * math.log10(beside / (beside + common_mode_ohm))
    assert finding.why[0].value == pytest.approx(lost_db, abs=0.05)
    assert finding.severity is severity


def test_a_lost_leg_silences_a_coil() -> None:
    """Nothing of a floating source comes through one core."""
    finding = worst_of(
        """
        items: {m: {type: mic-vocal-dynamic}, d: {type: mixer-compact}}
        sources: {v: {type: voice-singer, at: m}}
        links: [{from: m.out, to: d.ch1.mic, via: [cable-xlr-pin-3-open 5 m]}]
        """,
        LOST,
    )
    assert finding is not None
    assert finding.severity is Severity.FAILS


@pytest.mark.parametrize(("length", "said"), [("10 m", "way back"), ("9 km", "9000 m")])
def test_a_very_long_lead_is_told_as_that(length: str, said: str) -> None:
    """Copper and capacitance of 9 km take 14 dB at 1 kHz; that is no fault of a pin."""
    finding = worst_of(
        f"""
        items: {{f: {{type: feed-line}}, d: {{type: loudspeaker-powered-12}}}}
        links: [{{from: f.out, to: d.in, via: [cable-xlr {length}]}}]
        """
        if length == "9 km"
        else open_leg(20.0e3),
        LOST,
    )
    assert finding is not None
    assert finding.severity is Severity.CARE
    assert said in finding.what


def short(limit_ma: float, lead: str = "lead-xlr-phono") -> str:
    """A driven pair of 75 ohm each leg and 10 V, one leg held: 5 V / 75 ohm."""
    figures = f"out.impedance: 150 ohm, output.ceiling: 10 V, out.current: {limit_ma} mA"
    return f"""
        items:
          f: {{type: feed-line, figures: {{{figures}}}}}
          r: {{type: recorder-line}}
        links: [{{from: f.out, to: r.in-left, via: [{lead} 1 m]}}]
        """


@pytest.mark.parametrize(
    ("limit_ma", "severity"),
    [
        (20, Severity.CARE),
        (93, Severity.CARE),  # 66.6 mA rms are 94.2 mA of peak: just this side
        (95, Severity.FINE),  # just that side
        (300, Severity.FINE),
    ],
)
def test_the_current_of_the_held_leg_decides(limit_ma: float, severity: Severity) -> None:
    finding = worst_of(short(limit_ma), SHORTED)
    assert finding is not None
    assert finding.severity is severity
    assert finding.why[0].value == pytest.approx(0.0666, rel=0.01)


def test_an_open_leg_is_not_a_short() -> None:
    assert worst_of(short(20, "lead-xlr-phono-open"), SHORTED) is None


def test_a_mono_plug_loses_a_side_of_a_stereo_output() -> None:
    finding = worst_of(
        """
        items: {l: {type: laptop}, d: {type: mixer-line-trims-wide}}
        links: [{from: l.phones, to: d.ch1.line, via: [lead-mini-jack 2 m]}]
        """,
        SHORTED,
    )
    assert finding is not None
    assert (finding.where, finding.severity) == ("l.phones.right", Severity.CARE)


def test_two_inputs_drive_nothing() -> None:
    finding = worst_of(
        """
        items: {a: {type: mixer-compact}, b: {type: mixer-compact}}
        links: [{from: a.ch1.line, to: b.ch1.line, via: [cable-jack-balanced 3 m]}]
        """,
        NO_OUTPUT,
    )
    assert finding is not None
    assert finding.severity is Severity.FAILS


def test_two_outputs_have_nobody_to_listen() -> None:
    finding = worst_of(
        """
        items: {a: {type: feed-line}, b: {type: feed-line}}
        links: [{from: a.out, to: b.out, via: [cable-xlr 5 m, adaptor-xlr-turnaround]}]
        """,
        NO_INPUT,
    )
    assert finding is not None
    assert finding.severity is Severity.FAILS
    assert finding.why[0].unit == "A"


def test_a_balanced_line_is_fine_in_all_of_it() -> None:
    judgement = judged_text("""
        items: {f: {type: feed-line}, b: {type: loudspeaker-powered-12}}
        links: [{from: f.out, to: b.in, via: [cable-xlr 25 m]}]
        """)
    wiring = [each for each in judgement.findings if each.family == "wiring"]
    assert {each.severity for each in wiring} == {Severity.FINE}
