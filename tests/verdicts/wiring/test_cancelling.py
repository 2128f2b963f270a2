"""Copies of one sound upside down."""

from __future__ import annotations

import pytest

from levelhead.planning.remedy.remedies import remedies_for
from levelhead.verdicts.told.severity import Severity
from levelhead.verdicts.wiring.cancelling import CANCELS, OPPOSITE
from tests.verdicts.shows import tried_text, worst_of


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


# --- one voice in front of two microphones ---


def lectern(away_cm: float, lead: str) -> str:
    """A talker 40 cm from one microphone and so far from another, both open."""
    return f"""
        items:
          m1: {{type: mic-gooseneck-condenser}}
          m2: {{type: mic-gooseneck-condenser}}
          d: {{type: mixer-compact}}
        sources: {{t: {{type: voice-talker, at: m1, distance: 40 cm, also: {{m2: {away_cm} cm}}}}}}
        links:
          - {{from: m1.out, to: d.ch1.mic, via: [cable-xlr 20 m]}}
          - {{from: m2.out, to: d.ch2.mic, via: [{lead} 20 m]}}
        settings: {{d: {{phantom: "on", ch1: {{gain: 50 dB}}, ch2: {{gain: 50 dB}}}}}}
        """


@pytest.mark.parametrize(
    ("away_cm", "severity"),
    [
        (43.4, Severity.FAILS),  # half of the power loses 10.2 dB
        (43.6, Severity.CARE),  # 9.7 dB
        (45.4, Severity.CARE),
        (46, None),  # less than 6 dB
        (80, None),  # half as loud, and the comb is too fine to be more than a colour
    ],
)
def test_a_swapped_cable_on_one_of_two_microphones_cancels_while_they_are_close(
    away_cm: float, severity: Severity | None
) -> None:
    found = worst_of(lectern(away_cm, "cable-xlr-reversed"), CANCELS)
    assert (None if found is None else found.severity) is severity


@pytest.mark.parametrize("away_cm", [40, 43, 60, 400])
def test_two_microphones_of_one_polarity_cancel_nowhere(away_cm: float) -> None:
    assert worst_of(lectern(away_cm, "cable-xlr"), CANCELS) is None


def test_the_right_cable_is_offered_for_the_second_microphone() -> None:
    trial = tried_text(lectern(43, "cable-xlr-reversed"))
    found = next(each for each in trial.judgement.findings if each.code == CANCELS)
    offered = remedies_for(trial, found)
    assert any("m2.out" in each.do and "cable-xlr 20 m" in each.do for each in offered), offered


@pytest.mark.reference("ISO 9613-1: sound goes 343.2 m/s at 20 degrees; 1/r of a point source")
def test_the_farther_microphone_hears_it_softer_and_later() -> None:
    solution = tried_text(lectern(80, "cable-xlr")).solution
    near, far = (solution.levels(f"d.ch{number}.mic").nominal for number in (1, 2))
    assert near is not None
    assert far is not None
    assert near - far == pytest.approx(6.02, abs=0.01)
    at = solution.number("d.ch2.mic")
    (delay_s,) = solution.carried.delay_s[
        (solution.carried.point == at) & (solution.carried.component == 0)
    ]
    assert delay_s == pytest.approx(0.4 / 343.2, abs=1e-6)


def test_headphones_of_two_listeners_are_no_pair() -> None:
    """What leaks to the other ear over the common lead may be turned round; nobody hears both."""
    text = """
        items:
          t: {type: tablet}
          d: {type: mixer-line-trims-wide}
          h: {type: headphone-amplifier}
          s: {type: splitter-headphones}
          p: {type: headphones}
          q: {type: headphones}
        links:
          - {ends: {a: t.headset, left: d.ch3.line, right: d.ch4.line}, via: [lead-mini-two-jacks]}
          - {from: d.main-left.out, to: h.in, via: [cable-jack-balanced 2 m]}
          - {from: h.ch1.phones, to: s.in, via: [cable-jack-balanced 1 m]}
          - {from: s.out-1, to: p.in}
          - {from: s.out-2, to: q.in}
        settings: {h: {ch1: {level: -20 dB}}}
        """
    assert worst_of(text, OPPOSITE) is None
