"""The most that can come to a point: controls up, limiters as far as nobody can move them."""

from __future__ import annotations

import pytest

from levelhead.chain.most import Most
from tests.verdicts.shows import tried_text


def most_v(settings: str, *, trusts_limiters: bool = False) -> float:
    """Largest sine behind an amplifier of 32 dB and 98 V, after a processor with a limiter."""
    solution = tried_text(f"""
        items:
          feed: {{type: feed-line}}
          lim: {{type: processor-line}}
          amp:
            type: amplifier-two-channel
            figures: {{ch.power.ceiling: 98 V, ch.power.gain: 32 dB}}
          box: {{type: loudspeaker-passive-12}}
        links:
          - {{from: feed.out, to: lim.in}}
          - {{from: lim.out, to: amp.ch1.in}}
          - {{from: amp.ch1.out, to: box.in, via: [cable-loudspeaker 1 m]}}
        settings: {{{settings}}}
        """).solution
    most = Most(solution, trusts_limiters=trusts_limiters)
    return float(most.by_band(solution.number("amp.ch1.power"))[17])


HELD = "lim: {limiter: on, threshold: 0 dBu, lock: [limiter, threshold]}"


def test_a_limiter_that_is_locked_ends_it() -> None:
    """0 dBu are 0.775 V, times 39.8 are 30.8 V, less 0.1 dB on 100 ohm into 20 kohm."""
    assert most_v(HELD) == pytest.approx(30.8, rel=0.01)


def test_a_limiter_that_anybody_can_move_does_not() -> None:
    assert most_v("lim: {limiter: on, threshold: 0 dBu}") == pytest.approx(98.0)


def test_it_does_where_it_is_trusted() -> None:
    loose = most_v("lim: {limiter: on, threshold: 0 dBu}", trusts_limiters=True)
    assert loose == pytest.approx(most_v(HELD))


def test_a_control_that_is_down_counts_as_up() -> None:
    assert most_v(f"{HELD}, amp: {{ch1: {{level: -30 dB}}}}") == pytest.approx(30.8, rel=0.01)


def test_a_control_that_is_locked_stays() -> None:
    down = most_v(f"{HELD}, amp: {{ch1: {{level: -20 dB, lock: [level]}}}}")
    assert down == pytest.approx(3.08, rel=0.01)


def test_a_bridge_that_is_switched_off_carries_nothing() -> None:
    """A path that its switch takes away leaves no crossing behind."""
    solution = tried_text("""
        items:
          feed: {type: feed-line}
          amp: {type: amplifier-bridgeable}
          box: {type: loudspeaker-passive-12}
        links:
          - {from: feed.out, to: amp.ch1.in}
          - {from: amp.ch1.out, to: box.in, via: [cable-loudspeaker 1 m]}
        settings: {amp: {mode: stereo}}
        """).solution
    assert "amp.bridged.power" not in solution.graph.index
