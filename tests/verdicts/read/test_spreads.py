"""Chances of level margins against the share of draws, on the bench and on random rigs."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Final

import numpy as np
import pytest
from numpy.typing import NDArray

from levelhead.chain.draws.bends import Bends
from levelhead.chain.draws.levels import draw_levels_db
from levelhead.chain.solution import Solution
from levelhead.chain.solve import solve
from levelhead.gear.book import GearBook, load_book
from levelhead.rig.build import build_rig
from levelhead.verdicts.read.doubts import CREST_BEHIND_FILTERS, doubts_of_level
from levelhead.verdicts.read.reading import Reading
from levelhead.verdicts.read.spreads import LevelSpreads
from levelhead.verdicts.told.limit_state import ROUNDING, LimitState
from tests.chain.bench import bench, bench_show, entries
from tests.random_rigs import random_rigs

DRAWS: Final = 4000
STEP_DB: Final = 4 * ROUNDING
CLOSE: Final = 0.053  # three times the error of 1000 draws against 4000, at one half


def chance(reading: Reading, address: str, margin_db: float, *, peak: bool = False) -> float:
    """As the rules work it out: chance that a level (or peak) keeps this far below a limit.

    What filters do to peaks is left out: nothing tells it but the rules.
    """
    solution = reading.solution
    row = solution.number(address)
    return LimitState(
        margin_db,
        "dB",
        lambda: (
            each
            for each in doubts_of_level(solution, row, slope=-1.0, peak=peak)
            if each.figure is not CREST_BEHIND_FILTERS
        ),
        reading.moves(row, slope=-1.0, peak=peak),
    ).p_holds


def test_a_single_way_is_not_drawn() -> None:
    solution = bench({"t": "tone", "b": "box"}, [("t.out", "b.in")])
    assert LevelSpreads(solution).moves_db(solution.number("b.three")) is None


def test_where_ways_meet_levels_are_drawn() -> None:
    solution = bench(
        {"a": "pair", "b": "pair", "d": "desk"},
        [("a.out-left", "d.ch1.line"), ("b.out-left", "d.ch2.line")],
    )
    moves = LevelSpreads(solution).moves_db(solution.number("d.main-left.sum"))
    assert moves is not None
    alone = LevelSpreads(solution).moves_db(solution.number("d.ch1.line"))
    assert alone is None
    entering = next(
        each.spread_db
        for each in doubts_of_level(solution, solution.number("d.ch1.line"), slope=1.0)
        if each.kind == "chance"
    )
    assert moves.std() == pytest.approx(entering / math.sqrt(2), rel=0.15)


def test_a_performer_counts_by_its_share_where_ways_meet() -> None:
    """Two alike: half a decibel of the sum for each decibel of one; alone, the whole."""
    solution = bench(
        {"a": "pair", "b": "pair", "d": "desk"},
        [("a.out-left", "d.ch1.line"), ("b.out-left", "d.ch2.line")],
    )
    slopes = {
        address: next(
            each.slope
            for each in doubts_of_level(solution, solution.number(address), slope=1.0)
            if each.kind == "chance"
        )
        for address in ("d.ch1.line", "d.main-left.sum")
    }
    assert slopes["d.ch1.line"] == pytest.approx(1.0, abs=1e-6)
    assert slopes["d.main-left.sum"] == pytest.approx(0.5, abs=0.01)


@pytest.mark.parametrize("rigs", [8, pytest.param(60, marks=pytest.mark.long)])
def test_chances_are_the_share_of_draws(rigs: int) -> None:
    """At points of random rigs, and at all limiters: the rules' chance against other draws.

    Draws are exact in sums and solve bent islands again; the rules add squares where they can.
    """
    far = []
    for show in random_rigs(load_book(), np.random.default_rng(9), rigs, most_channels=3):
        solution = solve(build_rig(show, load_book()))
        at = _some_points(solution)
        bent = Bends(solution).of(solution.graph.edges)
        for peak in (False, True) if at else ():
            rng = np.random.default_rng(77)
            drawn = draw_levels_db(solution, at, draws=DRAWS, rng=rng, bent=bent, of_peaks=peak)
            far += list(_far_off(solution, at, drawn, peak=peak))
    assert far == []


def _some_points(solution: Solution) -> list[str]:
    """Every fourth point that carries a signal, and every one whose limiter may take something."""
    at = [each.at for each in solution.live_points() if each.nominal is not None]
    return [
        each
        for number, each in enumerate(at)
        if number % 4 == 0 or solution.limiter_at(solution.number(each)) is not None
    ]


def _far_off(
    solution: Solution, at: list[str], drawn: NDArray[np.float64], *, peak: bool
) -> Iterator[tuple[str, bool, float, float, float]]:
    """Points at which a chance is off, for limits below, near and above the usual level.

    Where a limiter holds all, nothing moves; a limit is then a step away, clear of rounding.
    """
    reading = Reading.of(solution)
    for address, moves in zip(at, drawn.T, strict=True):
        for spreads in (-1.0, 0.3, 1.5):
            margin_db = spreads * max(float(moves.std()), STEP_DB)
            share = float((moves <= margin_db).mean())
            told = chance(reading, address, margin_db, peak=peak)
            if abs(told - share) > CLOSE:
                yield address, peak, spreads, told, share


def test_peaks_that_a_limiter_holds_never_pass_a_ceiling_behind_it() -> None:
    """It rests 1 dB above the usual peaks, and the ceiling lies 3 dB above it: no peak gets there.

    Without the limiter one in five would: 4 dB over the usual peak at a spread of 5 dB.
    """
    loud = entries()["tone"]
    level = {"value": "+4 dBu", "range": ["-6 dBu", "+14 dBu"]}
    loud["path"]["from"][0]["generator"]["level"] = level
    shares = []
    for threshold in ("+14 dBu", "+60 dBu"):
        box = entries()["box"]
        box["path"]["stages"] = [{"stage": "limiter", "limiter": {"threshold": threshold}}]
        book = GearBook(entries() | {"loud": loud, "shaped": box})
        show = bench_show({"t": "loud", "b": "shaped"}, [("t.out", "b.in")])
        reading = Reading.of(solve(build_rig(show, book)))
        peak = reading.solution.levels("b.limiter").peak
        assert peak == pytest.approx(12.99, abs=0.01)
        shares.append(chance(reading, "b.limiter", 17.0 - peak, peak=True))
    assert shares == pytest.approx([1.0, 0.79], abs=0.02)
