"""Where signals enter: generators with two sides, digital levels, voices at a distance."""

from __future__ import annotations

import math

import pytest

from levelhead.show.model import Source
from tests.chain.bench import bench, nominal


def both_sides(shared: str) -> float:
    """How much more both sides of a pair bring to one bus than one of them. [dB]"""
    items = {"p": ("pair", {"generator.shared": shared}), "d": "desk"}
    left = [("p.out-left", "d.ch1.line")]
    one = bench(items, left)
    two = bench(items, [*left, ("p.out-right", "d.ch2.line")])
    return nominal(two, "d.main-left.sum") - nominal(one, "d.main-left.sum")


@pytest.mark.parametrize(
    ("shared", "more_db"),
    [
        ("0", 10 * math.log10(2)),  # strangers add as power
        ("1", 20 * math.log10(2)),  # twins add as voltage
        ("0.5", 10 * math.log10(3)),  # 2 (1 + share): half of each is one and the same
    ],
)
def test_what_both_sides_share_adds_as_voltage(shared: str, more_db: float) -> None:
    assert both_sides(shared) == pytest.approx(more_db, abs=1e-6)


def test_each_side_has_the_whole_level_whatever_is_shared() -> None:
    items = {"p": ("pair", {"generator.shared": "0.3"}), "d": "desk"}
    solution = bench(items, [("p.out-left", "d.ch1.line"), ("p.out-right", "d.ch2.line")])
    assert nominal(solution, "p.output-left") == pytest.approx(0.0, abs=1e-6)
    assert nominal(solution, "p.output-right") == pytest.approx(0.0, abs=1e-6)


def test_two_items_of_a_type_are_two_performances() -> None:
    """What is shared within a pair is not shared with the pair beside it."""
    items = {"p": ("pair", {"generator.shared": "1"}), "q": ("pair", {"generator.shared": "1"})}
    one = bench({**items, "d": "desk"}, [("p.out-left", "d.ch1.line")])
    two = bench(
        {**items, "d": "desk"}, [("p.out-left", "d.ch1.line"), ("q.out-left", "d.ch2.line")]
    )
    more_db = nominal(two, "d.main-left.sum") - nominal(one, "d.main-left.sum")
    assert more_db == pytest.approx(10 * math.log10(2), abs=1e-6)


def test_a_source_and_an_item_of_one_name_stay_two_signals() -> None:
    """An item ``x`` that plays and a source ``x`` that sings have nothing in common."""
    items = {"x": ("tone", {"generator.level": "-51.7609 dBu"}), "mic": "microphone", "d": "desk"}
    links = [("x.out", "d.ch1.line"), ("mic.out", "d.ch2.line")]
    solution = bench(items, links, sources=[Source("x", "voice", "mic")])
    alone = nominal(solution, "d.ch1.fader")
    assert nominal(solution, "d.main-left.sum") - alone == pytest.approx(3.01, abs=0.05)


def test_a_digital_level_is_rms_of_full_scale() -> None:
    """-18 dBFS of a 1 V full scale is 18 dB under 1 V, which is +2.22 dBu."""
    solution = bench({"p": "player", "d": "desk"}, [("p.out", "d.ch1.line")])
    assert nominal(solution, "p.volume") == pytest.approx(-18.0)
    assert nominal(solution, "d.ch1.line") == pytest.approx(2.2185 - 18, abs=1e-3)


@pytest.mark.parametrize(("distance_m", "level"), [(1.0, 94.0), (0.5, 100.02), (10.0, 74.0)])
def test_a_voice_falls_with_distance(distance_m: float, level: float) -> None:
    """6.02 dB for each doubling, 20 dB for ten times."""
    solution = bench(
        {"mic": "microphone", "d": "desk"},
        [("mic.out", "d.ch1.line")],
        sources=[Source("anna", "voice", "mic", distance_m)],
    )
    assert nominal(solution, "anna") == pytest.approx(level, abs=0.01)


def test_two_voices_at_one_microphone_add_as_power() -> None:
    solution = bench(
        {"mic": "microphone", "d": "desk"},
        [("mic.out", "d.ch1.line")],
        sources=[Source("anna", "voice", "mic"), Source("ben", "voice", "mic")],
    )
    one = nominal(solution, "anna") - 93.9794 + 20 * math.log10(0.002 / math.sqrt(0.6))
    assert nominal(solution, "mic.capsule") - one == pytest.approx(3.0103, abs=1e-3)


def test_nothing_plugged_is_silent() -> None:
    """A microphone with no source, a strip with no plug."""
    solution = bench({"mic": "microphone", "d": "desk"}, [("mic.out", "d.ch1.line")])
    assert solution.levels("d.ch1.fader").nominal is None
    assert solution.levels("d.ch2.fader").nominal is None
    assert solution.paths == ()
