"""Several neighbours of one cable: each has a phase of its own, so powers add (rms of sums)."""

from __future__ import annotations

import pytest

from levelhead.verdicts.told.finding import Finding
from tests.verdicts.shows import judged_text

SHOW = """
    items:
      vox: {{type: mic-vocal-dynamic}}
      desk: {{type: mixer-compact}}
      hall: {{type: loudspeaker-powered-12}}
    sources: {{ana: {{type: voice-singer, at: vox, distance: 5 cm}}}}
    links:
      - {{from: vox.out, to: desk.ch1.mic, via: [cable-xlr 50 m], beside: [{beside}]}}
      - {{from: desk.main-left.out, to: hall.in, via: [cable-xlr 10 m]}}
    settings: {{desk: {{ch1: {{gain: 38 dB}}}}}}
    """


def told(beside: str) -> Finding:
    findings = judged_text(SHOW.format(beside=beside)).findings
    return next(each for each in findings if each.code == "hum.beside")


def test_two_alike_are_3_db_more_than_one() -> None:
    """Twice the power: 10 lg 2 = 3.01 dB."""
    one, two = told("dimmer-leads 10 m"), told("dimmer-leads 10 m, dimmer-leads 10 m")
    assert one.margin is not None
    assert two.margin is not None
    assert one.margin - two.margin == pytest.approx(3.01, abs=0.05)
    assert "one more neighbour" in two.what
    assert "neighbour" not in one.what


def test_one_far_weaker_changes_nothing() -> None:
    one, both = told("dimmer-leads 10 m"), told("dimmer-leads 10 m, mains-leads crossing")
    assert one.margin == pytest.approx(both.margin, abs=0.05)
