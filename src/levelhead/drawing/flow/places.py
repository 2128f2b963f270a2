"""How far down each box stands: level with what it is joined to, none on another.

Within a column the order is given, so the heights nearest to the wished ones in squares are an
isotonic regression, found by pooling adjacent violators (Barlow et al., Statistical inference under
order restrictions, 1972).
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Final

from levelhead.drawing.flow.order import Layers, Step

__all__ = ["BETWEEN", "heights_of", "pooled"]

BETWEEN: Final = 20.0  # from box to box
_PASSING: Final = 14.0  # beside a lead that passes
_SWEEPS: Final = 7
_SMALL: Final = 12.0  # a step in a lead that looks like a slip


def pooled(wished: Sequence[float], weights: Sequence[float]) -> list[float]:
    """Rising figures nearest to those wished.

    Examples
    --------
    >>> pooled([1.0, 3.0, 2.0], [1.0, 1.0, 1.0])
    [1.0, 2.5, 2.5]
    """
    blocks: list[tuple[float, float, int]] = []  # mean, weight, how many
    for value, weight in zip(wished, weights, strict=True):
        mean, mass, count = value, weight, 1
        while blocks and blocks[-1][0] > mean:
            above, heavy, many = blocks.pop()
            mean = (above * heavy + mean * mass) / (heavy + mass)
            mass, count = mass + heavy, count + many
        blocks.append((mean, mass, count))
    return [mean for mean, _, count in blocks for _ in range(count)]


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
    top: dict[str, float] = {}
    for names in layers.columns:
        _stack(names, [0.0] * len(names), [1.0] * len(names), tall, top)
    for sweep in range(_SWEEPS):
        is_forward = sweep % 2 == 0
        numbers = range(1, len(layers.columns))
        for number in numbers if is_forward else reversed(range(len(layers.columns) - 1)):
            steps = layers.steps[number - 1 if is_forward else number]
            _align(layers.columns[number], steps, tall, pins, top, is_forward=is_forward)
    for number, names in enumerate(layers.columns):
        before, behind = layers.steps[number - 1] if number else (), layers.steps[number]
        _straighten(names, before, behind, tall, pins, top)
    least = min(top.values(), default=0.0)
    return {name: value - least for name, value in top.items()}


def _align(
    names: Sequence[str],
    steps: Sequence[Step],
    tall: Mapping[str, float],
    pins: Mapping[tuple[str, str, str], float],
    top: dict[str, float],
    *,
    is_forward: bool,
) -> None:
    """Put a column level with its neighbours in the one before, or behind."""
    wished: dict[str, list[float]] = {}
    for step in steps:
        own, other = (step.to, step.at) if is_forward else (step.at, step.to)
        sides = ("left", "right") if is_forward else ("right", "left")
        beside = top[other[0]] + pins.get((step.lead, other[0], sides[1]), 0.0)
        wished.setdefault(own[0], []).append(beside - pins.get((step.lead, own[0], sides[0]), 0.0))
    goals = [_mean(wished.get(name, [top[name]])) for name in names]
    weights = [float(len(wished.get(name, ()))) or 0.1 for name in names]
    _stack(names, goals, weights, tall, top)


def _straighten(
    names: Sequence[str],
    before: Sequence[Step],
    behind: Sequence[Step],
    tall: Mapping[str, float],
    pins: Mapping[tuple[str, str, str], float],
    top: dict[str, float],
) -> None:
    """Take a small step out of a lead where its box may move that far and has no other there."""
    arriving = _by_name((step.to[0], step.at[0], step.lead) for step in before)
    leaving = _by_name((step.at[0], step.to[0], step.lead) for step in behind)
    for number, name in enumerate(names):
        for found, own, other in ((arriving, "left", "right"), (leaving, "right", "left")):
            if len(found.get(name, ())) != 1:
                continue
            far, lead = found[name][0]
            by = top[far] + pins.get((lead, far, other), 0.0)
            by -= top[name] + pins.get((lead, name, own), 0.0)
            if abs(by) < _SMALL and _has_room(names, number, by, tall, top):
                top[name] += by
                break


def _by_name(steps: Iterable[tuple[str, str, str]]) -> dict[str, list[tuple[str, str]]]:
    """What each box is joined to, and by which lead."""
    found: dict[str, list[tuple[str, str]]] = {}
    for own, far, lead in steps:
        found.setdefault(own, []).append((far, lead))
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


def _mean(values: Sequence[float]) -> float:
    return sum(values) / len(values)


def _stack(
    names: Sequence[str],
    goals: Sequence[float],
    weights: Sequence[float],
    tall: Mapping[str, float],
    top: dict[str, float],
) -> None:
    """Tops nearest to the goals, with room between neighbours."""
    below = 0.0
    shifts = []
    for number, name in enumerate(names):
        if number:
            is_passing = name not in tall or names[number - 1] not in tall
            below += tall.get(names[number - 1], 0.0) + (_PASSING if is_passing else BETWEEN)
        shifts.append(below)
    free = pooled([goal - shift for goal, shift in zip(goals, shifts, strict=True)], weights)
    top.update(
        zip(names, (each + shift for each, shift in zip(free, shifts, strict=True)), strict=True)
    )
