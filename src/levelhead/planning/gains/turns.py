"""What a gain plan turns on: the numbers that nobody knows exactly, and how far they move it."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Final

from levelhead.chain.solution import Solution
from levelhead.gear.figures import Figure
from levelhead.planning.gains.goals import Model
from levelhead.quantity.formatting import format_level
from levelhead.verdicts.words import control_words, place_words

__all__ = ["turns_on"]

_TOLD: Final = 2
_WORTH_DB: Final = 2.0  # a spread that moves a knob by what one sees


def turns_on(model: Model, after: Solution, *, reserve_db: float) -> tuple[str, ...]:
    """Sentences, each with its number."""
    return (
        *_loudest(model, after, reserve_db),
        *_sources(after),
        *_unknown(model, after),
    )


def _loudest(model: Model, after: Solution, reserve_db: float) -> Iterator[str]:
    """The ceiling that decides how loud it gets, and how sure it is."""
    rooms = [
        (ceiling.ceiling_db - level - model.crest_db[ceiling.point] - ceiling.reserve_db, ceiling)
        for ceiling in model.ceilings
        if model.units[ceiling.point] == "Pa" or _is_power(after, ceiling.point)
        for level in (_level_db(after, ceiling.point),)
    ]
    if not rooms:
        return
    _, first = min(rooms, key=lambda each: each[0])
    figure = after.graph.points[first.point].ceiling_figure
    place = place_words(first.label)
    yield (
        f"How loud it gets turns on the ceiling of {place}{_spread_words(figure)}, and on the "
        f"reserve of {format_level(reserve_db, 'dB')}: each dB of either is one dB of level."
    )


def _level_db(after: Solution, point: int) -> float:
    nominal = float(after.nominal[point])
    return 20 * math.log10(nominal) if nominal > 0 else -math.inf


def _is_power(after: Solution, point: int) -> bool:
    """A stage that drives a loudspeaker."""
    edges = (after.graph.columns.source == point).nonzero()[0].tolist()
    return any(
        after.graph.wiring.unit(int(after.graph.columns.target[each])) == "Pa"
        or _feeds_air(after, int(after.graph.columns.target[each]))
        for each in edges
    )


def _feeds_air(after: Solution, socket: int) -> bool:
    onward = (after.graph.columns.source == socket).nonzero()[0].tolist()
    targets = (int(after.graph.columns.target[each]) for each in onward)
    return any(after.graph.wiring.unit(target) == "Pa" for target in targets)


def _spread_words(figure: Figure | None) -> str:
    if figure is None or figure.low <= 0 or figure.high <= figure.low:
        return ""
    low_db = 20 * math.log10(figure.value / figure.low)
    high_db = 20 * math.log10(figure.high / figure.value)
    return f" ({format_level(low_db, 'dB')} less to {format_level(high_db, 'dB')} more of its type)"


def _sources(after: Solution) -> Iterator[str]:
    """The sources whose level is least known."""
    spreads: dict[str, tuple[float, str]] = {}
    for each in after.graph.components:
        low, high = each.level.low, each.level.high
        if each.level.unit in {"dB", "dBu", "dBFS", "dB SPL"}:
            spread = (high - low) / 2
        else:
            spread = 10 * math.log10(high / low) if low > 0 else 0.0
        spreads[each.origin] = max(spreads.get(each.origin, (0.0, "")), (spread, each.label))
    rank = sorted(spreads.values(), reverse=True)
    for spread, label in rank[:_TOLD]:
        if spread >= _WORTH_DB:
            yield (
                f"The gain of {label} turns on how loud it really is: it may be "
                f"{format_level(spread, 'dB')} either way, and its gain goes the other way by as "
                "much. Its meter at sound check tells."
            )


def _unknown(model: Model, after: Solution) -> Iterator[str]:
    for knob in model.knobs.knobs:
        if not knob.is_known:
            words = control_words(after.rig, knob.control)
            yield f"Nobody knows where {words} stands: the plan sets it."
