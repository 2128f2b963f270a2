"""What meters read and what leaves the rig, before and after a gain plan."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

import numpy as np

from levelhead.chain.solution import Solution
from levelhead.planning.gains.goals.worth import ALIKE_DB
from levelhead.planning.gains.model.values import Model
from levelhead.planning.gains.planned.ends import EndLevel, MeterMark
from levelhead.planning.gains.read.measured import Measured
from levelhead.planning.gains.told.positions import label_of
from levelhead.planning.gains.wanted.ends import End, Loudness
from levelhead.rig.model import Rig

__all__ = ["end_levels", "meter_marks"]

_ASKED: Final = {
    "audience": "reaches its ceiling less the reserve with the others of the audience",
    "performers": "reaches its ceiling less the reserve",
    "worn": "never louder than it is set",
    "recorder": "its own meter, and as much over its noise as the reserve allows",
}


def meter_marks(rig: Rig, model: Model, after: Measured) -> tuple[MeterMark, ...]:
    """What each meter reads at sound check, and between what it may stand."""
    found = []
    for mark in model.marks:
        nominal = float(after.nominal[mark.point])
        if nominal > 0:
            nominal_db = 20 * float(np.log10(nominal))
            low_db, high_db = mark.low_db, mark.high_db
            if low_db - ALIKE_DB <= nominal_db <= high_db + ALIKE_DB:  # as good: nobody reads less
                low_db, high_db = min(low_db, nominal_db), max(high_db, nominal_db)
            found.append(
                MeterMark(
                    at=model.addresses[mark.point],
                    label=mark.label,
                    kind=mark.kind,
                    align=mark.align,
                    reads_db=mark.reads_db(nominal_db),
                    low_db=mark.reads_db(low_db),
                    high_db=mark.reads_db(high_db),
                    alone=mark.alone,
                    who=label_of(rig, mark.alone) if mark.alone else "",
                )
            )
    return tuple(found)


def end_levels(
    ends: Sequence[End], before: Solution, after: Solution, loudness: Loudness
) -> tuple[EndLevel, ...]:
    """Levels of each end before and after, and what was asked for there."""
    found = []
    for end in ends:
        now, then = before.levels(end.address), after.levels(end.address)
        is_kept = loudness == "as-set" and end.kind in {"audience", "performers"}
        found.append(
            EndLevel(
                at=end.address,
                label=after.point(end.address).label,
                unit=then.unit,
                peak_now=now.peak,
                peak_planned=then.peak,
                ceiling=then.ceiling,
                noise_a_now=now.floor_a,
                noise_a_planned=then.floor_a,
                asked="as loud as it is set" if is_kept else _ASKED[end.kind],
            )
        )
    return tuple(found)
