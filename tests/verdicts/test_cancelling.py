"""Copies of one sound upside down."""

from __future__ import annotations

import pytest

from levelhead.verdicts.cancelling import CANCELS, OPPOSITE
from levelhead.verdicts.severity import Severity
from tests.verdicts.shows import worst_of


def summed(right_db: float, lead: str = "lead-phono-jack-reversed") -> str:
    """A player summed to mono, its right side turned round and so much louder or softer."""
    return f"""
        items:
          p: {{type: player-media}}
          d: {{type: mixer-line-trims-wide}}
          b: {{type: loudspeaker-powered-12}}
        links:
          - {{from: p.out-left, to: d.ch1.line, via: [lead-phono-jack 2 m]}}
          - {{from: p.out-right, to: d.ch2.line, via: [{lead} 2 m]}}
          - {{from: d.mono, to: b.in, via: [cable-xlr 5 m]}}
        settings:
          d: {{ch1: {{pan: left, fader: 0 dB}}, ch2: {{pan: right, fader: {right_db} dB}}}}
        """


@pytest.mark.parametrize(
    ("right_db", "severity"),
    [
        (0.0, Severity.FAILS),
        (-3.0, Severity.FAILS),  # 1 - 0.71: 10.7 dB, just this side
        (-3.5, Severity.CARE),  # 9.6 dB, just that side
        (-5.9, Severity.CARE),  # 6.1 dB
        (-6.3, None),  # 5.7 dB
    ],
)
def test_how_alike_the_copies_are_decides(right_db: float, severity: Severity | None) -> None:
    """Sum with sign against the larger one: 20 lg (1 - 10^(dB/20))."""
    finding = worst_of(summed(right_db), CANCELS)
    assert (None if finding is None else finding.severity) is severity


def test_a_sum_of_like_copies_is_no_fault() -> None:
    assert worst_of(summed(0.0, "lead-phono-jack"), CANCELS) is None


@pytest.mark.parametrize(
    ("lead", "severity"),
    [("lead-mini-jack-balanced 3 m", Severity.FAILS), ("lead-mini-sum-jack 3 m", None)],
)
def test_stereo_in_a_balanced_input_cancels_unless_it_is_summed(
    lead: str, severity: Severity | None
) -> None:
    finding = worst_of(
        f"""
        items: {{l: {{type: laptop}}, b: {{type: loudspeaker-powered-12}}}}
        links: [{{from: l.phones, to: b.in, via: [{lead}]}}]
        """,
        CANCELS,
    )
    assert (None if finding is None else finding.severity) is severity


def pair(lead: str) -> str:
    """One voice on two like loudspeakers."""
    return f"""
        items:
          m: {{type: mic-vocal-dynamic}}
          d: {{type: mixer-compact}}
          l: {{type: loudspeaker-powered-12}}
          r: {{type: loudspeaker-powered-12}}
        sources: {{v: {{type: voice-singer, at: m}}}}
        links:
          - {{from: m.out, to: d.ch1.mic, via: [cable-xlr 5 m]}}
          - {{from: d.main-left.out, to: l.in, via: [cable-xlr 20 m]}}
          - {{from: d.main-right.out, to: r.in, via: [{lead} 20 m]}}
        """


def test_one_loudspeaker_of_a_pair_turned_round_fails() -> None:
    finding = worst_of(pair("cable-xlr-reversed"), OPPOSITE)
    assert finding is not None
    assert finding.severity is Severity.FAILS
    assert finding.why[0].value == pytest.approx(-1.0, abs=0.01)


def test_a_pair_wired_alike_says_nothing() -> None:
    assert worst_of(pair("cable-xlr"), OPPOSITE) is None


def test_a_swapped_cable_alone_is_not_heard() -> None:
    text = """
        items: {m: {type: mic-vocal-dynamic}, d: {type: mixer-compact}}
        sources: {v: {type: voice-singer, at: m}}
        links: [{from: m.out, to: d.ch1.mic, via: [cable-xlr-reversed 10 m]}]
        """
    assert worst_of(text, CANCELS) is None
    assert worst_of(text, OPPOSITE) is None


def test_plus_and_minus_on_the_two_sides_of_an_input_fail() -> None:
    finding = worst_of(
        """
        items: {f: {type: feed-line}, d: {type: mixer-analogue-16}, r: {type: recorder-minijack}}
        links:
          - {from: f.out, to: d.ch1.line, via: [lead-xlr-jack-balanced 3 m]}
          - {from: d.aux1.out, to: r.in, via: [lead-mini-jack-balanced 2 m]}
        settings: {d: {ch1: {send1: 0 dB}}}
        """,
        OPPOSITE,
    )
    assert finding is not None
    assert finding.severity is Severity.FAILS
