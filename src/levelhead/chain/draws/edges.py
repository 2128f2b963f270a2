"""What the gains of a chain move by when their figures are drawn, edge by edge as they are needed.

Each figure moves by what its type has in common, and by what is its own; both are drawn by name
(``chain.draws.numbers``), so that no edge hangs on which others were drawn before.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from levelhead.chain.draws.numbers import Numbers
from levelhead.chain.draws.sensitivity import island_sensitivities
from levelhead.chain.graph.points import Edge, Through
from levelhead.chain.solution import Solution
from levelhead.gear.figures import SPREADS_IN_RANGE, Figure
from levelhead.quantity.spectra import band_levels_db

__all__ = ["SHARED_BY_TYPE", "Bent", "EdgeDraws", "spread_db"]

Real = NDArray[np.float64]
Real32 = NDArray[np.float32]
Whole = NDArray[np.int64]
Bent = Callable[[int], Real | None]
"""By the number of an edge, changes of its gain to pick from; none where slopes tell. [dB]"""

SHARED_BY_TYPE: Final = (
    0.5  # share of a figure's variance that all items of a type have in common, from memory
)
_DECIBEL_UNITS: Final = frozenset({"dB", "dBu", "dBFS", "dB SPL"})
_LINK: Final = "link "


class _Slope(NamedTuple):
    """A figure in a gain, by what it is called in all things of its type; dB a dB of it."""

    name: tuple[str, ...]
    figure: Figure
    slope: float


def spread_db(figure: Figure) -> float:
    """One standard deviation of a figure. [dB]"""
    if figure.unit in _DECIBEL_UNITS:
        return (figure.high - figure.low) / SPREADS_IN_RANGE
    if figure.low <= 0:
        return 0.0
    return 20 * math.log10(figure.high / figure.low) / SPREADS_IN_RANGE


class EdgeDraws:
    """Draws of the gains of a solution."""

    def __init__(self, solution: Solution, numbers: Numbers, bent: Bent) -> None:
        edges = len(solution.graph.columns)
        self._solution = solution
        self._numbers = numbers
        self._bent = bent
        self._moved_db: Real32 = np.zeros((edges + 1, numbers.draws), dtype=np.float32)
        self._is_drawn = np.zeros(edges + 1, dtype=bool)
        self._is_drawn[edges] = True  # what enters comes by no edge
        self._known: dict[tuple[object, ...], tuple[_Slope, ...]] = {}
        self._strips: dict[str, dict[str, str]] = {}  # kind of each, by its item

    @property
    def draws(self) -> int:
        """How often everything is drawn."""
        return self._numbers.draws

    def performed(self, origin: str) -> Real32:
        """How one performance differs, in standard deviations; (draws,)."""
        return self._numbers.normal("performed", origin)

    def peaky(self, origin: str) -> Real32:
        """How the peak-to-rms of one performance differs, in standard deviations; (draws,)."""
        return self._numbers.normal("peak to rms", origin)

    def threshold_db(self, point: int) -> Real32:
        """What the threshold of a limiter moves by, by the number of its point; (draws,). [dB]"""
        graph = self._solution.graph
        address, figure = graph.wiring.addresses[point], graph.shapes[point].threshold
        spread = 0.0 if figure is None else spread_db(figure)
        if figure is None or not spread:
            return np.zeros(self.draws, dtype=np.float32)
        name = ("threshold", *_content(figure))
        shared = np.float32(spread * math.sqrt(SHARED_BY_TYPE))
        own = np.float32(spread * math.sqrt(1 - SHARED_BY_TYPE))
        return shared * self._numbers.normal("type", *self._kind(address), *name) + (
            own * self._numbers.normal("own", address, *name)
        )

    def moved_db(self, edges: Whole) -> Real32:
        """What every edge moves by, those of ``edges`` at least; (edges + 1, draws). [dB]"""
        for number in np.unique(edges[~self._is_drawn[edges]]).tolist():
            moved = self._drawn(number)
            if moved is not None:
                self._moved_db[number] = moved
            self._is_drawn[number] = True
        return self._moved_db

    def _drawn(self, number: int) -> Real | Real32 | None:
        """What one edge moves by; ``None`` where it stays."""
        edge = self._solution.graph.edges[number]
        changes_db = None if edge.through is None else self._bent(number)
        if edge.through is not None and changes_db is not None:
            senses = self._solution.islands[edge.through.island].sense_addresses
            return changes_db[self._numbers.picks(len(changes_db), "island", min(senses))]
        slopes = self._slopes(edge)
        return self._along(edge, slopes) if slopes else None

    def _along(self, edge: Edge, slopes: tuple[_Slope, ...]) -> Real32:
        """Along the slopes: what the type has in common, and what is of this edge alone."""
        moved: Real32 = np.zeros(self.draws, dtype=np.float32)
        variance = 0.0
        for name, figure, slope in slopes:
            spread = slope * spread_db(figure)
            if spread:
                shared = np.float32(spread * math.sqrt(SHARED_BY_TYPE))
                moved += shared * self._numbers.normal("type", *name, *_content(figure))
                variance += spread**2 * (1 - SHARED_BY_TYPE)
        if variance:
            own = self._numbers.normal("own", *self._own(edge, slopes))
            moved += np.float32(math.sqrt(variance)) * own
        return moved

    def _own(self, edge: Edge, slopes: tuple[_Slope, ...]) -> Iterator[object]:
        """Ways into one stage move together, those through copper each by itself."""
        addresses = self._solution.graph.wiring.addresses
        yield addresses[edge.target]
        if edge.through is None:
            for each in slopes:
                yield from _content(each.figure)
        else:
            yield from (addresses[edge.source], edge.through.port, edge.through.signal)

    def _slopes(self, edge: Edge) -> tuple[_Slope, ...]:
        if edge.through is not None:
            return self._slopes_through(edge, edge.through)
        if not edge.figures:
            return ()
        place = self._kind(self._solution.graph.wiring.addresses[edge.target])
        return tuple(
            _Slope((*place, str(row)), figure, 1.0) for row, figure in enumerate(edge.figures)
        )

    def _slopes_through(self, edge: Edge, through: Through) -> tuple[_Slope, ...]:
        solution = self._solution
        island, solved = solution.islands[through.island], solution.solved[through.island]
        address, drive = (
            solution.graph.wiring.addresses[edge.target],
            (through.port, through.signal),
        )
        row = island.sense_addresses.index(address)
        column = [(each.port, each.signal) for each in island.drives].index(drive)
        types = tuple(self._kind(each) for each in island.sense_addresses)
        spectrum = solution.spectra[edge.source]
        key = (id(solved), row, column, spectrum, types)
        if key not in self._known:
            power = 10 ** (band_levels_db(spectrum) / 10)
            self._known[key] = tuple(
                _Slope(self._kind(each.tag), each.figure, each.slope)
                for each in island_sensitivities(island, solved, address, drive, power)
            )
        return self._known[key]

    def _kind(self, address: str) -> tuple[str, ...]:
        """What a place is called in everything of its type: type, kind of strip, and the rest."""
        if address.startswith(_LINK):
            return _LINK, address.partition(", ")[2]
        item, *rest = address.split(".")
        if item not in self._solution.rig.items:
            return tuple(rest)
        plan = self._solution.rig.items[item].plan
        if item not in self._strips:
            self._strips[item] = {block.name: block.block for block in plan.blocks}
        kinds = self._strips[item]
        return plan.type_id, *(kinds.get(each, each) for each in rest[:1]), *rest[1:]


def _content(figure: Figure) -> tuple[object, ...]:
    """A figure that was measured of one unit is another than that of its type."""
    return figure.value, figure.low, figure.high, figure.unit
