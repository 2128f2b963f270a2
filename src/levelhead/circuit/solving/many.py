"""One island solved for many values of its figures: its drawing is the same, its numbers differ.

The values of its parts are arrays, one entry a draw (``drawn.values``). A part that a draw does
without (what is left beside a resistance may be nothing) is one of infinite ohm there.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import astuple
from typing import Final

import numpy as np
from numpy.typing import NDArray

from levelhead.circuit.drawn.islands import Island
from levelhead.circuit.network import Kind
from levelhead.circuit.solving.solve import STACK_ENTRIES, transfers
from levelhead.circuit.solving.stack import ELEMENT_STEP, Stack, by_kind

__all__ = ["many_transfers"]

Complex = NDArray[np.complex128]
Real = NDArray[np.float64]

_PAD_OHM: Final = 1.0  # of a part that touches nothing


def many_transfers(island: Island, draws: int, hz: Real) -> Iterator[Complex]:
    """Voltages at the senses of an island per emf of its drives, some draws at a time.

    Parameters
    ----------
    island : Island
        Drawn with figures whose values are single numbers, or (draws,) each.
    hz : float, (bands,)
        Frequencies. [Hz]

    Yields
    ------
    complex, (some draws, senses, drives, bands)
        In the order of the draws. [V/V]

    Raises
    ------
    SolveError
        A network has no single solution.
    """
    columns = _Columns(island, draws)
    at_once = max(1, STACK_ENTRIES // max(1, len(hz) * (columns.nodes - 1) ** 2))
    for start in range(0, draws, at_once):
        yield transfers(columns.stack(slice(start, start + at_once)), hz)


class _Columns:
    """The arrays of a stack of networks, those alike in all draws as views."""

    def __init__(self, island: Island, draws: int) -> None:
        self._draws = draws
        self._island = island
        self.nodes = max(2, len(island.numbers))
        self._unit: Real = np.eye(self.nodes)[:, 1:]  # row of a node; the reference has none

    def stack(self, some: slice) -> Stack:
        """Networks of some of the draws."""
        island = self._island
        padding = -len(island.elements) % ELEMENT_STEP
        kinds = np.array([each.kind for each in island.elements] + [Kind.RESISTOR] * padding)
        values = [each.value for each in island.elements] + [_PAD_OHM] * padding
        windings = self._unit[self._nodes([each.nodes for each in island.windings], 4)]
        return Stack(
            (),
            *by_kind(kinds, self._rows(values)[some]),
            elements=self._incidence([(each.a, each.b) for each in island.elements], some, padding),
            source_s=1 / self._rows([each.ohm for each in island.drives])[some],
            sources=self._incidence([(each.plus, each.minus) for each in island.drives], some),
            figures=self._windings()[some],
            windings=self._alike(windings[:, ::2] - windings[:, 1::2])[some],
            noise_a2_per_hz=self._rows([])[some],
            noises=self._incidence([], some),
            senses=self._senses()[some],
        )

    def _rows(self, values: Sequence[float | Real]) -> Real:
        """One row a draw, one column a value; (draws, values)."""
        rows = np.empty((self._draws, len(values)))
        for column, value in enumerate(values):
            rows[:, column] = value
        return rows

    def _alike(self, values: Real) -> Real:
        """The same for every draw."""
        return np.broadcast_to(values, (self._draws, *values.shape))

    def _nodes(self, nodes: Sequence[Sequence[int]], width: int) -> NDArray[np.int64]:
        at = self._island.numbers
        numbered = [[at[node] for node in each] for each in nodes]
        return np.array(numbered, dtype=np.int64).reshape(-1, width)

    def _incidence(self, ends: Sequence[tuple[int, int]], some: slice, padding: int = 0) -> Real:
        """+1 at the first node of a part, -1 at the second."""
        nodes = np.pad(self._nodes(ends, 2), ((0, padding), (0, 0)))
        return self._alike(self._unit[nodes[:, 0]] - self._unit[nodes[:, 1]])[some]

    def _windings(self) -> Real:
        figures = [self._rows(astuple(each.figures)) for each in self._island.windings]
        return np.stack(figures, axis=1) if figures else np.empty((self._draws, 0, 5))

    def _senses(self) -> Real:
        """Weights of the nodes; (draws, senses, nodes)."""
        weights = np.zeros((self._draws, len(self._island.senses), self.nodes))
        for row, sense in enumerate(self._island.senses.values()):
            for node, weight in sense.items():
                weights[:, row, self._island.numbers[node]] = weight
        return weights[..., 1:]
