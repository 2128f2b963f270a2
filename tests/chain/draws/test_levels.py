"""Levels drawn at random: spreads against the rules of variances, and against solving again."""

from __future__ import annotations

from typing import Any, Final

import numpy as np
import pytest
from numpy.typing import NDArray

from levelhead.chain.draws.levels import SHARED_BY_TYPE, LevelDraws, _Meeting, draw_levels_db
from levelhead.chain.draws.numbers import Numbers
from levelhead.chain.solution import Solution
from levelhead.chain.solve import solve
from levelhead.errors import SolveError
from levelhead.gear.book import GearBook
from levelhead.rig.build import build_rig
from levelhead.show.edits import SetFigure, apply
from levelhead.show.model import Show
from tests.chain.bench import Items, bench_show, entries, nominal

SEED: Final = 7
MANY: Final = 20_000
CLOSE: Final = 0.03  # six times the error of a standard deviation from that many


def spread_book() -> GearBook:
    """Gear of the bench whose figures are doubtful: two standard deviations to each side."""
    found = entries()
    first, second, _ = found["box"]["path"]["stages"]
    first["gain"] = {"value": "0 dB", "range": ["-2 dB", "2 dB"]}
    second["gain"] = {"value": "0 dB", "range": ["-4 dB", "4 dB"]}
    found["desk"]["blocks"]["ch"]["ports"]["line"] = {
        "socket": "xlr-f",
        "role": "in",
        "circuit": "balanced-input",
        "impedance": {"value": "1 kohm", "range": ["500 ohm", "2 kohm"]},
        "common-mode": "1 Gohm",
    }
    loud: dict[str, Any] = found["pair"]["path"]["from"][0]["generator"]
    loud["level"] = {"value": "0 dBu", "range": ["-6 dBu", "6 dBu"]}
    return GearBook(found)


BOOK: Final = spread_book()


def solved(show: Show) -> Solution:
    return solve(build_rig(show, BOOK))


def drawn(items: Items, links: list[tuple[str, str]], *addresses: str) -> NDArray[np.float64]:
    """Draws at some points of a bench, (draws, addresses). [dB]"""
    solution = solved(bench_show(items, links))
    return draw_levels_db(solution, addresses, draws=MANY, rng=np.random.default_rng(SEED))


def spread_db(levels: NDArray[np.float64]) -> float:
    return float(levels.std())


BOX: Final[tuple[Items, list[tuple[str, str]]]] = (
    {"play": "tone", "box": "box"},
    [("play.out", "box.in")],
)


def test_spreads_of_a_strip_add_as_squares() -> None:
    """A quarter of each range: the feed's level within 5 % either way, stages of 1, 2, 0.25 dB."""
    levels = drawn(*BOX, "play.output", "box.one", "box.two", "box.three")
    spreads = np.array([20 * np.log10(1.05**2) / 4, 1.0, 2.0, 0.25])
    assert levels.std(axis=0) == pytest.approx(np.sqrt(np.cumsum(spreads**2)), rel=CLOSE)
    assert abs(levels.mean()) < CLOSE


def test_a_doubtful_performer_moves_all_that_hears_it() -> None:
    """3 dB: a quarter of the range of its level, on both sides alike."""
    items: Items = {"keys": "pair", "desk": "desk"}
    links = [("keys.out-left", "desk.ch1.line"), ("keys.out-right", "desk.ch2.line")]
    levels = drawn(items, links, "keys.out-left", "keys.out-right")
    assert spread_db(levels[:, 0]) == pytest.approx(3.0, rel=CLOSE)
    assert levels[:, 0] == pytest.approx(levels[:, 1], abs=1e-4)


def test_a_figure_of_a_circuit_counts_as_far_as_it_divides() -> None:
    """1 kohm into 1 kohm: half of the 3.01 dB that 500 ohm to 2 kohm are (12.04 dB / 4)."""
    items: Items = {"play": ("tone", {"out.impedance": "1 kohm"}), "desk": "desk"}
    (levels,) = drawn(items, [("play.out", "desk.ch1.line")], "desk.ch1.line").T
    with_its_own = (0.5 * 20 * np.log10(4) / 4) ** 2 + (0.5 * 20 * np.log10(1.02**2) / 4) ** 2
    assert spread_db(levels) == pytest.approx(with_its_own**0.5, rel=CLOSE)


def test_items_of_one_type_share_what_is_not_known_of_the_type() -> None:
    items: Items = {"one": "tone", "two": "tone", "a": "box", "b": "box"}
    levels = drawn(items, [("one.out", "a.in"), ("two.out", "b.in")], "a.three", "b.three")
    correlation = float(np.corrcoef(levels.T)[0, 1])
    assert correlation == pytest.approx(SHARED_BY_TYPE, abs=CLOSE)


def test_a_figure_that_was_measured_is_shared_with_nobody() -> None:
    items: Items = {
        "one": "tone",
        "two": "tone",
        "a": "box",
        "b": ("box", {"one.gain": "0 dB", "two.gain": "0 dB", "three.gain": "0 dB"}),
    }
    levels = drawn(items, [("one.out", "a.in"), ("two.out", "b.in")], "a.three", "b.three")
    assert abs(float(np.corrcoef(levels.T)[0, 1])) < CLOSE


