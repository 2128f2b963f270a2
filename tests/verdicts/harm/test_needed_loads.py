"""Outputs that must not play without their load: valve amplifiers and their loudspeakers."""

from __future__ import annotations

import pytest

from levelhead.verdicts.amplifiers.loads import MATCH
from levelhead.verdicts.harm.needed_loads import NO_LOAD
from levelhead.verdicts.loading.levels import TONE
from levelhead.verdicts.told.finding import Finding
from levelhead.verdicts.told.severity import Severity
from tests.verdicts.shows import judged_text, worst_of


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
        ("16 ohm", Severity.FINE),  # half of it: two spreads away
        # just this side of the 32 ohm of its figure, which may be 20: was fine before spreads
        # counted (fine holds 19 times of 20)
        ("31.5 ohm", Severity.CARE),
        ("36 ohm", Severity.HARM),
        ("10 kohm", Severity.HARM),
    ],
)
def test_a_valve_amplifier_needs_its_load(load: str, severity: Severity) -> None:
    finding = worst_of(valve(load), NO_LOAD)
    assert finding is not None
    assert finding.severity is severity


def on_tap(tap: str, load: str) -> dict[str, Finding]:
    """What somebody would act on at the loudspeaker socket of a valve head, by its code."""
    text = f"""
        items:
          guitar: {{type: guitar-electric-passive}}
          head: {{type: guitar-head-valve}}
          cab: {{type: guitar-cabinet, figures: {{in.impedance: {load}}}}}
        links:
          - {{from: guitar.out, to: head.in, via: [cable-jack 3 m]}}
          - {{from: head.{tap}, to: cab.in, via: [cable-loudspeaker-jack 1 m]}}
        """
    found = judged_text(text).worse_than_fine()
    return {each.code: each for each in found if each.code in (MATCH, NO_LOAD, TONE)}


@pytest.mark.parametrize(
    ("tap", "load", "codes"),
    [
        ("out-4ohm", "4 ohm", set()),
        ("out-4ohm", "8 ohm", {MATCH}),
        ("out-4ohm", "12 ohm", {MATCH}),
        ("out-4ohm", "24 ohm", {NO_LOAD}),
        ("out", "40 ohm", {NO_LOAD}),
        ("out-16ohm", "4 ohm", {MATCH}),
    ],
)
def test_a_wrong_tap_is_one_finding(tap: str, load: str, codes: set[str]) -> None:
    assert set(on_tap(tap, load)) == codes


def test_the_finding_of_a_wrong_tap_says_both_what_is_wrong_and_what_comes_of_it() -> None:
    assert "So many ohms come near to none" in on_tap("out-4ohm", "12 ohm")[MATCH].what
    assert "come near to none" not in on_tap("out-16ohm", "4 ohm")[MATCH].what
    bare = on_tap("out-4ohm", "24 ohm")[NO_LOAD]
    assert bare.severity is Severity.HARM
    assert "sees 24 ohm on a tap for 4 ohm" in bare.what


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
