"""Islands whose gain is no straight line of their figures, and what they do instead.

Near a null, at the corner of a filter, or where a figure spreads over a decade, the slope at the
usual value tells little. Each wide figure of an island, and all of them together, are tried one
spread up and down; where the gain leaves its slopes the island is drawn and solved many times.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Sequence
from functools import cached_property
from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from levelhead.chain.draws.islands import IslandDraws, Output, level_db, outputs_of
from levelhead.chain.draws.numbers import Numbers
from levelhead.chain.draws.sensitivity import island_sensitivities
from levelhead.chain.graph.points import Edge, Through
from levelhead.chain.solution import Solution
from levelhead.circuit.drawn.islands import Island
from levelhead.circuit.placed.pieces import Piece, pieces_of
from levelhead.circuit.solving.solved import Solved
from levelhead.quantity.spectra import band_levels_db
from levelhead.rig.model import Rig

__all__ = ["BEND_DB", "DRAWS", "Bends", "TriedIslands"]

Real = NDArray[np.float64]
Real32 = NDArray[np.float32]

BEND_DB: Final = 0.5  # off the slopes at one spread: docs/decisions.md
REDRAWS: Final = 256  # of an island that bends: a spread within 5 %
DRAWS: Final = 1000  # of a level: a chance within 1.6 % at one half, 0.7 % at 0.95
_SEED: Final = 12  # the same show gets the same answer
_SEED_OF_LEVELS: Final = 2026
_WIDE_DB: Final = 0.5  # a figure that spreads less bends nothing that matters
_COUNTS_DB: Final = 0.01  # by its slope at one spread: a figure of less has no hand in a level
_MOST_KEPT: Final = 1024  # islands: more than a show and its trials have
_UPPER_DB: Final = 100.0  # further than any figure takes a level


class TriedIslands:
    """Islands that were tried, by content: an edit leaves most of them as they are.

    A piece of the same shape and lengths has the same islands but for its names. ``numbers`` are
    those with which levels are drawn.
    """

    def __init__(self) -> None:
        self.numbers = Numbers(_SEED_OF_LEVELS, DRAWS)
        self._kept: dict[Hashable, _Tried] = {}

    def tried(self, rig: Rig, piece: Piece, island: Island, solved: Solved) -> _Tried:
        """An island with what comes of trying its figures."""
        draws = IslandDraws.of(rig, piece, island, solved)
        key = draws.key
        if key not in self._kept:
            if len(self._kept) >= _MOST_KEPT:
                del self._kept[next(iter(self._kept))]
            self._kept[key] = _Tried(draws)
        return self._kept[key]


class Bends:
    """Which edges of a solution cross an island that bends; islands of one content once.

    ``islands`` are those that were tried already, in other solutions.
    """

    def __init__(self, solution: Solution, islands: TriedIslands | None = None) -> None:
        self.solution = solution
        self._known = TriedIslands() if islands is None else islands
        self._islands: dict[int, _Tried] = {}

    def of(self, edges: Iterable[Edge]) -> dict[int, Real]:
        """By number, the edges of a row that bend, with changes of their gain to pick from. [dB]"""
        tried = ((number, self.moved_db(edge)) for number, edge in enumerate(edges))
        return {number: moved for number, moved in tried if moved is not None}

    def moved_db(self, edge: Edge) -> Real | None:
        """Changes of an edge's gain, drawn; ``None`` where its slopes tell it. (draws,) [dB]

        What is only a trace beside the signal that is there stays as it is: near a null its slopes
        are anything.
        """
        through = edge.through
        if through is None:
            return None
        if self.solution.is_crosstalk(edge):
            return np.zeros(REDRAWS)
        tried = self._tried(through.island)
        way = Way(*self._place(edge, through), self.solution.spectra[edge.source])
        return tried.drawn_db(way) if tried.bend_db(way) >= BEND_DB else None

    def _tried(self, number: int) -> _Tried:
        if number not in self._islands:
            solution = self.solution
            island, solved = solution.islands[number], solution.solved[number]
            piece = self._pieces[island.sense_addresses[0]]
            self._islands[number] = self._known.tried(solution.rig, piece, island, solved)
        return self._islands[number]

    @cached_property
    def _pieces(self) -> dict[str, Piece]:
        """The piece of each port, and of each of its signals."""
        return {
            address: piece
            for piece in pieces_of(self.solution.rig)
            for port in piece.ports
            for address in (port.address, *(f"{port.address}.{name}" for name in port.plan.signals))
        }

    def _place(self, edge: Edge, through: Through) -> tuple[int, int]:
        """Row and output within the island; islands of one content have them alike."""
        island = self.solution.islands[through.island]
        address = self.solution.graph.points[edge.target].address
        output: Output = (through.port, through.signal)
        return island.sense_addresses.index(address), list(outputs_of(island)).index(output)


class Way(NamedTuple):
    """A way through an island: row of a sense, number of an output, and what plays on it."""

    row: int
    output: int
    spectrum: str


class _Tried:
    """An island with what came of trying its figures."""

    def __init__(self, draws: IslandDraws) -> None:
        self.draws = draws
        self._is_wide = draws.spreads_db > _WIDE_DB
        self._bends: dict[Way, float] = {}
        self._drawn_db: dict[Way, Real] = {}
        self._tried_alone: dict[int, tuple[Real, Real]] = {}

    def drawn_db(self, way: Way) -> Real:
        """Changes of level with all figures drawn; (draws,). [dB]"""
        if way not in self._drawn_db:
            self._drawn_db[way] = self._changes_db(self._drawn, way)
        return self._drawn_db[way]

    @cached_property
    def _drawn(self) -> Real32:
        """Power gains with all figures drawn; (draws, senses, outputs, bands)."""
        numbers = np.random.default_rng(_SEED).standard_normal(
            (REDRAWS, len(self.draws.spreads_db))
        )
        return self.draws.gains(numbers * self.draws.spreads_db).astype(np.float32)

    def _up_and_down(self, figures: Sequence[int]) -> Real:
        """Power gains with each of some figures up, then with each down."""
        missing = [each for each in figures if each not in self._tried_alone]
        if missing:
            moves = np.diag(self.draws.spreads_db)[missing]
            both = self.draws.gains(np.concatenate([moves, -moves]))
            pairs = zip(both[: len(missing)], both[len(missing) :], strict=True)
            self._tried_alone.update(zip(missing, pairs, strict=True))
        return np.stack([self._tried_alone[each][turn] for turn in (0, 1) for each in figures])

    def _changes_db(self, gains: Real | Real32, way: Way) -> Real:
        usual = self.draws.usual_gains[way.row, way.output]
        here = gains[:, way.row, way.output]
        return level_db(here, way.spectrum) - level_db(usual, way.spectrum)

    def bend_db(self, way: Way) -> float:
        """How far the gain leaves its slopes within one spread, in all. [dB]"""
        if not self._is_wide.any():
            return 0.0
        if way not in self._bends:
            straight = self._slopes(way) * self.draws.spreads_db
            alone = self._bend_alone_db(way, straight)
            is_bent = alone >= BEND_DB
            together = 0.0 if is_bent else self._bend_together_db(way, straight)
            self._bends[way] = max(alone, together)
        return self._bends[way]

    def _slopes(self, way: Way) -> Real:
        """Level per dB of each doubtful figure."""
        draws, island = self.draws, self.draws.island
        address, drive = island.sense_addresses[way.row], list(outputs_of(island))[way.output]
        slope = dict.fromkeys(draws.figures, 0.0)
        power = 10 ** (band_levels_db(way.spectrum) / 10)
        for each in island_sensitivities(island, draws.solved, address, drive, power):
            key = draws.figure_of(each.tag, each.figure)
            if key in slope:
                slope[key] += each.slope
        return np.array(list(slope.values()))

    def _bend_alone_db(self, way: Way, straight: Real) -> float:
        """Each wide figure by itself, of those that have a hand in it."""
        wide = np.flatnonzero(self._is_wide & (np.abs(straight) >= _COUNTS_DB))
        if not len(wide):
            return 0.0
        up, down = self._changes_db(self._up_and_down(wide.tolist()), way).reshape(2, -1)
        off = np.maximum(np.abs(up - straight[wide]), np.abs(down + straight[wide]))
        return float(np.sqrt((off**2).sum()))

    def _bend_together_db(self, way: Way, straight: Real) -> float:
        """All figures at once, one spread along the way on which the level moves most."""
        total = float(np.sqrt((straight**2).sum()))
        if not 0 < total < _UPPER_DB:
            return total
        toward = straight / total * self.draws.spreads_db
        up, down = self._changes_db(self.draws.gains(np.stack([toward, -toward])), way)
        return float(max(abs(up - total), abs(down + total)))
