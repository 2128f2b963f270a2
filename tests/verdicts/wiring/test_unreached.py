"""Sections behind pins without a core, and bridged amplifiers of which one half is used."""

from __future__ import annotations

import pytest

from levelhead.planning.remedy.remedies import remedies_for
from levelhead.verdicts.amplifiers.loads import LOAD
from levelhead.verdicts.told.severity import Severity
from levelhead.verdicts.wiring.unreached import HALF_BRIDGE, UNREACHED
from tests.verdicts.shows import judged_text, tried_text, worst_of

TWO_CORES = "{from: a.ch1.out, to: b.in, via: [cable-loudspeaker 10 m]}"
FOUR_CORES = "{ends: {low: a.ch1.out, high: a.ch2.out, b: b.in}, via: [lead-loudspeaker-two-way]}"


def box(link: str, powering: str = "two-way") -> str:
    """A cabinet with a powering switch on a two-channel amplifier."""
    return f"""
        items:
          f: {{type: feed-line}}
          a: {{type: amplifier-two-channel}}
          b: {{type: loudspeaker-passive-two-way}}
        links: [{{from: f.out, to: a.ch1.in}}, {link}]
        settings: {{b: {{powering: {powering}}}}}
        """


def test_two_cores_do_not_reach_the_highs_and_full_range_is_offered() -> None:
    trial = tried_text(box(TWO_CORES))
    found = next(each for each in trial.judgement.findings if each.code == UNREACHED)
    assert found.severity is Severity.FAILS
    assert found.where == "b.high"
    assert any(each.verdict_after is Severity.FINE for each in remedies_for(trial, found))


def test_four_cores_and_two_channels_reach_both() -> None:
    assert worst_of(box(FOUR_CORES), UNREACHED) is None


@pytest.mark.parametrize("link", [TWO_CORES, FOUR_CORES])
def test_at_full_range_two_cores_are_enough(link: str) -> None:
    assert worst_of(box(link, "full-range"), UNREACHED) is None


def test_a_cabinet_that_nothing_is_plugged_into_is_not_half_reached() -> None:
    text = box("{from: a.ch2.out, to: c.in}").replace(
        "links:", "  c: {type: loudspeaker-passive-12}\n        links:"
    )
    assert worst_of(text, UNREACHED) is None


def bridged(link: str, mode: str = "bridge", whole_v: float = 98.0) -> str:
    """An amplifier with a channel of 49 V and this bridged."""
    return f"""
        items:
          f: {{type: feed-line}}
          a:
            type: amplifier-bridgeable
            figures: {{ch.power.ceiling: 49 V, bridged.power.ceiling: {whole_v} V}}
          b: {{type: loudspeaker-passive-12}}
        links: [{{from: f.out, to: a.ch1.in}}, {{from: a.{link}, to: b.in}}]
        settings: {{a: {{mode: {mode}}}}}
        """


def test_one_half_of_a_bridge_plays_6_db_below_it() -> None:
    found = worst_of(bridged("ch1.out"), HALF_BRIDGE)
    assert found is not None
    assert found.severity is Severity.CARE
    assert found.why[0].value == pytest.approx(-6.02, abs=0.01)


def test_the_bridge_socket_and_stereo_say_nothing() -> None:
    assert worst_of(bridged("bridge"), HALF_BRIDGE) is None
    assert worst_of(bridged("ch1.out", "stereo"), HALF_BRIDGE) is None


@pytest.mark.parametrize(("whole_v", "severity"), [(69.0, Severity.FINE), (70.0, Severity.CARE)])
def test_3_db_are_worth_the_bridge(whole_v: float, severity: Severity) -> None:
    """49 V and 3 dB are 69.2 V, and a twentieth of a decibel lies on the limit."""
    found = worst_of(bridged("ch1.out", whole_v=whole_v), HALF_BRIDGE)
    assert found is not None
    assert found.severity is severity


def both_halves(mode: str, second: str = "ch2.out") -> str:
    """Two loudspeakers on an amplifier, each on an output of its own."""
    return f"""
        items:
          f: {{type: feed-line}}
          a: {{type: amplifier-bridgeable}}
          b: {{type: loudspeaker-passive-12, figures: {{in.impedance: 8 ohm}}}}
          c: {{type: loudspeaker-passive-12, figures: {{in.impedance: 8 ohm}}}}
        links:
          - {{from: f.out, to: a.ch1.in}}
          - {{from: a.ch1.link, to: a.ch2.in, via: [cable-xlr 1 m]}}
          - {{from: a.ch1.out, to: b.in, via: [cable-loudspeaker 2 m]}}
          - {{from: a.{second}, to: c.in, via: [cable-loudspeaker 2 m]}}
        settings: {{a: {{mode: {mode}}}}}
        """


def test_loudspeakers_on_both_halves_of_a_bridge_play_against_one_another() -> None:
    """Handbooks of amplifiers: in bridge the second channel plays the first input, inverted."""
    found = worst_of(both_halves("bridge"), HALF_BRIDGE)
    assert found is not None
    assert found.severity is Severity.FAILS
    assert set(found.ports) >= {"a.ch1.out", "a.ch2.out"}
    assert worst_of(both_halves("stereo"), HALF_BRIDGE) is None


def test_a_half_that_drives_a_loudspeaker_of_its_own_sees_both_loads() -> None:
    """8 ohm beside half of the 8 ohm on the bridge: 2.7 ohm, where 4 are the least."""
    found = worst_of(both_halves("bridge", "bridge"), LOAD)
    assert found is not None
    assert found.severity is Severity.FAILS
    assert found.why[0].value == pytest.approx(1 / (1 / 8 + 2 / 8), rel=0.03)


def test_the_second_half_of_a_bridge_plays_the_first_input_upside_down() -> None:
    """Handbooks of amplifiers on bridging; nothing is plugged into its own input."""
    text = both_halves("bridge").replace(
        "- {from: a.ch1.link, to: a.ch2.in, via: [cable-xlr 1 m]}", "# one input alone"
    )
    solution = tried_text(text).solution
    one, other = (solution.levels(f"a.ch{number}.out").nominal for number in (1, 2))
    assert one is not None
    assert other == pytest.approx(one, abs=0.05)
    codes = {each.code for each in judged_text(text).worse_than_fine()}
    assert "routing.no-signal" not in codes
    carried = solution.carried
    pairs = carried.rows[-len(carried.point) :]
    is_signal = carried.component < carried.first_noise
    halves = [
        pairs[is_signal & (carried.point == solution.number(f"a.ch{number}.power"))]
        for number in (1, 2)
    ]
    assert halves[0].size
    assert halves[0] == pytest.approx(-halves[1])


def test_level_2_counts_for_nothing_in_bridge() -> None:
    text = both_halves("bridge").replace("mode: bridge", "mode: bridge, ch2: {level: off}")
    assert (tried_text(text).solution.levels("a.ch2.out").nominal or -100.0) > 0.0
