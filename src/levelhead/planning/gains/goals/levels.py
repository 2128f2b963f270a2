"""Goals about levels: nothing clips, everything is as loud as it is meant, meters read right."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from levelhead.planning.gains.goals.search import SLACK_DB, Pair, Row, Search
from levelhead.planning.gains.goals.switch_costs import loudness_costs, meters_costs
from levelhead.planning.gains.programme.programme import Found

__all__ = ["least_clipping", "least_off_loudness", "least_off_meters"]


def least_clipping(search: Search) -> dict[int, int]:
    """By stage that anything moves, the variable of how far peaks use up its reserve."""
    model, found = search.model, {}
    rows: dict[tuple[Row, float], int] = {}
    for each in model.ceilings:
        constant, parts, _ = search.rows_of(model.levels[each.point])
        for option, by_db in model.option_ceilings.get(each.point, {}).items():
            parts[option] = parts.get(option, 0.0) - by_db
        if not parts:
            continue
        room = each.ceiling_db - each.reserve_db - model.crest_db[each.point] - constant
        key = (tuple(sorted(parts.items())), round(room, 6))
        if key not in rows:
            rows[key] = search.programme.variable()
            search.programme.row({**parts, rows[key]: -1.0}, high=room)
        found[each.point] = rows[key]
    reserves = {each.point: each.reserve_db for each in model.ceilings}
    variables = list(dict.fromkeys(found.values()))
    best = search.least("clipping", dict.fromkeys(variables, 1.0))
    if any(best.values[var] > reserves[point] + SLACK_DB for point, var in found.items()):
        best = _least_clipped(search, found, reserves)
    search.hold(best, variables)
    return found


def _least_clipped(
    search: Search, found: Mapping[int, int], reserves: Mapping[int, float]
) -> Found:
    """Where something clips: first as little of that as can be, then of the reserve."""
    clipped = {}
    for point, variable in found.items():
        clipped[point] = search.programme.variable()
        search.programme.row({variable: 1.0, clipped[point]: -1.0}, high=reserves[point])
    least = search.programme.least(dict.fromkeys(clipped.values(), 1.0))
    search.hold(least, list(clipped.values()))
    return search.least("clipping", dict.fromkeys(found.values(), 1.0))


def least_off_loudness(search: Search) -> tuple[dict[int, Pair], dict[int, int]]:
    """Deviations of targets; those that are the same thing share a row.

    Besides, by group that is free as a whole, the variable that moves it.
    """
    rows: dict[tuple[Row, float, int], Pair] = {}
    free: dict[int, int] = {}
    found = {}
    for number, (target, level) in enumerate(search.model.targets):
        constant, parts, _ = search.rows_of(level)
        if not parts:
            continue
        wanted = target.wanted_db - constant
        if target.is_free:
            off = free.setdefault(target.end.group, -1)
            if off < 0:
                off = free[target.end.group] = search.programme.variable(-200.0, 200.0)
            parts = {**parts, off: -1.0}
        key = (tuple(sorted(parts.items())), round(wanted, 4), target.end.group)
        if key not in rows:
            over, under = search.programme.variable(), search.programme.variable()
            search.programme.row({**parts, over: -1.0, under: 1.0}, low=wanted, high=wanted)
            rows[key] = (over, under)
        found[number] = rows[key]
    variables = [each for pair in rows.values() for each in pair]
    cost = dict.fromkeys(variables, 1.0) | loudness_costs(search.model)
    search.hold(search.least("loudness", cost), variables)
    return found, free


def least_off_meters(search: Search) -> dict[int, Pair]:
    """Deviations of meters from their range."""
    found = {}
    for number, mark in enumerate(search.model.marks):
        level = search.model.levels[mark.point]
        constant, parts, is_single = search.rows_of(level)
        if not parts:
            continue
        over, under = search.programme.variable(), search.programme.variable()
        search.programme.row({**parts, over: -1.0}, high=mark.high_db - constant)
        if not is_single:  # a sum is not concave: its tangent where loudness left it stands in
            constant, slope = level.tangent(search.at)
            parts = {int(each): float(slope[each]) for each in np.flatnonzero(slope)}
        search.programme.row({**parts, under: 1.0}, low=mark.low_db - constant)
        found[number] = (over, under)
    variables = [each for pair in found.values() for each in pair]
    cost = dict.fromkeys(variables, 1.0) | meters_costs(search.model)
    search.hold(search.least("meters", cost), variables)
    return found
