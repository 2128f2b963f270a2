"""Every stage that can clip, with the headroom that is asked for there."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from collections.abc import Set as AbstractSet
from dataclasses import dataclass

import numpy as np

from levelhead.chain.solution import Solution
from levelhead.chain.wired.lanes import lanes
from levelhead.planning.gains.read.measured import Measured, own_ceilings
from levelhead.planning.gains.read.terms import Terms
from levelhead.quantity.peaks import SINE_CREST_DB

__all__ = ["Ceiling", "ceilings_of", "crest_over_sine_db", "leading_to", "level_db"]


@dataclass(frozen=True, slots=True)
class Ceiling:
    """A point with a ceiling of its own; levels are 20 lg of rms numbers in its unit."""

    point: int
    label: str
    ceiling_db: float
    reserve_db: float


def ceilings_of(
    terms: Terms, leading: AbstractSet[int], *, reserve_db: float
) -> tuple[Ceiling, ...]:
    """Stages, inputs and cores that end somewhere and that a signal reaches.

    Only points ``leading`` to an end or a meter count: behind a socket with no plug nobody listens.
    What plugs bring along (the ceiling of the output that feeds a socket) counts at that output.
    Recorded material cannot get louder than it is: within the player that it comes from it needs no
    reserve.
    """
    return tuple(each for each in _ceilings(terms, reserve_db) if each.point in leading)


def _ceilings(terms: Terms, reserve_db: float) -> Iterator[Ceiling]:
    solution = terms.solution
    ceilings, recorded = own_ceilings(solution), _recorded(solution)
    for point in terms.signals:
        ceiling = float(ceilings[point])
        if 0 < ceiling < math.inf:
            yield Ceiling(
                point,
                solution.graph.points[point].label,
                20 * math.log10(ceiling),
                0.0 if point in recorded else reserve_db,
            )


def _recorded(solution: Solution) -> set[int]:
    """Stages of players before anything else comes to them: their peaks are known."""
    found: set[int] = set()
    for lane in lanes(solution.rig):
        is_digital = any(
            each.generator is not None and each.generator.unit == "FS" for each in lane.path.origins
        )
        if is_digital and len(lane.path.origins) == 1:
            found |= {
                solution.number(lane.point_of(stage))
                for stage in lane.path.stages
                if lane.point_of(stage) in solution.graph.index
            }
    return found


def leading_to(solution: Solution, points: Iterable[int]) -> set[int]:
    """These points and all that lead to one of them."""
    columns = solution.graph.columns
    before: dict[int, list[int]] = {}
    for source, target in zip(columns.source.tolist(), columns.target.tolist(), strict=True):
        before.setdefault(target, []).append(source)
    found, waiting = set[int](), list(points)
    while waiting:
        point = waiting.pop()
        if point not in found:
            found.add(point)
            waiting += before.get(point, ())
    return found


def crest_over_sine_db(solution: Solution | Measured, point: int) -> float:
    """Peak of a point above its nominal level, as the sine of the same peak. [dB]"""
    return float(solution.crest_db[point]) - SINE_CREST_DB


def level_db(power: float) -> float:
    """10 lg of a mean square; ``-inf`` for silence."""
    return float(10 * np.log10(power)) if power > 0 else -math.inf
