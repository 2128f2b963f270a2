"""An island drawn once for many values of its figures against one rig for each value."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray

from levelhead.chain.carrying.playing import PROGRAMME
from levelhead.chain.draws.bends import Bends, TriedIslands
from levelhead.chain.draws.islands import IslandDraws, level_db, outputs_of
from levelhead.chain.solution import Solution
from levelhead.chain.solve import solve
from levelhead.circuit.placed.pieces import pieces_of
from levelhead.gear.book import load_book
from levelhead.gear.figures import Figure
from levelhead.quantity.spectra import band_levels_db
from levelhead.rig.build import build_rig
from levelhead.rig.model import Rig
from levelhead.rig.refigured import refigured
from levelhead.show.document import parse_show
from levelhead.show.edits import Set, apply
from tests.random_rigs import random_rigs

RIGS: Final = tuple(random_rigs(load_book(), np.random.default_rng(3), 6, most_channels=3))
MOVES_DB: Final = (-3.0, 0.0, 1.5, 12.0)
AGREES_DB: Final = 1e-7


def solved(number: int) -> Solution:
    """One of the random rigs."""
    return solve(build_rig(RIGS[number], load_book()))


def draws_of(solution: Solution, number: int) -> IslandDraws:
    """One island of a solution."""
    island = solution.islands[number]
    sensed = island.sense_addresses[0]
    piece = next(
        each
        for each in pieces_of(solution.rig)
        if any(sensed == p.address or sensed.startswith(f"{p.address}.") for p in each.ports)
    )
    return IslandDraws.of(solution.rig, piece, island, solution.solved[number])


def moved_by(rig: Rig, figures: Iterable[Figure], by_db: float) -> Rig:
    """A rig in which some figures are up by so much, wherever they stand."""
    those = {id(figure) for figure in figures}
    return refigured(rig, lambda _, each: each.moved(by_db) if id(each) in those else each)


def again_db(draws: IslandDraws, rig: Rig) -> NDArray[np.float64] | None:
    """Levels of the same island of another rig, built and solved by itself.

    ``None`` where bands are solved at 1/24 octave: a rig tells their mean, a draw the middle.
    """
    solution = solve(rig)
    wanted = draws.island.sense_addresses[0]
    number = next(n for n, each in enumerate(solution.islands) if wanted in each.senses)
    found = draws_of(solution, number)
    return None if found.solved.refined else level_db(found.usual_gains, PROGRAMME)


@pytest.mark.parametrize("number", range(len(RIGS)))
def test_figures_moved_at_once_are_figures_moved_one_by_one(number: int) -> None:
    """All doubtful figures of an island up or down together, and a rig built for each move."""
    solution = solved(number)
    for row, island in enumerate(solution.islands[:4]):
        draws = draws_of(solution, row)
        if not draws.figures or not outputs_of(island) or draws.solved.refined:
            continue
        usual_db = level_db(draws.usual_gains, PROGRAMME)
        changes_db = draws.changes_db(np.outer(MOVES_DB, np.ones(len(draws.figures))))
        for by_db, change_db in zip(MOVES_DB, changes_db, strict=True):
            rig = moved_by(solution.rig, draws.figures.values(), by_db)
            expected_db = again_db(draws, rig)
            if expected_db is not None:
                assert usual_db + change_db == pytest.approx(expected_db, abs=AGREES_DB)


@settings(max_examples=10, deadline=None)
@given(number=st.integers(0, len(RIGS) - 1), data=st.data())
def test_islands_tried_before_an_edit_bend_as_fresh_ones(number: int, data: st.DataObject) -> None:
    """Draws of the islands of an edited show do not hang on what was tried before."""
    show, known = RIGS[number], TriedIslands()
    before = solved(number)
    Bends(before, known).of(before.graph.edges)
    switches = [a for a, c in before.rig.controls.items() if c.kind == "switch"]
    if not switches:
        return
    address = data.draw(st.sampled_from(switches))
    option = data.draw(st.sampled_from(before.rig.controls[address].options))
    edited, _ = apply(show, [Set(address, option)])
    after = solve(build_rig(edited, load_book(), previous=before.rig), before)
    kept, fresh = (Bends(after, each).of(after.graph.edges) for each in (known, TriedIslands()))
    assert list(kept) == list(fresh)
    for edge, moved_db in kept.items():
        assert np.array_equal(moved_db, fresh[edge])


PIEZO: Final = """\
levelhead: 1
show: {name: Piezo into a transformer}
items:
  guitar: {type: guitar-acoustic-piezo}
  box: {type: isolator-line-phono}
  desk: {type: mixer-compact}
links:
  - {from: guitar.out, to: box.in-right, via: [lead-phono-jack 1.4 m]}
  - {from: box.out-left, to: desk.ch3.mic, via: [lead-phono-xlr 20 m]}
"""


def test_a_resonance_between_the_middles_of_bands_is_drawn_as_it_is_solved() -> None:
    """A piezo's nanofarad and a winding: what nobody moves stays where the averaged bands are.

    With middles alone the draws stood 9 dB under the level that they are about, and spread by 7 dB
    where as many rigs built one by one spread by 5.5 dB.
    """
    solution = solve(build_rig(parse_show(PIEZO, "piezo").show, load_book()))
    number = next(n for n, each in enumerate(solution.solved) if each.refined)
    draws = draws_of(solution, number)
    still = np.zeros((1, len(draws.spreads_db)))
    assert draws.changes_db(still) == pytest.approx(0, abs=AGREES_DB)
    outputs = outputs_of(draws.island)
    weights = draws.solved.transfer[:, [columns[0] for columns in outputs.values()]]
    averaged_db = 10 * np.log10(
        (np.abs(weights) ** 2 * 10 ** (band_levels_db(PROGRAMME) / 10)).sum(axis=-1)
    )
    heard = averaged_db > averaged_db.max() - 40
    assert level_db(draws.usual_gains, PROGRAMME)[heard] == pytest.approx(
        averaged_db[heard], abs=0.1
    )
