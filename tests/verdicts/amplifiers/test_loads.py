"""Loads on loudspeaker outputs: the least that an amplifier takes, and what a tap is made for."""

from __future__ import annotations

import pytest

from levelhead.verdicts.amplifiers.loads import LOAD, MATCH
from levelhead.verdicts.finding import Finding
from levelhead.verdicts.severity import Severity
from tests.verdicts.shows import worst_of


def on_amplifier(load_ohm: float, least_ohm: float = 4.0) -> Finding:
    """A cabinet on an amplifier, by hardly any copper."""
    found = worst_of(
        f"""
        items:
          a: {{type: amplifier-two-channel, figures: {{ch.out.min-load: {least_ohm} ohm}}}}
          b: {{type: loudspeaker-passive-12, figures: {{in.impedance: {load_ohm} ohm}}}}
        links: [{{from: a.ch1.out, to: b.in, via: [cable-loudspeaker-4 0.1 m]}}]
        """,
        LOAD,
    )
    assert found is not None
    return found


@pytest.mark.reference("IEC 60268-5: the least modulus is 0.8 of the rated impedance or more")
@pytest.mark.parametrize(
    ("load_ohm", "severity"),
    [
        (8.0, Severity.FINE),
        (4.0, Severity.FINE),  # its dips to 3.2 ohm are what the rating allows for
        (3.85, Severity.FINE),  # within what ratings are good for
        (3.7, Severity.FAILS),
        (2.67, Severity.FAILS),
    ],
)
def test_a_load_against_the_least_that_the_amplifier_takes(
    load_ohm: float, severity: Severity
) -> None:
    finding = on_amplifier(load_ohm)
    assert finding.severity is severity
    assert finding.why[0].value == pytest.approx(load_ohm, rel=0.03)
    assert (finding.caution is None) is (severity is Severity.FINE)


def test_a_load_that_only_a_thin_lead_keeps_up_is_told() -> None:
    """2.67 ohm on 4: 0.8 of it are 2.1, under 3.2; with 1.3 ohm of copper (IEC 60228) it passes."""
    found = worst_of(
        """
        items:
          a: {type: amplifier-two-channel, figures: {ch.out.min-load: 4 ohm}}
          b: {type: loudspeaker-passive-12, figures: {in.impedance: 2.67 ohm}}
        links: [{from: a.ch1.out, to: b.in, via: [cable-loudspeaker-0-75 25 m]}]
        """,
        LOAD,
    )
    assert found is not None
    assert found.severity is Severity.CARE
    assert "sees 2.7 ohm, rated down to 4 ohm. It holds while the leads stay" in found.what
    assert on_amplifier(2.67).severity is Severity.FAILS


def test_each_half_of_a_bridge_sees_half() -> None:
    finding = worst_of(
        """
        items:
          a: {type: amplifier-bridgeable}
          b: {type: loudspeaker-passive-12, figures: {in.impedance: 4 ohm}}
        links: [{from: a.bridge, to: b.in, via: [cable-loudspeaker-4 1 m]}]
        settings: {a: {mode: bridge}}
        """,
        LOAD,
    )
    assert finding is not None
    assert finding.severity is Severity.FAILS
    assert "each half sees 2 ohm" in finding.what
    assert finding.why[2].value == pytest.approx(2.0, rel=0.03)


def on_tap(tap: str, load_ohm: float) -> Severity:
    """A cabinet on a tap of valves."""
    found = worst_of(
        f"""
        items:
          h: {{type: guitar-head-valve}}
          c: {{type: guitar-cabinet-16, figures: {{in.impedance: {load_ohm} ohm}}}}
        links: [{{from: h.{tap}, to: c.in, via: [cable-loudspeaker-jack 1 m]}}]
        """,
        MATCH,
    )
    assert found is not None
    return found.severity


@pytest.mark.parametrize(
    ("tap", "load_ohm", "severity"),
    [
        ("out-16ohm", 16.0, Severity.FINE),
        ("out", 11.5, Severity.FINE),
        ("out", 12.5, Severity.CARE),
        ("out", 16.0, Severity.CARE),
        ("out", 4.0, Severity.CARE),
        ("out-4ohm", 16.0, Severity.FAILS),
        ("out-16ohm", 4.0, Severity.FAILS),
    ],
)
def test_a_tap_wants_its_load_neither_less_nor_more(
    tap: str, load_ohm: float, severity: Severity
) -> None:
    assert on_tap(tap, load_ohm) is severity


@pytest.mark.reference("constant-voltage practice: watts add, the load is U squared over P")
@pytest.mark.parametrize(
    ("horns", "severity"), [(3, Severity.FINE), (4, Severity.FINE), (5, Severity.FAILS)]
)
def test_watts_of_horns_on_a_line_add(horns: int, severity: Severity) -> None:
    """Horns of 30 W on 120 W: four are the most; below their range their transformers may dip."""
    names = [f"h{each}" for each in range(horns)]
    outs = ["amp.out-100v", *(f"{each}.link" for each in names)]
    items = [f"{each}: {{type: loudspeaker-horn-100v}}" for each in names]
    links = [
        f"{{from: {out}, to: {each}.in, via: [cable-loudspeaker-bare 5 m]}}"
        for out, each in zip(outs, names, strict=False)
    ]
    taps = [f"{each}: {{tap: 30-w}}" for each in names]
    found = worst_of(
        f"""
        items: {{amp: {{type: amplifier-line-100v}}, {", ".join(items)}}}
        links: [{", ".join(links)}]
        settings: {{{", ".join(taps)}}}
        """,
        LOAD,
    )
    assert found is not None
    assert found.severity is severity
    assert found.why[0].value == pytest.approx(100**2 / (30 * horns), rel=0.02)


def test_a_dip_below_what_the_amplifier_takes_is_told_with_its_ohms() -> None:
    """A core of 20 mH: 126 ohm at 1 kHz would do for 83 ohm, and 16 ohm at 125 Hz do not."""
    found = worst_of(
        """
        items:
          amp: {type: amplifier-line-100v}
          box:
            type: loudspeaker-line-100v
            figures: {core.magnetising: 20 mH, core.primary: 10 ohm}
        links: [{from: amp.out-100v, to: box.in, via: [cable-loudspeaker-bare 5 m]}]
        """,
        LOAD,
    )
    assert found is not None
    assert found.severity is Severity.FAILS
    assert "at 1 kHz and" in found.what
    assert "at its lowest, rated down to 83 ohm" in found.what