def test_what_is_asked_first_changes_no_draw() -> None:
    """Draws go by names: of a point alone, after others, and with something else plugged beside."""
    items: Items = {"one": "pair", "two": "pair", "desk": "desk"}
    links = [("one.out-left", "desk.ch1.line"), ("two.out-left", "desk.ch2.line")]
    both, alone = solved(bench_show(items, links)), solved(bench_show(items, links[:1]))
    forth, back, few = (
        LevelDraws(each, Numbers(SEED, 50), lambda _: None) for each in (both, both, alone)
    )
    at = [both.number(f"desk.{each}") for each in ("ch1.line", "ch2.line", "main-left.sum")]
    there = [forth.moves_db(each).copy() for each in at]
    again = [back.moves_db(each).copy() for each in reversed(at)][::-1]
    assert np.array_equal(there, again)
    assert np.array_equal(few.moves_db(alone.number("desk.ch1.line")), there[0])


def test_independent_ways_into_a_sum_are_added_as_powers() -> None:
    """Two performers of 3 dB each: the level of their sum, drawn here without any chain."""
    items: Items = {"one": "pair", "two": "pair", "desk": "desk"}
    links = [("one.out-left", "desk.ch1.line"), ("two.out-left", "desk.ch2.line")]
    levels = drawn(items, links, "desk.ch1.line", "desk.main-left.sum")
    spread_input = float(levels[:, 0].var())
    own = np.random.default_rng(1).normal(0, spread_input**0.5, (2, MANY))
    expected = 10 * np.log10((10 ** (own / 10)).mean(axis=0))
    assert levels[:, 1].mean() == pytest.approx(expected.mean(), abs=2 * CLOSE)
    assert spread_db(levels[:, 1]) == pytest.approx(float(expected.std()), rel=2 * CLOSE)


def test_first_order_spreads_are_those_of_solving_again() -> None:
    """Every figure that is drawn, set by hand in 300 shows; 300 give a deviation within 4 %."""
    items: Items = {"play": "tone", "box": ("box", {"out.impedance": "600 ohm"}), "desk": "desk"}
    links = [("play.out", "box.in"), ("box.out", "desk.ch1.line")]
    show = bench_show(items, links)
    address = "desk.ch1.fader"
    usual = solved(show)
    moved = draw_levels_db(usual, [address], draws=MANY, rng=np.random.default_rng(SEED))
    rng = np.random.default_rng(SEED)
    again = [
        nominal(solved(_with(show, *rng.standard_normal(3).tolist())), address)
        - nominal(usual, address)
        for _ in range(300)
    ]
    assert spread_db(moved) == pytest.approx(float(np.std(again)), rel=0.12)


def _with(show: Show, first: float, second: float, impedance: float) -> Show:
    """The show with drawn figures: dB by normal draws, ohms by their logarithm."""
    octaves = impedance / 2  # 500 ohm to 2 kohm: an octave to each side, two deviations
    edits = [
        SetFigure("box", "one.gain", f"{1.0 * first!r} dB"),
        SetFigure("box", "two.gain", f"{2.0 * second!r} dB"),
        SetFigure("desk", "ch.line.impedance", f"{1000 * 2**octaves!r} ohm"),
    ]
    return apply(show, edits)[0]


def test_the_same_seed_draws_the_same() -> None:
    assert np.array_equal(drawn(*BOX, "box.three"), drawn(*BOX, "box.three"))


def test_passes_of_a_thousand_make_one_of_many() -> None:
    solution = solved(bench_show(*BOX))
    levels = draw_levels_db(solution, ["box.two"], draws=2500, rng=np.random.default_rng(SEED))
    assert levels.shape == (2500, 1)
    assert not np.array_equal(levels[:1000], levels[1000:2000])


def test_no_draws_are_no_rows() -> None:
    solution = solved(bench_show(*BOX))
    rng = np.random.default_rng(SEED)
    assert draw_levels_db(solution, ["box.one", "box.two"], draws=0, rng=rng).shape == (0, 2)


def test_a_point_that_is_not_there_is_refused() -> None:
    solution = solved(bench_show(*BOX))
    with pytest.raises(SolveError, match="nowhere"):
        draw_levels_db(solution, ["box.nowhere"], draws=1, rng=np.random.default_rng(SEED))


def test_halves_that_cancel_are_drawn_as_they_swing() -> None:
    """Left less right, 40 dB under each: what one moves by hardly, the rest moves by much."""
    arriving = np.array([[1.0 + 0j], [-0.99 + 0j]])
    moved_db = np.random.default_rng(SEED).normal(0, 1, (2, MANY)).astype(np.float32)
    drawn_db = _Meeting.of(0, np.arange(2), arriving).level_db(moved_db)
    swung = np.abs((arriving * 10 ** (moved_db.astype(np.float64) / 20)).sum(axis=0))
    assert drawn_db == pytest.approx(20 * np.log10(swung / 0.01), abs=1e-3)
    assert np.median(drawn_db) > 20
