"""Islands whose gain is no straight line of their figures, and what they do instead.

Near a null, at the corner of a filter, or where a figure spreads over a decade, the slope at the
usual value tells little. Each wide figure of an island, and all of them together, are tried one
spread up and down; where the gain leaves its slopes the island is drawn and solved many times.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterable
from functools import cached_property
from typing import Final

import numpy as np
from numpy.typing import NDArray

from levelhead.chain.graph import Edge, Through
from levelhead.chain.island_draws import IslandDraws, Output, outputs_of
from levelhead.chain.sensitivity import island_sensitivities
from levelhead.chain.solution import Solution
from levelhead.circuit.islands import Island
from levelhead.circuit.pieces import Piece, pieces_of
from levelhead.circuit.solve import Solved
from levelhead.rig.model import Rig

__all__ = ["BEND_DB", "Bends", "TriedIslands"]

Real = NDArray[np.float64]

BEND_DB: Final = 0.5  # off the slopes at one spread: docs/decisions.md
REDRAWS: Final = 256  # of an island that bends: a spread within 5 %
_SEED: Final = 12  # the same show gets the same answer
_WIDE_DB: Final = 0.5  # a figure that spreads less bends nothing that matters
_MOST_KEPT: Final = 1024  # islands: more than a show and its trials have
_UPPER_DB: Final = 100.0  # further than any figure takes a level


class TriedIslands:
    """Islands that were tried, by content: an edit leaves most of them as they are.

    A piece of the same shape and lengths has the same islands but for its names.
    """

    def __init__(self) -> None:
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
        row, output = self._place(edge, through)
        return tried.drawn_db[:, row, output] if tried.bend_db(row, output) >= BEND_DB else None

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


class _Tried:
    """An island with what came of trying its figures."""

    def __init__(self, draws: IslandDraws) -> None:
        self.draws = draws
        self._is_wide = draws.spreads_db > _WIDE_DB
        self._bends: dict[tuple[int, int], float] = {}
        self._up_and_down: Real | None = None
        self._drawn: Real | None = None

    @property
    def drawn_db(self) -> Real:
        """Changes of level with all figures drawn; (draws, senses, outputs). [dB]"""
        if self._drawn is None:
            numbers = np.random.default_rng(_SEED).standard_normal(
                (REDRAWS, len(self.draws.spreads_db))
            )
            self._drawn = self.draws.changes_db(numbers * self.draws.spreads_db)
        return self._drawn

    def bend_db(self, row: int, output: int) -> float:
        """How far the gain leaves its slopes within one spread, in all. [dB]"""
        if not self._is_wide.any():
            return 0.0
        if (row, output) not in self._bends:
            straight = self._slopes(row, output) * self.draws.spreads_db
            alone = self._bend_alone_db(row, output, straight)
            is_bent = alone >= BEND_DB
            together = 0.0 if is_bent else self._bend_together_db(row, output, straight)
            self._bends[row, output] = max(alone, together)
        return self._bends[row, output]

    def _slopes(self, row: int, output: int) -> Real:
        """Level per dB of each doubtful figure."""
        draws, island = self.draws, self.draws.island
        address, drive = island.sense_addresses[row], list(outputs_of(island))[output]
        slope = dict.fromkeys(draws.figures, 0.0)
        for each in island_sensitivities(island, draws.solved, address, drive, draws.power):
            key = draws.figure_of(each.tag, each.figure)
            if key in slope:
                slope[key] += each.slope
        return np.array(list(slope.values()))

    def _bend_alone_db(self, row: int, output: int, straight: Real) -> float:
        """Each wide figure by itself."""
        if self._up_and_down is None:
            moves = np.diag(self.draws.spreads_db)[self._is_wide]
            changes = self.draws.changes_db(np.concatenate([moves, -moves]))
            self._up_and_down = changes.reshape(2, len(moves), *changes.shape[1:])
        up, down = self._up_and_down[:, :, row, output]
        wide = straight[self._is_wide]
        off = np.maximum(np.abs(up - wide), np.abs(down + wide))
        return float(np.sqrt((off**2).sum()))

    def _bend_together_db(self, row: int, output: int, straight: Real) -> float:
        """All figures at once, one spread along the way on which the level moves most."""
        total = float(np.sqrt((straight**2).sum()))
        if not 0 < total < _UPPER_DB:
            return total
        toward = straight / total * self.draws.spreads_db
        up, down = self.draws.changes_db(np.stack([toward, -toward]))[:, row, output]
        return float(max(abs(up - total), abs(down + total)))
