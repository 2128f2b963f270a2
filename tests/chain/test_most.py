"""The most that can come to a point: controls up, limiters as far as nobody can move them."""

from __future__ import annotations

import numpy as np
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


# ---------------------------------------------------------------- ways that come round

LOOP = """
    items:
      feed: {type: feed-line}
      desk: {type: mixer-compact-8}
      echo: {type: delay-unit}
    links:
      - {from: feed.out, to: desk.ch1.line, via: [lead-xlr-jack-balanced 2 m]}
      - {from: desk.aux1.out, to: echo.in, via: [lead-jack-balanced-xlr 2 m]}
      - {from: echo.out-1, to: desk.ch2.line, via: [lead-xlr-jack-balanced 2 m]}
    settings: {desk: {ch1: {send1: 0 dB}, ch2: {send1: -20 dB}}}
    """


def test_in_a_loop_it_does_not_hang_on_what_is_asked_for_first() -> None:
    """Every point of a return into its own send, asked for first and last."""
    solution = tried_text(LOOP).solution
    rows = np.flatnonzero(solution.graph.hears_a_loop).tolist()
    assert rows
    onward, back = (Most(solution, trusts_limiters=False) for _ in range(2))
    told = {row: onward.by_band(row) for row in rows}
    for row in reversed(rows):
        assert np.array_equal(back.by_band(row), told[row])


@pytest.mark.parametrize("send_db", [-30.0, -20.0])
def test_a_loop_that_holds_adds_its_geometric_series(send_db: float) -> None:
    """With g once round, x / (1 - g): the sum of all rounds in step. No ceiling is near."""
    quiet = LOOP.replace(
        "{type: feed-line}", "{type: feed-line, figures: {output.ceiling: -60 dBu}}"
    )
    alone = tried_text(quiet.replace("-20 dB", "off")).solution
    round_ = tried_text(quiet.replace("-20 dB", f"{send_db} dB")).solution
    once_v, all_v = (
        Most(each, trusts_limiters=False, turns_up=False).by_band(each.number("desk.aux1.sum"))[17]
        for each in (alone, round_)
    )
    assert round_.loop_gain_db < 0
    assert all_v == pytest.approx(once_v / (1 - 10 ** (round_.loop_gain_db / 20)), rel=0.01)
