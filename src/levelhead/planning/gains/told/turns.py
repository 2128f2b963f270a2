"""What a gain plan turns on: the numbers that nobody knows exactly, and how far they move it."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Final

import numpy as np
from numpy.typing import NDArray

from levelhead.chain.solution import Solution
from levelhead.gear.figures import Figure
from levelhead.planning.gains.model.values import Model
from levelhead.planning.gains.ringing import ringing_words
from levelhead.planning.gains.wanted.ends import End
from levelhead.quantity.formatting import format_level
from levelhead.verdicts.told.words import control_words, place_words

__all__ = ["drowned", "turns_on"]

Real = NDArray[np.float64]

_TOLD: Final = 2
_NAMED: Final = 3
_DECIDES_DB: Final = 1.0  # nearer to a ceiling, it is the ceiling that decides: common practice
_WORTH_DB: Final = 2.0  # a spread that moves a knob by what one sees
_DROWNED_DB: Final = 20.0  # under the loudest source: hardly heard beside it, common practice


def turns_on(
    model: Model, after: Solution, settings: Real, *, reserve_db: float
) -> tuple[str, ...]:
    """Sentences, each with its number."""
    ringing = tuple(ringing_words(after))
    return (
        *ringing,
        *_loudest(model, after, settings, reserve_db, rings=bool(ringing)),
        *_sources(after),
        *_unknown(model, after),
    )


def _loudest(
    model: Model, after: Solution, settings: Real, reserve_db: float, *, rings: bool
) -> Iterator[str]:
    """The ceiling that decides how loud it gets, and how sure it is; not where ringing does."""
    rooms = []
    for each in model.ceilings:
        address = model.addresses[each.point]
        if model.units[each.point] == "Pa" or _is_power(after, after.number(address)):
            peak_db = model.levels[each.point].level_db(settings) + model.crest_db[each.point]
            rooms.append((each.ceiling_db - peak_db - each.reserve_db, address, each.label))
    if not rooms:
        return
    slack_db, address, label = min(rooms)
    if slack_db > _DECIDES_DB:
        if rings:
            return
        more, reserve = format_level(slack_db, "dB"), format_level(reserve_db, "dB")
        yield (
            f"How loud it gets is what is wanted or set: {place_words(label)}, the first to end, "
            f"would take {more} more, beyond the reserve of {reserve}."
        )
        return
    yield (
        f"How loud it gets turns on the ceiling of {place_words(label)}"
        f"{_spread_words(after.point(address).ceiling_figure)}, and on the reserve of "
        f"{format_level(reserve_db, 'dB')}: each dB of either is one dB of level."
    )


def drowned(model: Model, after: Solution) -> Iterator[str]:
    """Sources that the balance, as it is set, leaves far under the loudest; a sentence a place."""
    names = {each.origin: each.label for each in after.graph.components}
    power: dict[End, dict[str, float]] = {}
    for target, _ in model.targets:
        if target.end.kind != "recorder":
            heard = power.setdefault(target.end, {})
            origin = target.term.origin
            heard[origin] = heard.get(origin, 0.0) + 10 ** (target.wanted_db / 10)
    under: dict[str, tuple[float, str, str]] = {}
    for end, heard in power.items():
        loudest = max(heard, key=lambda origin: heard[origin])
        for origin, each in heard.items():
            by_db = 10 * math.log10(heard[loudest] / each)
            told = (by_db, names[loudest], place_words(after.point(end.address).label))
            under[origin] = min(under.get(origin, told), told)
    together: dict[str, list[tuple[float, str, str]]] = {}
    for origin, (by_db, loudest, place) in sorted(under.items(), key=lambda each: -each[1][0]):
        if by_db > _DROWNED_DB:
            together.setdefault(loudest, []).append((by_db, names[origin], place))
    for loudest, found in together.items():
        worst_db, _, place = found[0]
        least = "" if len(found) == 1 else f"{_db(found[-1][0])} to "
        yield (
            f"{_named([name for _, name, _ in found])} set {least}{_db(worst_db)} under {loudest}, "
            f"as at {place}, and the plan keeps that balance. If it is not meant so, mend first "
            "what check finds, or move faders; then plan again."
        )


def _named(names: list[str]) -> str:
    """The first of them by name, with the verb that goes with as many."""
    if len(names) == 1:
        return f"{names[0]} is"
    first, last = names[:_NAMED], len(names) - _NAMED
    more = [f"{last} more"] if last > 0 else []
    *all_but, end = [*first, *more]
    return f"{', '.join(all_but)} and {end} are"


def _db(value: float) -> str:
    return format_level(value, "dB")


def _is_power(after: Solution, point: int) -> bool:
    """A stage that drives a loudspeaker."""
    columns, unit = after.graph.columns, after.graph.wiring.unit
    targets = columns.target[columns.source == point].tolist()
    return any(unit(each) == "Pa" or _feeds_air(after, each) for each in targets)


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
    """The sources that get anywhere whose level is least known; those that do not, by name."""
    spreads: dict[str, tuple[float, str]] = {}
    arriving = {way[0].partition(".")[0] for way in after.paths}
    silent = {each.label: None for each in after.graph.components if each.origin not in arriving}
    for label in silent:
        yield f"Nothing of {label} arrives anywhere, so nothing is planned for it: check says why."
    for each in after.graph.components:
        if each.label in silent:
            continue
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
