"""Chances of level margins against the share of draws, on the bench and on random rigs."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Final

import numpy as np
import pytest
from numpy.typing import NDArray

from levelhead.chain.bends import Bends
from levelhead.chain.draws import draw_levels_db
from levelhead.chain.solution import Solution
from levelhead.chain.solve import solve
from levelhead.gear.book import load_book
from levelhead.rig.build import build_rig
from levelhead.rig.model import Rig
from levelhead.rig.refigured import refigured
from levelhead.verdicts.doubts import doubts_of_level
from levelhead.verdicts.limit_state import LimitState
from levelhead.verdicts.reading import Reading
from levelhead.verdicts.spreads import LevelSpreads
from tests.chain.bench import bench
from tests.random_rigs import random_rigs

DRAWS: Final = 4000
CLOSE: Final = 0.053  # three times the error of 1000 draws against 4000, at one half


def chance(reading: Reading, address: str, margin_db: float) -> float:
    """As the rules work it out: chance that a level keeps this far below a limit."""
    solution = reading.solution
    row = solution.number(address)
    return LimitState(
        margin_db,
        "dB",
        lambda: doubts_of_level(solution, row, slope=-1.0),
        reading.moves(row, slope=-1.0),
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


def with_sure_thresholds(rig: Rig) -> Rig:
    return refigured(
        rig, lambda place, each: each.at(each.value) if "threshold" in place.name else each
    )


@pytest.mark.parametrize("rigs", [8, pytest.param(60, marks=pytest.mark.long)])
def test_chances_are_the_share_of_draws(rigs: int) -> None:
    """At points of random rigs: the rules' chance against draws of another seed.

    Draws are exact in sums and solve bent islands again; the rules add squares where they can.
    Thresholds of limiters stand still: no draw moves them, the rules count them as doubts.
    """
    far = []
    for show in random_rigs(load_book(), np.random.default_rng(9), rigs, most_channels=3):
        solution = solve(with_sure_thresholds(build_rig(show, load_book())))
        at = [each.at for each in solution.live_points() if each.nominal is not None][::4]
        if at:
            bent = Bends(solution).of(solution.graph.edges)
            rng = np.random.default_rng(77)
            drawn = draw_levels_db(solution, at, draws=DRAWS, rng=rng, bent=bent)
            far += list(_far_off(solution, at, drawn))
    assert far == []


def _far_off(
    solution: Solution, at: list[str], drawn: NDArray[np.float64]
) -> Iterator[tuple[str, float, float, float]]:
    """Points at which a chance is off, for limits below, near and above the usual level."""
    reading = Reading.of(solution)
    for address, moves in zip(at, drawn.T, strict=True):
        for spreads in (-1.0, 0.3, 1.5):
            margin_db = spreads * float(moves.std())
            share = float((moves <= margin_db).mean())
            told = chance(reading, address, margin_db)
            if abs(told - share) > CLOSE:
                yield address, spreads, told, share
