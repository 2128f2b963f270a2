"""How far down each box stands: level with what it is joined to, none on another.

Within a column the order is given, so the heights nearest to the wished ones in squares are an
isotonic regression, found by pooling adjacent violators (Barlow et al., Statistical inference under
order restrictions, 1972).
"""

from __future__ import annotations

from collections.abc import Container, Mapping, Sequence
from itertools import pairwise
from operator import le
from typing import Final

import numpy as np
from numpy.typing import NDArray

from levelhead.drawing.flow.order import Layers, Step

__all__ = ["BETWEEN", "heights_of", "lowered", "pooled"]

BETWEEN: Final = 20.0  # from box to box
_PASSING: Final = 14.0  # beside a lead that passes
_SWEEPS: Final = 7
_FREE: Final = 0.1  # weight of what is joined to nothing
_SMALL: Final = 12.0  # a step in a lead that looks like a slip

Real = NDArray[np.float64]
Whole = NDArray[np.int64]


def pooled(wished: Sequence[float], weights: Sequence[float]) -> list[float]:
    """Rising figures nearest to those wished.

    Examples
    --------
    >>> pooled([1.0, 3.0, 2.0], [1.0, 1.0, 1.0])
    [1.0, 2.5, 2.5]
    """
    if all(map(le, wished, wished[1:])):
        return list(wished)
    means: list[float] = []
    masses: list[float] = []
    counts: list[int] = []
    for goal, weight in zip(wished, weights, strict=True):
        mean, mass, count = goal, weight, 1
        while means and means[-1] > mean:
            heavy = masses.pop()
            mean = (means.pop() * heavy + mean * mass) / (heavy + mass)
            mass, count = mass + heavy, count + counts.pop()
        means.append(mean)
        masses.append(mass)
        counts.append(count)
    return [mean for mean, count in zip(means, counts, strict=True) for _ in range(count)]


def heights_of(
    layers: Layers, tall: Mapping[str, float], pins: Mapping[tuple[str, str, str], float]
) -> dict[str, float]:
    """Top of each box and passage.

    Parameters
    ----------
    tall
        Height of each box; a passage has none.
    pins
        Where a lead meets a box, below its top, by lead, box and side.
    """
    column = _Columns(layers, tall, pins)
    for sweep in range(_SWEEPS):
        column.sweep(is_forward=sweep % 2 == 0)
    top = column.tops()
    for number, names in enumerate(layers.columns):
        before, behind = layers.steps[number - 1] if number else (), layers.steps[number]
        _straighten(names, before, behind, tall, pins, top)
    least = min(top.values(), default=0.0)
    return {name: value - least for name, value in top.items()}


class _Space:
    """Steps between two columns as numbers: whose ends, and how far down on them."""

    def __init__(
        self,
        steps: Sequence[Step],
        number: Mapping[str, int],
        pins: Mapping[tuple[str, str, str], float],
    ) -> None:
        self.left = np.array([number[step.at[0]] for step in steps], dtype=np.int64)
        self.right = np.array([number[step.to[0]] for step in steps], dtype=np.int64)
        out = [pins.get((step.lead, step.at[0], "right"), 0.0) for step in steps]
        into = [pins.get((step.lead, step.to[0], "left"), 0.0) for step in steps]
        self.falls = np.array(out) - np.array(into)  # of the right end against the left one
        self.counts = {
            True: np.bincount(self.right, minlength=len(number)),
            False: np.bincount(self.left, minlength=len(number)),
        }


