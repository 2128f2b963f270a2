"""Outputs that meet on one wire."""

from __future__ import annotations

import math

import pytest

from levelhead.verdicts.loading.joined import JOINED
from levelhead.verdicts.told.severity import Severity
from tests.verdicts.shows import judged_text, worst_of

PAIR = """
items:
  one: {{type: feed-line, figures: {{{figures}}}}}
  two: {{type: feed-line, figures: {{{figures}}}}}
  box: {{type: loudspeaker-powered-12, figures: {{in.impedance: 1 Mohm, in.common-mode: 1 Mohm}}}}
links: [{{ends: {{first: one.out, second: two.out, b: box.in}}, via: [{lead} 1 m]}}]
"""

FIGURES = "out.impedance: 100 ohm, output.ceiling: 10 V, out.current: {} mA"


@pytest.mark.parametrize(
    ("limit_ma", "severity"),
    [
        (20, Severity.FAILS),
        (139, Severity.FAILS),  # just this side of 141.2 mA peak
        (143, Severity.FINE),  # just that side
        (600, Severity.FINE),
    ],
)
def test_the_current_through_both_outputs_decides(limit_ma: float, severity: Severity) -> None:
    """Two of 10 V rms against one another through 200 ohm: 100 mA rms, 141 mA peak."""
    finding = worst_of(
        PAIR.format(figures=FIGURES.format(limit_ma), lead="lead-y-xlr-join"), JOINED
    )
    assert finding is not None
    assert finding.severity is severity
    margin_db = 20 * math.log10(limit_ma / 141.4)
    assert finding.margin == pytest.approx(margin_db, abs=0.1)  # the wires have their part


def test_resistors_in_each_leg_make_it_fine() -> None:
    finding = worst_of(PAIR.format(figures=FIGURES.format(20), lead="lead-y-sum"), JOINED)
    assert finding is None or finding.severity is Severity.FINE


def test_outputs_that_share_only_their_ground_are_not_joined() -> None:
    judgement = judged_text("""
        items: {k: {type: keyboard-stereo}, d: {type: mixer-line-trims-wide}}
        links:
          - {from: k.out-left, to: d.ch1.line, via: [cable-jack 3 m]}
          - {from: k.out-right, to: d.ch2.line, via: [cable-jack 3 m]}
        """)
    assert not [each for each in judgement.findings if each.code == JOINED]
