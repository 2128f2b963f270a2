"""Outputs that must not play without their load: valve amplifiers and their loudspeakers."""

from __future__ import annotations

import pytest

from levelhead.verdicts.harm.needed_loads import NO_LOAD
from levelhead.verdicts.told.severity import Severity
from tests.verdicts.shows import worst_of


def valve(load: str) -> str:
    return f"""
    items:
      head: {{type: guitar-amp-valve}}
      box: {{type: loudspeaker-passive-12, figures: {{in.impedance: {load}}}}}
    links: [{{from: head.out, to: box.in, via: [lead-loudspeaker-jack 1 m]}}]
    """


@pytest.mark.parametrize(
    ("load", "severity"),
    [
        ("8 ohm", Severity.FINE),
        ("31.5 ohm", Severity.FINE),  # just this side of the 32 ohm of its figure
        ("36 ohm", Severity.HARM),
        ("10 kohm", Severity.HARM),
    ],
)
def test_a_valve_amplifier_needs_its_load(load: str, severity: Severity) -> None:
    finding = worst_of(valve(load), NO_LOAD)
    assert finding is not None
    assert finding.severity is severity


def test_a_transistor_amplifier_needs_none() -> None:
    assert worst_of(valve("10 kohm").replace("amp-valve", "amp-transistor"), NO_LOAD) is None


PLAYED = "links: [{from: guitar.out, to: head.in, via: [cable-jack 3 m]}]"


def alone(type_id: str, links: str = PLAYED) -> str:
    """A head with a guitar in it, and no loudspeaker in the show."""
    return (
        f"items: {{guitar: {{type: guitar-electric-passive}}, head: {{type: {type_id}}}}}\n{links}"
    )


def test_a_head_without_any_plug_in_its_loudspeaker_sockets_is_harm() -> None:
    finding = worst_of(alone("guitar-head-valve"), NO_LOAD)
    assert finding is not None
    assert finding.severity is Severity.HARM
    assert "Nothing is plugged into any loudspeaker socket" in finding.what
    assert finding.caution is not None


def test_an_amplifier_with_one_socket_has_its_own_loudspeaker_there() -> None:
    """A combo: what is built in hangs there until a plug goes in."""
    assert worst_of(alone("guitar-amp-valve"), NO_LOAD) is None


def test_the_first_link_of_a_show_is_a_plug_like_any_other() -> None:
    """Links are numbered from 0."""
    finding = worst_of(valve("8 ohm").replace("guitar-amp-valve", "guitar-head-valve"), NO_LOAD)
    assert finding is not None
    assert finding.severity is Severity.FINE


def test_a_head_that_stands_in_a_corner_is_not_told() -> None:
    assert worst_of(alone("guitar-head-valve", "links: []"), NO_LOAD) is None


def test_a_transistor_amplifier_alone_is_not_told() -> None:
    assert worst_of(alone("guitar-amp-transistor"), NO_LOAD) is None
