"""Who stands above whom in a column: few crossings, and nothing moved without need.

Layered drawing after Sugiyama, Tagawa and Toda (1981): a lead that passes a column takes a place
in it; columns are sorted by where their leads come from, to and fro, and the best order is kept.
Sockets stay in the order of the panel, so a desk sorts its sources by channel.
"""

from __future__ import annotations

from bisect import bisect_right, insort
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

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
    start = _inserted(layers, kept) if kept else layers.columns
    best, least = start, _all_crossings(start, layers.steps)
    if kept:
        least = int(least * _WORTH_MOVING)
    columns = list(start)
    for sweep in range(_SWEEPS):
        _sweep(columns, layers.steps, is_forward=sweep % 2 == 1)
        found = _all_crossings(columns, layers.steps)
        if found < least:
            best, least = tuple(columns), found
    return Layers(best, layers.steps)


def _inserted(layers: Layers, kept: Collection[str]) -> tuple[tuple[str, ...], ...]:
    """Columns with those that are new put where their leads come from."""
    columns = [[name for name in names if name in kept] for names in layers.columns]
    for number, names in enumerate(layers.columns):
        steps = layers.steps[number - 1] if number else ()
        place = {name: float(index) for index, name in enumerate(columns[number - 1])}
        middle = _middles(steps, place, is_forward=True)
        for name in names:
            if name not in kept:
                own = middle.get(name, float("inf"))
                below = (
                    at for at, each in enumerate(columns[number]) if middle.get(each, -1.0) > own
                )
                columns[number].insert(next(below, len(columns[number])), name)
    return tuple(map(tuple, columns))


def _middles(
    steps: Sequence[Step], place: Mapping[str, float], *, is_forward: bool
) -> dict[str, float]:
    """Mean place of what each name is joined to in the neighbouring column."""
    found: dict[str, list[float]] = {}
    for step in steps:
        own, other = (step.to, step.at) if is_forward else (step.at, step.to)
        found.setdefault(own[0], []).append(place[other[0]] + other[1])
    return {name: sum(each) / len(each) for name, each in found.items()}


def _sweep(
    columns: list[tuple[str, ...]], steps: Sequence[Sequence[Step]], *, is_forward: bool
) -> None:
    """Sort every column by the middle of its neighbours in the one before, or behind."""
    numbers = range(1, len(columns)) if is_forward else range(len(columns) - 2, -1, -1)
    for number in numbers:
        near = number - 1 if is_forward else number + 1
        place = {name: float(index) for index, name in enumerate(columns[near])}
        middle = _middles(steps[min(near, number)], place, is_forward=is_forward)
        now = {name: float(index) for index, name in enumerate(columns[number])}
        columns[number] = _merged(columns[number], middle, now)


def _merged(
    names: tuple[str, ...], middle: Mapping[str, float], now: Mapping[str, float]
) -> tuple[str, ...]:
    """Those with neighbours sorted among themselves; the others stay where they are."""
    sorted_ = iter(sorted((each for each in names if each in middle), key=middle.__getitem__))
    return tuple(next(sorted_) if each in middle else each for each in sorted(names, key=now.get))  # type: ignore[arg-type]


def _all_crossings(columns: Sequence[Sequence[str]], steps: Sequence[Sequence[Step]]) -> int:
    return sum(
        crossings(steps[number], columns[number], columns[number + 1])
        for number in range(len(columns) - 1)
    )


def crossings(steps: Sequence[Step], left: Sequence[str], right: Sequence[str]) -> int:
    """How often leads between two columns cross."""
    above = {name: number for number, name in enumerate(left)}
    beside = {name: number for number, name in enumerate(right)}
    pairs = sorted(
        (above[step.at[0]] + step.at[1], beside[step.to[0]] + step.to[1]) for step in steps
    )
    seen: list[float] = []
    count = 0
    for _, end in pairs:
        count += len(seen) - bisect_right(seen, end)
        insort(seen, end)
    return count
