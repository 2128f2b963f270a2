"""Outputs hurt by what is plugged to them: driven terminals on earth."""

from __future__ import annotations

import math

import pytest

from levelhead.verdicts.harm.outputs import ONE_PRESS, SHORTED
from levelhead.verdicts.told.finding import Finding
from levelhead.verdicts.told.severity import Severity
from tests.verdicts.shows import judged_text, worst_of


def bridged(lift: str, current_a: float = 5.0, ceiling_v: float = 20.0) -> str:
    """A small amplifier with both terminals driven, on a DI box beside its loudspeaker."""
    return f"""
    items:
      amp: {{type: party-loudspeaker-extension, figures: {{power.ceiling: {ceiling_v} V,
             out.current: {current_a} A, out.impedance: 100 mohm}}}}
      di: {{type: di-passive}}
      box: {{type: loudspeaker-passive-12}}
      desk: {{type: mixer-compact}}
    links:
      - {{from: amp.out, to: di.in, via: [cable-loudspeaker-jack 1 m]}}
      - {{from: di.through, to: box.in, via: [lead-loudspeaker-jack 3 m]}}
      - {{from: di.out, to: desk.ch1.mic, via: [cable-xlr 20 m]}}
    settings: {{di: {{pad: 40-db, lift: {lift}}}}}
    """


def shorted(current_a: float) -> Finding | None:
    return worst_of(bridged("closed", current_a), SHORTED)


def test_a_driven_terminal_on_earth_is_a_short() -> None:
    """10 V rms through 50 mohm, the lead, 0.6 ohm of screen and the input's ground pin: 14 A."""
    finding = shorted(5.0)
    assert finding is not None
    assert finding.severity is Severity.HARM
    assert finding.why[0].value == pytest.approx(10 / (0.05 + 20 * 0.03 + 0.02), rel=0.05)
    assert finding.caution is not None
    assert "never" in finding.caution


@pytest.mark.parametrize(("factor", "is_harm"), [(0.99, True), (1.01, False)])
def test_what_the_output_gives_decides(factor: float, is_harm: bool) -> None:  # noqa: FBT001
    """Just this side and just that side of the current that flows."""
    found = shorted(5.0)
    assert found is not None
    assert found.why[0].value is not None
    limit_a = found.why[0].value * math.sqrt(2) * factor
    assert (shorted(limit_a) is not None) is is_harm


def test_an_open_lift_is_one_press_away_from_it() -> None:
    text = bridged("open")
    assert worst_of(text, SHORTED) is None
    finding = worst_of(text, ONE_PRESS)
    assert finding is not None
    assert finding.severity is Severity.CARE
    assert "ground lift" in finding.what


def test_an_amplifier_with_a_terminal_at_0_v_says_nothing() -> None:
    text = bridged("closed").replace("party-loudspeaker-extension", "guitar-amp-transistor")
    text = text.replace("out.impedance: 100 mohm", "out.impedance: 110 mohm")
    assert {each.code for each in judged_text(text).findings}.isdisjoint({SHORTED, ONE_PRESS})
