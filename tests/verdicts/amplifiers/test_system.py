"""Left and right alike, subwoofers without voices, and what an amplifier wants at its input."""

from __future__ import annotations

import pytest

from levelhead.verdicts.amplifiers.system import PAIR, RANGE, SENSITIVITY
from levelhead.verdicts.told.severity import Severity
from tests.verdicts.shows import worst_of


def pair(right_db: float, right_type: str = "loudspeaker-powered-12") -> Severity | None:
    """A pair of which the right one is turned down."""
    found = worst_of(
        f"""
        items:
          feed: {{type: feed-line}}
          desk: {{type: mixer-compact}}
          l: {{type: loudspeaker-powered-12}}
          r: {{type: {right_type}}}
        links:
          - {{from: feed.out, to: desk.ch1.line}}
          - {{from: desk.main-left.out, to: l.in}}
          - {{from: desk.main-right.out, to: r.{"in" if right_type.endswith("12") else "in-left"}}}
        settings: {{r: {{level: {right_db} dB}}}}
        """,
        PAIR,
    )
    return None if found is None else found.severity


@pytest.mark.parametrize(
    ("right_db", "severity"),
    [
        (0.0, Severity.FINE),
        (-2.9, Severity.FINE),
        (-3.2, Severity.CARE),
        (-10.0, Severity.CARE),
    ],
)
def test_a_pair_plays_alike(right_db: float, severity: Severity) -> None:
    assert pair(right_db) is severity


def test_loudspeakers_of_two_types_are_no_pair() -> None:
    """A wedge or a subwoofer on the right has another job."""
    assert pair(-20.0, "subwoofer-powered") is None


def sub_behind(crossover: str | None) -> Severity:
    """A passive subwoofer behind a low-pass, or none."""
    links = ["{from: feed.out, to: amp.ch1.in}"]
    if crossover is not None:
        links = ["{from: feed.out, to: xo.in}", "{from: xo.out-low, to: amp.ch1.in}"]
    found = worst_of(
        f"""
        items:
          feed: {{type: feed-line}}
          xo: {{type: crossover-two-way}}
          amp: {{type: amplifier-two-channel}}
          sub: {{type: subwoofer-passive}}
        links: [{", ".join(links)}, {{from: amp.ch1.out, to: sub.in, via: [cable-loudspeaker 5 m]}}]
        settings: {{xo: {{crossover: {crossover or "100 Hz"}}}}}
        """,
        RANGE,
    )
    assert found is not None
    return found.severity


@pytest.mark.parametrize(
    ("crossover", "severity"),
    [
        ("100 Hz", Severity.FINE),
        ("150 Hz", Severity.FINE),
        ("500 Hz", Severity.CARE),
        (None, Severity.CARE),
    ],
)
def test_a_subwoofer_wants_no_voices(crossover: str | None, severity: Severity) -> None:
    assert sub_behind(crossover) is severity


@pytest.mark.parametrize(
    ("ceiling_dbu", "severity"),
    [(22, Severity.FINE), (-5.5, Severity.FINE), (-7.5, Severity.CARE)],
)
def test_level_for_full_output(ceiling_dbu: float, severity: Severity) -> None:
    """49 V less 32 dB are +4.0 dBu; 10 dB short of it is where it begins to matter."""
    found = worst_of(
        f"""
        items:
          feed: {{type: feed-line, figures: {{output.ceiling: {ceiling_dbu} dBu}}}}
          amp:
            type: amplifier-two-channel
            figures: {{ch.power.ceiling: 49 V, ch.power.gain: 32 dB}}
          b: {{type: loudspeaker-passive-12}}
        links:
          - {{from: feed.out, to: amp.ch1.in}}
          - {{from: amp.ch1.out, to: b.in, via: [cable-loudspeaker 5 m]}}
        """,
        SENSITIVITY,
    )
    assert found is not None
    assert found.severity is severity
    assert found.why[0].value == pytest.approx(4.0, abs=0.1)
