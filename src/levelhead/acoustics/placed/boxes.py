"""Loudspeakers of a solved show at their places: how they play, what heat and ceilings take off."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Final

import numpy as np
from numpy.typing import NDArray

from levelhead.acoustics.remarks import Remark, no_place
from levelhead.acoustics.sound.directivity import (
    Directivity,
    column_coverage,
    coverage_of_size,
)
from levelhead.acoustics.sound.directivity_table import read_directivity
from levelhead.acoustics.sound.loudspeaker import power_compression_db
from levelhead.acoustics.sound.low_end import SUBWOOFER, USUAL, LowEnd, low_end_of
from levelhead.chain.solution import Solution
from levelhead.gear.plan import ItemPlan
from levelhead.quantity.bands import mid_hz
from levelhead.show.model import Item

__all__ = [
    "ALL_AROUND_Q",
    "BOX_TO_HZ",
    "COLUMN_WIDTH_M",
    "HEARD_OVER_DB",
    "INTO_THE_HALL",
    "USUAL_COVERAGE_DEG",
    "USUAL_SIZE_M",
    "Box",
    "axis_of",
    "boxes_of",
    "outputs_into_room",
]

USUAL_COVERAGE_DEG: Final = (90.0, 60.0)  # typical
USUAL_SIZE_M: Final = (0.35, 0.6)  # width and height of a box: typical
INTO_THE_HALL: Final = (0.0, 1.0, 0.0)
BOX_TO_HZ: Final = 16_000.0  # a box falls off above by 12 dB an octave: typical
HEARD_OVER_DB: Final = 0.5
ALL_AROUND_Q: Final = 1.05  # directivity factor of what plays all around, and a little more
COLUMN_WIDTH_M: Final = 0.15  # typical
Real = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Box:
    """A loudspeaker of the show: its point in the chain, and where it is.

    ``hot_db`` is what its warm coil takes off, ``over_db`` how far it is driven beyond the largest
    clean sine, where its level stays.
    """

    number: int
    item: Item
    at_m: Real
    axis: Real
    coverage: Directivity
    hot_db: float = 0.0
    over_db: float = 0.0
    low_end: LowEnd = USUAL

    @property
    def name(self) -> str:
        """What the crew calls it."""
        return self.item.called

    @property
    def response(self) -> Real:
        """Power that is left of deep and of the highest notes, (31,): Butterworth filters."""
        is_sub = float(self.coverage.q.max()) <= ALL_AROUND_Q
        deep = (SUBWOOFER if is_sub else self.low_end).response
        return np.asarray(deep / (1.0 + (mid_hz() / BOX_TO_HZ) ** 4))


def boxes_of(solution: Solution) -> tuple[list[Box], list[Remark]]:
    """Loudspeakers whose place is known, and remarks on those whose place or aim is not."""
    boxes, remarks = [], []
    for number in outputs_into_room(solution):
        item = solution.rig.show.items[solution.graph.points[number].item]
        if item.at is None:
            remarks.append(no_place(item, "'at' and 'aim'"))
            continue
        box = _box(solution, number, item)
        boxes.append(box)
        remarks += _remarks(box)
    return boxes, remarks


def _box(solution: Solution, number: int, item: Item) -> Box:
    """A loudspeaker that has a place, as it is driven."""
    return Box(
        number=number,
        item=item,
        at_m=np.array(item.at),
        axis=axis_of(item, INTO_THE_HALL),
        coverage=_directivity(solution.rig.items[item.id].plan),
        hot_db=_hot_db(solution, item.id),
        over_db=_over_db(solution, number),
        low_end=low_end_of(solution, item.id),
    )


def _remarks(box: Box) -> Iterator[Remark]:
    """What there is to say of a loudspeaker's aim and of how it is driven."""
    item = box.item
    if item.aim is None or item.aim == item.at:
        what = f"{item.called} is turned to nobody: it is taken to look into the hall"
        yield Remark("acoustics.no-aim", "care", item.id, what)
    if box.over_db > HEARD_OVER_DB:
        what = f"{item.called} is driven {box.over_db:.0f} dB too far: it stays at its most"
        yield Remark("acoustics.over-its-ceiling", "care", item.id, what)


def _hot_db(solution: Solution, item: str) -> float:
    """What heat takes off a loudspeaker with a rating, by the volts at its terminals. [dB]"""
    lost_db = 0.0
    for address, port in solution.rig.ports.items():
        rating = port.plan.figures.get("long-term-rating")
        row = solution.graph.index.get(address)
        if port.item.id == item and rating is not None and row is not None:
            volts = float(solution.nominal[row])
            lost_db = max(lost_db, float(power_compression_db(volts, rated_v=rating.value)))
    return lost_db


def _over_db(solution: Solution, number: int) -> float:
    """How far the loud passage is above the largest clean sine; zero below it. [dB]"""
    nominal, ceiling = float(solution.nominal[number]), float(solution.ceiling[number])
    if not (nominal > 0 and 0 < ceiling < math.inf):
        return 0.0
    return max(0.0, 20.0 * math.log10(nominal / ceiling))


def outputs_into_room(solution: Solution) -> Iterator[int]:
    """Points at which sound leaves into the air of the room, not into an ear."""
    for bank in solution.graph.wiring.banks:
        if bank.path.to_air:
            for number in bank.numbers[:, -1].tolist():
                point = solution.graph.points[number]
                if point.unit != "Pa" or point.item not in solution.rig.show.items:
                    continue
                if not solution.rig.items[point.item].plan.is_worn:
                    yield number


def axis_of(item: Item, otherwise: tuple[float, float, float]) -> Real:
    """Where it looks."""
    if item.at is None or item.aim is None or item.at == item.aim:
        return np.array(otherwise)
    return np.asarray(np.subtract(item.aim, item.at), dtype=np.float64)


def _directivity(plan: ItemPlan) -> Directivity:
    """How a gear type plays: by its table, as a column, or by its coverage.

    Coverage is lost where the box is small against the wave; a column opens by its length.

    Raises
    ------
    GearError
        Its table cannot be read.
    """
    if plan.directivity is not None:
        return _table(plan.directivity, plan.type_id)
    across, up = USUAL_COVERAGE_DEG if plan.coverage_deg is None else plan.coverage_deg
    width_m, height_m = USUAL_SIZE_M
    if plan.line_m is None:
        return coverage_of_size(across_deg=across, up_deg=up, width_m=width_m, height_m=height_m)
    long_m = plan.line_m.value
    box = coverage_of_size(across_deg=across, up_deg=up, width_m=COLUMN_WIDTH_M, height_m=long_m)
    line = column_coverage(long_m, across_deg=across, up_deg=up)
    return replace(box, up_deg=line.up_deg)


@lru_cache(maxsize=32)
def _table(text: str, name: str) -> Directivity:
    """A table that somebody measured and typed."""
    return read_directivity(text, name=f"{name}.directivity")
