"""Outputs of which nobody knows how they are made."""

from __future__ import annotations

import pytest

from levelhead.verdicts.told.severity import Severity
from levelhead.verdicts.wiring.unknown_outputs import UNKNOWN
from tests.verdicts.shows import worst_of

PHONO = """
    items: {{f: {{type: feed-line-unknown}}, r: {{type: recorder-line}}}}
    links: [{{from: f.out, to: r.in-left, via: [{lead} 3 m]}}]
    """


@pytest.mark.parametrize("lead", ["lead-xlr-phono", "lead-xlr-phono-open"])
def test_neither_wiring_of_pin_3_suits_every_output(lead: str) -> None:
    finding = worst_of(PHONO.format(lead=lead), UNKNOWN)
    assert finding is not None
    assert finding.severity is Severity.CARE
    assert "Try pin 3 tied to pin 1 first" in finding.what


@pytest.mark.reference("Rayburn, 'Balanced to unbalanced'; Self, Small Signal Audio Design (CV-39)")
@pytest.mark.parametrize(
    ("lead", "lost_db"),
    [
        # tied: the terminals of the symmetrical one lose half at the output itself, by its short
        ("lead-xlr-phono", (0.0, 0.0, 0.0)),
        ("lead-xlr-phono-open", (6.0, 11.3, 31.0)),
    ],
)
def test_each_branch_is_solved(lead: str, lost_db: tuple[float, float, float]) -> None:
    """15 kohm: par(20k, 15k) of 28.6k is 10.5 dB for cross-coupled; 300 pF for a transformer."""
    finding = worst_of(PHONO.format(lead=lead), UNKNOWN)
    assert finding is not None
    values = [each.value for each in finding.why]
    assert values == pytest.approx(lost_db, abs=1.0)


def test_on_a_balanced_line_it_does_not_matter() -> None:
    finding = worst_of(
        """
        items: {f: {type: feed-line-unknown}, b: {type: loudspeaker-powered-12}}
        links: [{from: f.out, to: b.in, via: [cable-xlr 20 m]}]
        """,
        UNKNOWN,
    )
    assert finding is not None
    assert finding.severity is Severity.FINE
