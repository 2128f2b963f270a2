"""The wrong lead: heat, screens, balance."""

from __future__ import annotations

import math

import pytest

from levelhead.verdicts.told.severity import Severity
from levelhead.verdicts.wiring.heat import HEAT, heat_limit_w_per_m
from levelhead.verdicts.wiring.leads import BALANCE, SCREEN
from tests.verdicts.shows import worst_of


def hot(ceiling_v: float, via: str) -> str:
    """An amplifier of this ceiling on 8 ohm."""
    return f"""
        items:
          f: {{type: feed-line}}
          a: {{type: amplifier-two-channel, figures: {{ch.power.ceiling: {ceiling_v} V}}}}
          b: {{type: loudspeaker-passive-12, figures: {{in.impedance: 8 ohm}}}}
        links:
          - {{from: f.out, to: a.ch1.in, via: [cable-xlr 3 m]}}
          - {{from: a.ch1.out, to: b.in, via: [{via}]}}
        """


INSTRUMENT = "adaptor-loudspeaker-jack, cable-jack 1 m, adaptor-loudspeaker-jack"


@pytest.mark.parametrize(
    ("ceiling_v", "severity"),
    [
        (15.0, Severity.FINE),
        (18.0, Severity.FINE),  # 0.49 W/m, just this side of a quarter: wound up it takes no more
        (18.5, Severity.CARE),  # 0.52 W/m, just that side
        (30.0, Severity.CARE),  # 1.35 W/m
        (36.0, Severity.CARE),  # 1.95 W/m, just this side
        (37.0, Severity.HARM),  # 2.06 W/m, just that side
        (49.0, Severity.HARM),
    ],
)
def test_heat_in_a_metre_of_instrument_lead(ceiling_v: float, severity: Severity) -> None:
    """Current squared times core and screen, 85 and 30 mohm/m (IEC 60228 for the core)."""
    finding = worst_of(hot(ceiling_v, INSTRUMENT), HEAT)
    assert finding is not None
    assert finding.severity is severity
    heat_w = (ceiling_v / 8.74) ** 2 * 0.115  # programme over the cabinet's curve, plugs and lead
    assert finding.why[0].value == pytest.approx(heat_w, rel=0.05)
    assert (finding.caution is not None) is (severity is Severity.HARM)


def test_a_loudspeaker_cable_stays_cool() -> None:
    finding = worst_of(hot(49.0, "cable-loudspeaker 10 m"), HEAT)
    assert finding is not None
    assert finding.severity is Severity.FINE


@pytest.mark.parametrize(
    ("tap", "load_ohm", "power_w"), [("out-4ohm", 4.0, 50.0), ("out", 8.0, 50.0)]
)
def test_heat_in_an_instrument_lead_behind_a_transformer(
    tap: str, load_ohm: float, power_w: float
) -> None:
    """50 W of valves (gear book) into the load of the tap: P = I squared R, and wound up too much.

    Programme meets more ohms than those of 1 kHz, and the windings keep some: half to nine tenths.
    """
    text = f"""
        items:
          head: {{type: guitar-head-valve}}
          cab: {{type: guitar-cabinet, figures: {{in.impedance: {load_ohm} ohm}}}}
        links: [{{from: head.{tap}, to: cab.in, via: [cable-jack 2 m]}}]
        """
    finding = worst_of(text, HEAT)
    assert finding is not None
    assert finding.severity is Severity.CARE
    heat_w = power_w / load_ohm * 0.115
    assert finding.why[0].value is not None
    assert 0.5 < finding.why[0].value / heat_w < 0.9


def test_heat_in_the_copper_of_a_100_v_line() -> None:
    """120 W at 100 V are 1.2 A: a thin bell wire stays cool, whatever hangs there in watts."""
    text = """
        items: {amp: {type: amplifier-line-100v}, box: {type: loudspeaker-line-100v}}
        links: [{from: amp.out-100v, to: box.in, via: [cable-loudspeaker-bare 20 m]}]
        """
    finding = worst_of(text, HEAT)
    assert finding is not None
    assert finding.severity is Severity.FINE
    assert finding.why[0].value is not None
    assert finding.why[0].value < 1.2**2 * 2 * 0.02


@pytest.mark.reference("IEC 60364-5-52:2009, Table B.52.2, method C: 2.5 mm2 copper, 27 A")
def test_the_limit_of_thick_copper_is_of_the_size_of_its_rated_current() -> None:
    """Between half and the whole of what installation tables allow for 2.5 mm2."""
    ohm_per_m = 0.00798
    allowed_a = math.sqrt(heat_limit_w_per_m(ohm_per_m) / (2 * ohm_per_m))
    assert 0.5 < allowed_a / 27 < 1.0


def bare(source: str, lead: str) -> str:
    """A source into an amplifier input of 1 Mohm."""
    return f"""
        items: {{s: {{type: {source}}}, a: {{type: guitar-amp-valve}}}}
        links: [{{from: s.out, to: a.in, via: [{lead}]}}]
        """


@pytest.mark.parametrize(
    ("lead", "severity"),
    [("cable-loudspeaker-jack 5 m", Severity.FAILS), ("cable-jack 5 m", None)],
)
def test_a_coil_needs_a_screen(lead: str, severity: Severity | None) -> None:
    finding = worst_of(bare("guitar-electric-passive", lead), SCREEN)
    assert (None if finding is None else finding.severity) is severity


def test_a_low_impedance_only_wants_care() -> None:
    finding = worst_of(bare("guitar-acoustic-preamp", "cable-loudspeaker-jack 1 m"), SCREEN)
    assert finding is not None
    assert finding.severity is Severity.CARE


@pytest.mark.parametrize(
    ("lead", "severity"),
    [
        ("lead-jack-xlr 4.9 m", None),  # just this side
        ("lead-jack-xlr 5.1 m", Severity.CARE),  # just that side
        ("lead-jack-balanced-xlr 10 m", None),
    ],
)
def test_balance_is_given_away_by_a_long_lead_of_one_core(
    lead: str, severity: Severity | None
) -> None:
    finding = worst_of(
        f"""
        items:
          f: {{type: feed-line}}
          d: {{type: mixer-compact}}
          b: {{type: amplifier-two-channel}}
        links:
          - {{from: f.out, to: d.ch1.line, via: [lead-xlr-jack-balanced 3 m]}}
          - {{from: d.aux.out, to: b.ch1.in, via: [{lead}]}}
        """,
        BALANCE,
    )
    assert (None if finding is None else finding.severity) is severity
