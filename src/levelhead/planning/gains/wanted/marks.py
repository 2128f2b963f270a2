"""Meters: what each should read at sound check, by its detector and zero.

One source at a time: a sustained one has its nominal level at the meter's zero; the peaks of a
percussive one stand 9 dB above it, where the permitted maximum is (EBU R 68, ITU-R BS.645: the
alignment level lies 9 dB under it). At a mix everything plays at once, and its nominal level is at
zero. Up to 3 dB less is as good; what is loud enough further down (speech beside music) may end
there.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Iterator
from dataclasses import dataclass
from typing import Final, Literal

from levelhead.chain.levels import PointLevels
from levelhead.chain.meters import reading_level_db
from levelhead.chain.solution import Solution
from levelhead.chain.wired.lanes import Lane, lanes
from levelhead.gear.plan import StagePlan
from levelhead.planning.gains.read.terms import Terms
from levelhead.quantity.peaks import SINE_CREST_DB

__all__ = ["PERCUSSIVE_CREST_DB", "Mark", "marks_of", "meters_of"]

PERCUSSIVE_CREST_DB: Final = 16.0  # from here on a source is aligned on peaks, common practice
PERMITTED_OVER_ZERO_DB: Final = 9.0  # EBU R 68: alignment -18 dBFS, permitted maximum -9 dBFS
BELOW_DB: Final = 3.0  # that much less is as good, common practice


@dataclass(frozen=True, slots=True)
class Mark:
    """A meter with a signal. Levels are 20 lg of rms numbers in the unit of its point.

    Attributes
    ----------
    low_db, high_db
        Between which the nominal level is right.
    may_db
        How far below ``low_db`` it is still loud enough.
    reading_db
        What the meter shows above the nominal level, against its zero. [dB]
    """

    point: int
    label: str
    kind: str
    align: Literal["rms", "peak", "all"]
    zero_db: float
    low_db: float
    high_db: float
    reading_db: float
    alone: str | None
    may_db: float = 0.0

    def reads_db(self, nominal_db: float) -> float:
        """What the meter shows, against its zero."""
        return nominal_db + self.reading_db - self.zero_db


def marks_of(terms: Terms) -> tuple[Mark, ...]:
    """Every meter at which something plays."""
    solution = terms.solution
    return tuple(
        mark
        for lane in lanes(solution.rig)
        for stage in lane.path.stages
        if stage.meter is not None
        for mark in _mark(terms, lane, stage)
    )


def meters_of(solution: Solution) -> list[int]:
    """Points of meters at which something plays."""
    addresses = (
        lane.point_of(stage)
        for lane in lanes(solution.rig)
        for stage in lane.path.stages
        if stage.meter is not None
    )
    index = solution.graph.index
    return [
        index[each] for each in addresses if each in index and solution.nominal[index[each]] > 0
    ]


def _mark(terms: Terms, lane: Lane, stage: StagePlan) -> Iterator[Mark]:
    solution, meter = terms.solution, stage.meter
    point = solution.graph.index.get(lane.point_of(stage))
    if meter is None or meter.zero.value <= 0 or point is None or not _tells(terms, point):
        return
    levels = solution.levels(lane.point_of(stage))
    reads = reading_level_db(levels, meter.kind)
    if levels.nominal is None or reads is None or _is_leak(levels):
        return
    origins = _origins(terms, point)
    crest_db = float(solution.crest_db[point])
    align = _align(origins, crest_db)
    zero_db = 20 * math.log10(meter.zero.value)
    over_db = PERMITTED_OVER_ZERO_DB - (crest_db - SINE_CREST_DB) if align == "peak" else 0.0
    may_db = min(_under_zero_db(solution, each) for each in origins)
    yield Mark(
        point=point,
        label=lane.label_of(stage),
        kind=meter.kind,
        align=align,
        zero_db=zero_db,
        low_db=zero_db + over_db - BELOW_DB,
        high_db=zero_db + over_db,
        reading_db=reads - levels.nominal,
        alone=next(iter(origins)) if len(origins) == 1 else None,
        may_db=max(may_db - BELOW_DB, 0.0),
    )


def _tells(terms: Terms, point: int) -> bool:
    """Whether a signal reaches a meter; one of what cancels tells nothing."""
    return point in terms.signals and point not in terms.cancelling


def _is_leak(levels: PointLevels) -> bool:
    """Whether there is nothing to read but noise."""
    floor, nominal = levels.floor, levels.nominal
    return floor is not None and nominal is not None and nominal < floor


def _align(origins: Collection[str], crest_db: float) -> Literal["rms", "peak", "all"]:
    """By what a meter is set: one source by its level or its peaks, a mix by all of it."""
    if len(origins) != 1:
        return "all"
    return "peak" if crest_db >= PERCUSSIVE_CREST_DB else "rms"


def _origins(terms: Terms, point: int) -> set[str]:
    """Performances at a point, but for leaks."""
    found = terms.signals[point]
    top = max(each.now_db for each in found)
    return {each.origin for each in found if each.now_db > top - _LEAK_DB}


_LEAK_DB: Final = 40.0


def _under_zero_db(solution: Solution, origin: str) -> float:
    return next(
        (each.under_zero_db for each in solution.graph.components if each.origin == origin), 0.0
    )
