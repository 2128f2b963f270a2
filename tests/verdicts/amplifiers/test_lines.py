"""Copper on the way to loudspeakers, and lines of the wrong voltage."""

from __future__ import annotations

import math

import pytest

from levelhead.verdicts.amplifiers.lines import CABLE, LINE
from levelhead.verdicts.amplifiers.loads import LOAD
from levelhead.verdicts.told.finding import Finding
from levelhead.verdicts.told.severity import Severity
from tests.verdicts.shows import judged_text, worst_of


def by_cable(length_m: float) -> Finding:
    """8 ohm behind so much of 1.5 mm2."""
    found = worst_of(
        f"""
        items:
          a: {{type: amplifier-two-channel}}
          b: {{type: loudspeaker-passive-12, figures: {{in.impedance: 8 ohm}}}}
        links: [{{from: a.ch1.out, to: b.in, via: [cable-loudspeaker-1-5 {length_m} m]}}]
        """,
        CABLE,
    )
    assert found is not None
    return found


@pytest.mark.reference("IEC 60228, class 5: 1.5 mm2 has at most 13.3 ohm/km")
@pytest.mark.parametrize(
    ("length_m", "severity"),
    [
        (5, Severity.FINE),
        (36, Severity.FINE),
        (44, Severity.CARE),
        (120, Severity.CARE),
        (140, Severity.FAILS),
    ],
)
def test_level_lost_in_copper(length_m: float, severity: Severity) -> None:
    """``20 lg (1 + 2 l r / Z)``; at 1 kHz a part of the 8 ohm is the coil: a bit less."""
    finding = by_cable(length_m)
    assert finding.severity is severity
    by_hand_db = 20 * math.log10(1 + 2 * length_m * 0.0133 / 8)
    assert finding.why[0].value == pytest.approx(by_hand_db, rel=0.08)


def test_the_copper_that_it_would_take_is_named() -> None:
    """A cable of 1.5 mm2 loses 1.57 dB; by hand 1.5 times (10^(1.57/20) - 1) over that of 1 dB."""
    finding = by_cable(60)
    assert "1 dB would take about 2.3 mm2, half a dB about 4.8 mm2" in finding.what
    assert "damping factor" in finding.what


def on_line(volts: float) -> Finding:
    """A loudspeaker for 70.7 V on a low-impedance amplifier of this ceiling."""
    found = worst_of(
        f"""
        items:
          a: {{type: amplifier-two-channel, figures: {{ch.power.ceiling: {volts} V}}}}
          b: {{type: loudspeaker-line-70v}}
        links: [{{from: a.ch1.out, to: b.in, via: [lead-loudspeaker-bare 5 m]}}]
        """,
        LINE,
    )
    assert found is not None
    return found


@pytest.mark.parametrize(
    ("volts", "severity"),
    [
        (70.7, Severity.FINE),
        (79.0, Severity.FINE),
        (80.0, Severity.HARM),
        (100.0, Severity.HARM),
        (63.5, Severity.FINE),
        (62.5, Severity.CARE),
        (49.0, Severity.CARE),
        (20.0, Severity.FAILS),
    ],
)
def test_volts_against_those_of_the_line(volts: float, severity: Severity) -> None:
    """Watts go with the square: 100 V on 70.7 V is twice the power."""
    finding = on_line(volts)
    assert finding.severity is severity
    assert finding.why[0].value == pytest.approx(20 * math.log10(volts / 70.7), abs=0.05)


def test_a_loudspeaker_hangs_on_the_tap_that_its_cable_comes_from() -> None:
    """Two taps of one winding are plugged: 5 m of 2.5 mm2 lose 0.1 dB at 8 ohm.

    100 V of the other tap against the 21.9 V there would be 13.2 dB.
    """
    judged = judged_text(
        """
        items:
          amp: {type: amplifier-line-100v}
          horn: {type: loudspeaker-horn-100v}
          box: {type: loudspeaker-passive-8}
        links:
          - {from: amp.out-100v, to: horn.in, via: [cable-loudspeaker-bare 5 m]}
          - {from: amp.out-4ohm, to: box.in, via: [lead-loudspeaker-bare 5 m]}
        """
    )
    found = {each.where: each for each in judged.findings if each.code == CABLE}
    assert found.keys() == {"horn.in", "box.in"}
    assert all(each.severity is Severity.FINE for each in found.values())
    by_hand_db = 20 * math.log10(1 + 2 * 5 * 0.0083 / 8)  # 2.5 mm2 with its connectors
    assert found["box.in"].why[0].value == pytest.approx(by_hand_db, abs=0.05)


CHAIN = """
    items:
      amp: {type: amplifier-two-channel}
      one: {type: loudspeaker-passive-12}
      two: {type: loudspeaker-passive-12}
    links:
      - {from: amp.ch1.out, to: one.in, via: [THIN 60 m]}
      - {from: one.link, to: two.in, via: [THIN 10 m]}
    """


def test_the_copper_of_a_chain_is_that_of_all_its_cables() -> None:
    """5.3 dB in two cables of 0.75 mm2: what is named brings it to 1 dB, as the next size shows."""
    thin = worst_of(CHAIN.replace("THIN", "cable-loudspeaker-0-75"), CABLE)
    assert thin is not None
    assert thin.severity is Severity.FAILS
    assert "1 dB would take about 5.3 mm2" in thin.what
    loss_db = {}
    for name in ("cable-loudspeaker-4", "cable-loudspeaker-6"):
        found = worst_of(CHAIN.replace("THIN", name), CABLE)
        assert found is not None
        loss_db[name] = found.why[0].value or 0.0
    assert loss_db["cable-loudspeaker-6"] < 1 < loss_db["cable-loudspeaker-4"]


def test_a_line_that_sags_under_nearly_a_short_is_not_told_besides() -> None:
    """8 ohm on a 100 V line: that the horns get 3 dB less, and the copper, follow from it."""
    text = """
        items:
          amp: {type: amplifier-line-100v}
          horn: {type: loudspeaker-horn-100v}
          old: {type: loudspeaker-passive-8}
        links:
          - {from: amp.out-100v, to: horn.in, via: [cable-loudspeaker-bare 40 m]}
          - {from: horn.link, to: old.in, via: [lead-loudspeaker-bare 5 m]}
        """
    bad = [each.code for each in judged_text(text).worse_than_fine()]
    assert bad == [LOAD]
