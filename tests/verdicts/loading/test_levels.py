"""Loading: level and tone that the loads of an output cost."""

from __future__ import annotations

import math

import pytest

from levelhead.chain.solution import Solution
from levelhead.verdicts.loading.levels import LEVEL, TONE
from levelhead.verdicts.told.severity import Severity
from tests.verdicts.cases import case, found, the
from tests.verdicts.shows import judged_text

LOAD_OHM = 1000.0


def loaded(impedance: str, **more: str) -> Solution:
    """A line output of this impedance on 1 kohm."""
    return case(
        {
            "t": ("tone", {"out.impedance": impedance, **more}),
            "f": ("frail", {"in.impedance": f"{LOAD_OHM} ohm", "in.common-mode": "1 Gohm"}),
        },
        [("t.out", "f.in")],
    )


@pytest.mark.parametrize(
    ("source_ohm", "severity"),
    [
        (100.0, Severity.FINE),
        (411.0, Severity.FINE),  # just this side of 3 dB: 2.99
        (423.0, Severity.CARE),  # just that side: 3.06, beyond the rounding
        (1000.0, Severity.CARE),
        (8900.0, Severity.CARE),  # 19.9 dB
        (9150.0, Severity.FAILS),  # 20.1 dB: nothing makes that up
    ],
)
def test_the_loss_decides(source_ohm: float, severity: Severity) -> None:
    """The voltage divider: 20 lg (1 + Zs / Zl)."""
    finding = the(loaded(f"{source_ohm} ohm"), LEVEL)
    lost_db = 20 * math.log10(1 + source_ohm / LOAD_OHM)
    assert finding.severity is severity
    limit_db = 20 if severity is Severity.FAILS else 3
    assert finding.margin == pytest.approx(limit_db - lost_db, abs=0.01)


@pytest.mark.parametrize(
    ("corner_hz", "severity"),
    [
        (3.0, Severity.FINE),
        (31.0, Severity.FINE),  # at 31.6 Hz 2.9 dB are lost
        (32.5, Severity.CARE),  # 3.1 dB
        (94.0, Severity.CARE),  # 9.94 dB
        (96.0, Severity.FAILS),  # 10.1 dB
    ],
)
def test_the_lowest_band_that_music_uses_decides_on_the_tone(
    corner_hz: float, severity: Severity
) -> None:
    """Two coupling capacitors in series with the load: a high-pass of the first order."""
    each_f = 2 / (2 * math.pi * corner_hz * LOAD_OHM)
    finding = the(loaded("1 mohm", **{"out.coupling": f"{each_f} F"}), TONE)
    lost_db = 10 * math.log10(1 + (corner_hz / 31.623) ** 2)
    assert finding.severity is severity
    assert finding.why[0].value == pytest.approx(lost_db, abs=0.05)


def guitar(into: str, cable: str) -> dict[str, Severity]:
    """Verdicts on a guitar, by code."""
    kind, _, socket = into.partition(".")
    judgement = judged_text(f"""
        items: {{g: {{type: guitar-electric-passive}}, x: {{type: {kind}}}}}
        links: [{{from: g.out, to: x.{socket}, via: [{cable}]}}]
        """)
    return {each.code: each.severity for each in judgement.findings if each.where == "g.out"}


def test_the_peak_of_a_coil_is_no_fault() -> None:
    assert guitar("guitar-amp-valve.in", "cable-jack 5 m")[TONE] is Severity.FINE


@pytest.mark.parametrize(
    ("into", "cable", "severity"),
    [
        ("guitar-amp-valve.in", "cable-jack 20 m", Severity.CARE),
        ("mixer-compact.ch1.line", "cable-jack 5 m", Severity.FAILS),
    ],
)
def test_a_coil_loses_its_tone_on_long_leads_and_low_inputs(
    into: str, cable: str, severity: Severity
) -> None:
    assert guitar(into, cable)[TONE] is severity


def test_headphones_are_what_a_headphone_output_is_made_for() -> None:
    judgement = judged_text("""
        items: {d: {type: mixer-analogue-16}, h: {type: headphones}}
        links: [{from: d.phones, to: h.in, via: [cable-jack-balanced 1 m]}]
        """)
    losses = [each.severity for each in judgement.findings if each.code == LEVEL]
    assert losses == [Severity.FINE, Severity.FINE]  # left and right


def test_a_leg_that_is_held_is_no_load() -> None:
    """Half of the level is lost, but to a wire: that is a matter of the wiring."""
    judgement = judged_text("""
        items: {f: {type: feed-line}, r: {type: recorder-line}}
        links: [{from: f.out, to: r.in-left, via: [lead-xlr-phono 2 m]}]
        """)
    assert not [each for each in judgement.findings if each.family == "loading"]


def test_the_impedance_that_is_a_guess_is_the_doubt() -> None:
    solution = case(
        {
            "t": ("tone", {"out.impedance": "400 ohm"}),
            "f": ("frail", {"in.impedance": "1 kohm", "in.common-mode": "1 Gohm"}),
        },
        [("t.out", "f.in")],
    )
    (finding,) = found(solution, LEVEL)
    assert all("impedance" in flip.input for flip in finding.flips)


def test_who_loses_the_tone_is_not_told_that_it_is_quieter_as_well() -> None:
    """A coil of 7 kohm and 3 H on 2 kohm: 20 lg (1 + 7 / 2) are 13 dB even at low notes."""
    text = """
    items:
      guitar: {type: guitar-electric-passive}
      desk: {type: mixer-compact}
    links: [{from: guitar.out, to: desk.ch1.mic, via: [lead-jack-xlr 3 m]}]
    """
    told = [each for each in judged_text(text).findings if each.where == "guitar.out"]
    worse = [each.code for each in told if each.severity is not Severity.FINE]
    assert worse == [TONE]
