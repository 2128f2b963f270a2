"""Power and travel of loudspeakers against the most that can come to them."""

from __future__ import annotations

import pytest

from levelhead.verdicts.amplifiers.ratings import EXCURSION, POWER
from levelhead.verdicts.told.finding import Finding
from levelhead.verdicts.told.severity import Severity
from tests.verdicts.shows import worst_of

FEED = "feed: {type: feed-line}"


def driven_by(
    ceiling_v: float, code: str, *, box: str, limiter: str = "", source: str = FEED
) -> Finding:
    """A box behind an amplifier of 32 dB, a processor before it."""
    found = worst_of(
        f"""
        items:
          {source}
          lim: {{type: processor-line}}
          amp:
            type: amplifier-two-channel
            figures: {{ch.power.ceiling: {ceiling_v} V, ch.power.gain: 32 dB, ch.out.current: 40 A}}
          {box}
        links:
          - {{from: feed.out, to: lim.in}}
          - {{from: lim.out, to: amp.ch1.in}}
          - {{from: amp.ch1.out, to: box.in, via: [cable-loudspeaker-4 0.1 m]}}
        settings: {{lim: {{level: -12 dB{limiter}}}}}
        """,
        code,
    )
    assert found is not None
    return found


BOX = (
    "box: {type: loudspeaker-passive-12, "
    "figures: {in.long-term-rating: 40 V, in.peak-rating: 80 V}}"
)


@pytest.mark.parametrize(
    ("ceiling_v", "severity"),
    [
        (30.0, Severity.FINE),
        (56.4, Severity.FINE),  # 2.98 dB over: twice the power
        (58.5, Severity.CARE),  # 3.3 dB
        (79.5, Severity.CARE),  # 5.97 dB: its peaks may have that
        (83.0, Severity.HARM),
        (150.0, Severity.HARM),
    ],
)
def test_what_an_amplifier_can_deliver(ceiling_v: float, severity: Severity) -> None:
    """Long-term rating 40 V, peaks 80 V; 30 milliohm of the amplifier cost nothing."""
    finding = driven_by(ceiling_v, POWER, box=BOX)
    assert finding.severity is severity
    watts = finding.why[1].value
    assert watts == pytest.approx(ceiling_v**2 / 8, rel=0.03)
    assert (finding.caution is None) is (severity is Severity.FINE)


def test_a_locked_limiter_keeps_the_power_away() -> None:
    held = ", limiter: on, threshold: +2.5 dBu, lock: [limiter, threshold]"
    finding = driven_by(150.0, POWER, box=BOX, limiter=held)
    assert finding.severity is Severity.FINE
    assert finding.why[1].value == pytest.approx(41.0**2 / 8, rel=0.05)


def test_a_limiter_that_anybody_can_move_is_a_condition() -> None:
    finding = driven_by(150.0, POWER, box=BOX, limiter=", limiter: on, threshold: +2.5 dBu")
    assert finding.severity is Severity.CARE
    assert "nobody moves it" in finding.what


def test_a_small_amplifier_breaks_nothing() -> None:
    assert driven_by(10.0, POWER, box=BOX).severity is Severity.FINE


SMALL = "box: {type: loudspeaker-passive-8, figures: {in.excursion-limit: 14.1 V}}"


@pytest.mark.parametrize(
    ("ceiling_v", "severity"),
    [
        (14.0, Severity.FINE),
        (19.8, Severity.FINE),  # 2.95 dB over
        (21.0, Severity.CARE),
        (28.0, Severity.CARE),  # 5.96 dB
        (29.0, Severity.HARM),
        (40.0, Severity.HARM),  # 200 W where 25 W are the limit: 9 dB
    ],
)
def test_a_cone_without_a_high_pass(ceiling_v: float, severity: Severity) -> None:
    assert driven_by(ceiling_v, EXCURSION, box=SMALL).severity is severity


def test_nothing_moves_where_nothing_deep_plays() -> None:
    """A talking voice has nothing at 40 Hz."""
    finding = worst_of(
        f"""
        items:
          mic: {{type: mic-vocal-dynamic}}
          desk: {{type: mixer-compact}}
          amp: {{type: amplifier-two-channel, figures: {{ch.power.ceiling: 40 V}}}}
          {SMALL}
        sources: {{voice: {{type: voice-talker, at: mic, distance: 10 cm}}}}
        links:
          - {{from: mic.out, to: desk.ch1.mic}}
          - {{from: desk.main-left.out, to: amp.ch1.in}}
          - {{from: amp.ch1.out, to: box.in}}
        """,
        EXCURSION,
    )
    assert finding is not None
    assert finding.severity is Severity.FINE
