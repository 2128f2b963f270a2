"""Powered loudspeakers: their own input limit, told at the output that feeds them."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace

import numpy as np

from levelhead.chain.solution import Solution
from levelhead.planning.limiters.arithmetic import dbu_of
from levelhead.planning.limiters.feeds import (
    feed_of,
    plays_from_hz,
    setting_before,
    summed_note,
    unreached_note,
)
from levelhead.planning.limiters.settings import Limit, LimiterSetting
from levelhead.planning.limiters.way_back import Step, WaysBack
from levelhead.rig.model import RigPort
from levelhead.verdicts.read.reading import Reading

__all__ = ["powered_settings"]


def powered_settings(reading: Reading, ways: WaysBack) -> Iterator[LimiterSetting]:
    """Loudspeakers with an amplifier inside: their own limit, told at the output before."""
    solution, seen = reading.solution, set[str]()
    for row in range(len(solution.graph.wiring.addresses)):
        if solution.graph.wiring.unit(row) != "Pa":
            continue
        item = reading.rig.items.get(solution.graph.points[row].item)
        if item is None or item.id in seen or item.plan.is_worn or item.plan.earth == "none":
            continue
        steps = list(ways.within(row, item.id))
        port = ways.port(steps[-1].row) if steps else None
        if port is not None and port.plan.role == "in" and steps[-1].gain.max() > 0:
            seen.add(item.id)
            yield _own_limit(ways, row, port, steps)


def _own_limit(ways: WaysBack, row: int, entry: RigPort, steps: Sequence[Step]) -> LimiterSetting:
    """The least that brings any stage inside to its end, or its limiter to its threshold."""
    solution, whole = ways.solution, steps[-1].gain
    limits = [(_limit_of(solution, row), whole)]
    limits += [
        (_limit_of(solution, step.row), whole / np.maximum(step.gain, 1e-30)) for step in steps[:-1]
    ]
    entry_v = min(limit / float(gain.max()) for limit, gain in limits)
    feed = feed_of(ways, steps)
    dbu = None
    if feed is not None:
        dbu = dbu_of(entry_v / float((feed.gain / np.maximum(whole, 1e-30)).max()))
    peak = Limit(entry_v, dbu, f"own limit of {entry.item.label} as its level stands")
    deepest_hz = plays_from_hz(solution, entry.item.id)
    return replace(
        setting_before(ways, entry, feed, (None, peak), steps=steps, deepest_hz=deepest_hz),
        loudspeakers=(entry.item.label,),
        notes=(
            *summed_note(steps),
            *unreached_note(ways, feed, peak),
            *(() if feed else ("Nothing is plugged into it: volts only.",)),
        ),
    )


def _limit_of(solution: Solution, row: int) -> float:
    """Where a stage ends or its limiter begins: rms in the unit of its point."""
    shape = solution.graph.shapes.get(row)
    limiter = None if shape is None else shape.limiter
    threshold = math.inf if limiter is None else limiter.threshold
    return min(float(solution.graph.points[row].ceiling), threshold)
