"""Peaks of sums: one performance keeps its crest, many make that of many."""

from __future__ import annotations

import pytest

from levelhead.chain.carrying.crests import CREST_OF_MANY_DB
from tests.chain.bench import Items, bench


def crest_of(count: int, own_db: float) -> float:
    """Peak-to-rms of so many equal sources on one bus. [dB]"""
    tones: Items = {
        f"t{number}": ("tone", {"generator.peak-to-rms": f"{own_db} dB"})
        for number in range(1, count + 1)
    }
    links = [(f"t{number}.out", f"d.ch{number}.line") for number in range(1, count + 1)]
    levels = bench({**tones, "d": "desk"}, links).levels("d.main-left.sum")
    assert levels.peak is not None
    assert levels.nominal is not None
    return levels.peak - levels.nominal + 3.0103


@pytest.mark.parametrize("own_db", [3.01, 9.0, 18.0])
def test_one_source_keeps_its_own(own_db: float) -> None:
    assert crest_of(1, own_db) == pytest.approx(own_db, abs=1e-3)


@pytest.mark.parametrize("own_db", [6.0, 18.0])
def test_more_sources_come_nearer_to_the_crest_of_many(own_db: float) -> None:
    """From above and from below, in step with their number."""
    away = [abs(crest_of(count, own_db) - CREST_OF_MANY_DB) for count in range(1, 7)]
    assert away == sorted(away, reverse=True)
    assert away[5] == pytest.approx(abs(own_db - CREST_OF_MANY_DB) / 6, abs=1e-3)


def test_a_faint_neighbour_changes_nothing() -> None:
    """40 dB down it is one part in ten thousand."""
    faint: Items = {"a": ("tone", {"generator.peak-to-rms": "18 dB"}), "b": "tone", "d": "desk"}
    links = [("a.out", "d.ch1.line"), ("b.out", "d.ch2.line")]
    solution = bench(faint, links, settings={"d.ch2.fader": "-40 dB"})
    levels = solution.levels("d.main-left.sum")
    assert levels.peak is not None
    assert levels.nominal is not None
    assert levels.peak - levels.nominal == pytest.approx(18 - 3.0103, abs=0.01)


def test_left_and_right_of_one_performance_are_one() -> None:
    """Both sides of a pair on one bus keep the crest of the pair, whatever they share."""
    items: Items = {"p": ("pair", {"generator.peak-to-rms": "18 dB"}), "d": "desk"}
    solution = bench(items, [("p.out-left", "d.ch1.line"), ("p.out-right", "d.ch2.line")])
    levels = solution.levels("d.main-left.sum")
    assert levels.peak is not None
    assert levels.nominal is not None
    assert levels.peak - levels.nominal == pytest.approx(18 - 3.0103, abs=1e-3)