class _Columns:
    """All columns with the heights that they have now."""

    def __init__(
        self,
        layers: Layers,
        tall: Mapping[str, float],
        pins: Mapping[tuple[str, str, str], float],
    ) -> None:
        self.called = [name for names in layers.columns for name in names]
        number = {name: each for each, name in enumerate(self.called)}
        self.columns = [np.array([number[name] for name in names]) for names in layers.columns]
        self.shifts = [np.array(_shifts(names, tall)) for names in layers.columns]
        self.spaces = [_Space(steps, number, pins) for steps in layers.steps[:-1]]
        self.top = np.zeros(len(self.called))
        for column, shifts in zip(self.columns, self.shifts, strict=True):
            self._stack(column, shifts, -shifts, np.ones(len(column)))

    def sweep(self, *, is_forward: bool) -> None:
        """Put each column level with its neighbours in the one before, or behind."""
        last = len(self.columns) - 1
        for number in range(1, last + 1) if is_forward else range(last - 1, -1, -1):
            space = self.spaces[number - 1 if is_forward else number]
            own, far = (space.right, space.left) if is_forward else (space.left, space.right)
            level = self.top[far] + (space.falls if is_forward else -space.falls)
            count = space.counts[is_forward]
            total = np.bincount(own, weights=level, minlength=len(self.top))
            column, shifts = self.columns[number], self.shifts[number]
            weights = count[column].astype(np.float64)
            joined = weights > 0
            goals = np.where(joined, total[column] / np.maximum(weights, 1), self.top[column])
            self._stack(column, shifts, goals - shifts, np.where(joined, weights, _FREE))

    def _stack(self, column: Whole, shifts: Real, goals: Real, weights: Real) -> None:
        """Tops nearest to the goals, with room between neighbours."""
        self.top[column] = pooled(goals.tolist(), weights.tolist()) + shifts

    def tops(self) -> dict[str, float]:
        """Top of each name."""
        return dict(zip(self.called, self.top.tolist(), strict=True))


def _shifts(names: Sequence[str], tall: Mapping[str, float]) -> list[float]:
    """How far below the first of its column each stands at least."""
    below = 0.0
    found = []
    for number, name in enumerate(names):
        if number:
            below += tall.get(names[number - 1], 0.0) + _room(names[number - 1], name, tall)
        found.append(below)
    return found


def _room(one: str, other: str, tall: Container[str]) -> float:
    """What stays free between two neighbours."""
    return BETWEEN if one in tall and other in tall else _PASSING


def lowered(
    names: Sequence[str], name: str, by: float, tall: Mapping[str, float], top: dict[str, float]
) -> None:
    """Move one of a column down, and what stands below it as far as that needs."""
    top[name] += by
    below = names[names.index(name) :]
    for one, other in pairwise(below):
        top[other] = max(top[other], _bottom(one, tall, top) + _room(one, other, tall))


def _straighten(
    names: Sequence[str],
    before: Sequence[Step],
    behind: Sequence[Step],
    tall: Mapping[str, float],
    pins: Mapping[tuple[str, str, str], float],
    top: dict[str, float],
) -> None:
    """Take a small step out of a lead where its box may move that far and has no other there."""
    arriving = _alone([(step.to[0], step.at[0], step.lead) for step in before])
    leaving = _alone([(step.at[0], step.to[0], step.lead) for step in behind])
    for number, name in enumerate(names):
        for found, own, other in ((arriving, "left", "right"), (leaving, "right", "left")):
            joined = found.get(name)
            if joined is None:
                continue
            _, far, lead = joined
            by = top[far] + pins.get((lead, far, other), 0.0)
            by -= top[name] + pins.get((lead, name, own), 0.0)
            if abs(by) < _SMALL and _has_room(names, number, by, tall, top):
                top[name] += by
                break


def _alone(steps: Sequence[tuple[str, str, str]]) -> dict[str, tuple[str, str, str] | None]:
    """What a box is joined to, and by which lead, where that is one; ``None`` where it is more."""
    found: dict[str, tuple[str, str, str] | None] = {}
    for step in steps:
        found[step[0]] = None if step[0] in found else step
    return found


def _has_room(
    names: Sequence[str],
    number: int,
    by: float,
    tall: Mapping[str, float],
    top: Mapping[str, float],
) -> bool:
    """Whether a box may move by this much and still stand clear of those above and below."""
    name = names[number]
    upper = top[name] + by
    is_clear = number == 0 or upper >= _bottom(names[number - 1], tall, top) + _PASSING
    last = number + 1 == len(names)
    return is_clear and (last or upper + tall.get(name, 0.0) + _PASSING <= top[names[number + 1]])


def _bottom(name: str, tall: Mapping[str, float], top: Mapping[str, float]) -> float:
    return top[name] + tall.get(name, 0.0)
