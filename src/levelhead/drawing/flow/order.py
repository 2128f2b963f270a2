"""Who stands above whom in a column: few crossings, and nothing moved without need.

Layered drawing after Sugiyama, Tagawa and Toda (1981): a lead that passes a column takes a place
in it; columns are sorted by where their leads come from, to and fro, and the best order is kept.
Sockets stay in the order of the panel, so a desk sorts its sources by channel.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Final

import numpy as np
from numpy.typing import NDArray

from levelhead.drawing.flow.model import Chart, Lead, Side

__all__ = ["Layers", "Step", "crossings", "layers_of", "ordered", "passage"]

_SWEEPS: Final = 8
_WORTH_MOVING: Final = (
    0.7  # share of the crossings that is left when a known drawing is turned over
)


@dataclass(frozen=True, slots=True)
class Step:
    """A lead between two neighbouring columns: from a box (or a passage), to the next.

    ``at`` and ``to`` are their names with the place of the socket on them, from 0 (top) to 1.
    """

    lead: str
    at: tuple[str, float]
    to: tuple[str, float]


@dataclass(frozen=True, slots=True)
class Layers:
    """Columns of boxes and passages (``lead/column``), with the steps behind each column."""

    columns: tuple[tuple[str, ...], ...]
    steps: tuple[tuple[Step, ...], ...]


def passage(lead: str, column: int) -> str:
    """Name of the place that a lead takes in a column which it passes."""
    return f"{lead}/{column}"


def layers_of(
    chart: Chart, column: Mapping[str, int], returns: Collection[str], before: Sequence[str] = ()
) -> Layers:
    """Columns as they come: in the order ``before`` (of an earlier drawing), then of the show."""
    count = max(column.values(), default=-1) + 1
    columns: list[list[str]] = [[] for _ in range(count)]
    steps: list[list[Step]] = [[] for _ in range(count)]
    rank = {name: number for number, name in enumerate(before)}
    for box in chart.boxes:
        columns[column[box]].append(box)
    for lead in chart.leads:
        if lead.id not in returns:
            _lay(lead, chart, column, columns, steps)
    for names in columns:
        names.sort(key=lambda name: rank.get(name, len(rank)))
    return Layers(tuple(map(tuple, columns)), tuple(map(tuple, steps)))


def _lay(
    lead: Lead,
    chart: Chart,
    column: Mapping[str, int],
    columns: list[list[str]],
    steps: list[list[Step]],
) -> None:
    first, last = column[lead.from_box], column[lead.to_box]
    at = (lead.from_box, _share(chart, lead.start, "right"))
    for passed in range(first + 1, last):
        name = passage(lead.id, passed)
        columns[passed].append(name)
        steps[passed - 1].append(Step(lead.id, at, (name, 0.5)))
        at = (name, 0.5)
    steps[last - 1].append(Step(lead.id, at, (lead.to_box, _share(chart, lead.end, "left"))))


def _share(chart: Chart, socket: tuple[str, int], side: Side) -> float:
    box, row = socket
    return (row + 1) / (len(chart.boxes[box].rows(side)) + 1)


def ordered(layers: Layers, kept: Collection[str] = ()) -> Layers:
    """The same with each column sorted for few crossings.

    Parameters
    ----------
    kept
        Names that stood in an earlier drawing: they keep their order while that costs little, and
        the new ones are put between them.
    """
    sheet = _Sheet(layers)
    start = _inserted(layers, kept) if kept else layers.columns
    best, least = start, sheet.crossings(start)
    if kept:
        least = int(least * _WORTH_MOVING)
    sheet.stand(start)
    for sweep in range(_SWEEPS):
        sheet.sweep(is_forward=sweep % 2 == 1)
        found = sheet.crossings()
        if found < least:
            best, least = sheet.names(), found
    return Layers(best, layers.steps)


def _inserted(layers: Layers, kept: Collection[str]) -> tuple[tuple[str, ...], ...]:
    """Columns with those that are new put where their leads come from."""
    columns = [[name for name in names if name in kept] for names in layers.columns]
    for number, names in enumerate(layers.columns):
        steps = layers.steps[number - 1] if number else ()
        place = {name: float(index) for index, name in enumerate(columns[number - 1])}
        middle = _middles(steps, place)
        for name in names:
            if name not in kept:
                own = middle.get(name, float("inf"))
                below = (
                    at for at, each in enumerate(columns[number]) if middle.get(each, -1.0) > own
                )
                columns[number].insert(next(below, len(columns[number])), name)
    return tuple(map(tuple, columns))


def _middles(steps: Sequence[Step], place: Mapping[str, float]) -> dict[str, float]:
    """Mean place of what each name is joined to in the column before."""
    found: dict[str, list[float]] = {}
    for step in steps:
        found.setdefault(step.to[0], []).append(place[step.at[0]] + step.at[1])
    return {name: sum(each) / len(each) for name, each in found.items()}


class _Side:
    """One end of the steps of a space: whose they are, and where on it they are."""

    def __init__(self, ends: Sequence[tuple[str, float]], number: Mapping[str, int]) -> None:
        self.name = np.array([number[name] for name, _ in ends], dtype=np.int64)
        self.share = np.array([share for _, share in ends], dtype=np.float64)
        self.count = np.bincount(self.name, minlength=len(number))


class _Sheet:
    """Columns and steps as numbers, so that a sweep is a few sums."""

    def __init__(self, layers: Layers) -> None:
        self.called = [name for names in layers.columns for name in names]
        self.number = {name: number for number, name in enumerate(self.called)}
        self.spaces = [
            (
                _Side([step.at for step in steps], self.number),
                _Side([step.to for step in steps], self.number),
            )
            for steps in layers.steps[:-1]
        ]
        self.place = np.zeros(len(self.called))
        self.columns: list[NDArray[np.int64]] = []

    def stand(self, columns: Sequence[Sequence[str]]) -> None:
        """Take an order."""
        self.columns = [
            np.array([self.number[name] for name in names], dtype=np.int64) for names in columns
        ]
        for column in self.columns:
            self.place[column] = np.arange(len(column))

    def names(self) -> tuple[tuple[str, ...], ...]:
        """The order as names."""
        return tuple(
            tuple(self.called[number] for number in column.tolist()) for column in self.columns
        )

    def sweep(self, *, is_forward: bool) -> None:
        """Sort every column by the middle of its neighbours in the one before, or behind.

        Those without neighbours stay where they are.
        """
        last = len(self.columns) - 1
        for number in range(1, last + 1) if is_forward else range(last - 1, -1, -1):
            left, right = self.spaces[number - 1 if is_forward else number]
            near, own = (left, right) if is_forward else (right, left)
            at = self.place[near.name] + near.share
            total = np.bincount(own.name, weights=at, minlength=len(self.called))
            column = self.columns[number]
            joined = np.flatnonzero(own.count[column])
            mine = column[joined]
            column[joined] = mine[np.argsort(total[mine] / own.count[mine], kind="stable")]
            self.place[column] = np.arange(len(column))

    def crossings(self, columns: Sequence[Sequence[str]] | None = None) -> int:
        """How often leads cross in all spaces, in the order that stands or in another."""
        if columns is not None:
            self.stand(columns)
        return sum(
            _inversions(self.place[left.name] + left.share, self.place[right.name] + right.share)
            for left, right in self.spaces
        )


def crossings(steps: Sequence[Step], left: Sequence[str], right: Sequence[str]) -> int:
    """How often leads between two columns cross."""
    above = {name: number for number, name in enumerate(left)}
    beside = {name: number for number, name in enumerate(right)}
    starts = np.array([above[step.at[0]] + step.at[1] for step in steps])
    ends = np.array([beside[step.to[0]] + step.to[1] for step in steps])
    return _inversions(starts, ends)


def _inversions(starts: NDArray[np.float64], ends: NDArray[np.float64]) -> int:
    """Pairs of which the one that starts higher ends lower."""
    sorted_ = ends[np.lexsort((ends, starts))]
    return int(np.count_nonzero((sorted_[:, None] > sorted_) & _later(len(sorted_))))


@lru_cache(maxsize=256)
def _later(count: int) -> NDArray[np.bool_]:
    """For each of so many which come after it, (count, count)."""
    return np.triu(np.ones((count, count), dtype=np.bool_), 1)
