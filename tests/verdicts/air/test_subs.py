"""Subwoofers: in phase with what stands above them, or not."""

from __future__ import annotations

import pytest

from levelhead.verdicts.air.limits import SUB_CARE_DEG
from levelhead.verdicts.air.words import SUB
from levelhead.verdicts.told.finding import Finding
from tests.verdicts.air.halls import CARE, FINE, judged

SPEED_M_PER_S = 343.2


def sub(*, forward_m: float = 0.0, turned: bool = False) -> Finding | None:
    """A subwoofer so far before a top that it feeds, by a lead with or without swapped pins."""
    via = "[cable-xlr-reversed 2 m]" if turned else "[cable-xlr 2 m]"
    text = f"""levelhead: 1
show: {{name: Disco}}
items:
  player: {{type: player-pro, label: Player}}
  desk: {{type: mixer-compact, label: Desk}}
  sub: {{type: subwoofer-powered, label: Sub, at: [0, {forward_m}, 0.5], aim: [0, 20, 0.5]}}
  top: {{type: loudspeaker-powered-12, label: Top, at: [0, 0, 0.5], aim: [0, 20, 0.5]}}
links:
  - {{from: player.out-left, to: desk.st1.in-left, via: [lead-xlr-jack-balanced 3 m]}}
  - {{from: desk.main-left.out, to: sub.in-left, via: [cable-xlr 10 m]}}
  - {{from: sub.out-left, to: top.in, via: {via}}}
settings: {{desk: {{st1: {{fader: -10 dB}}}}, sub: {{level: -15 dB}}, top: {{level: -10 dB}}}}
room: {{where: outdoors}}
areas: {{floor: {{at: [0, 20, 0.5]}}}}
"""
    found = [each for each in judged(text).findings if each.code == SUB]
    assert len(found) <= 1
    return found[0] if found else None


def test_a_crossover_made_for_it_adds_up() -> None:
    """Linkwitz-Riley of fourth order leaves both in phase."""
    found = sub()
    assert found is not None
    assert found.severity is FINE
    assert float(found.why[0].value or 0) < 20.0


def test_a_lead_with_swapped_pins_turns_it() -> None:
    """Half a turn: both together are less than one."""
    found = sub(turned=True)
    assert found is not None
    assert found.severity is CARE
    assert float(found.why[0].value or 0) > 160.0
    assert "polarity" in found.what


def test_distance_turns_it_by_its_share_of_the_wave() -> None:
    """On both sides of 120 degrees, at the frequency at which they meet."""
    level = sub()
    assert level is not None
    start_deg = float(level.why[0].value or 0)
    hertz = 100.0 if "100 Hz" in level.what else 0.0
    assert hertz
    for deg, severity in ((SUB_CARE_DEG - 25, FINE), (SUB_CARE_DEG + 25, CARE)):
        found = sub(forward_m=deg / 360 * SPEED_M_PER_S / hertz)
        assert found is not None
        assert found.severity is severity
        assert float(found.why[0].value or 0) == pytest.approx(deg, abs=start_deg + 12)
