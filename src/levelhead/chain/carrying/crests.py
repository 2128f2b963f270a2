"""Crests: how far the peaks of what arrives at a point stand above its rms."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from levelhead.chain.carrying.carried import Carried
from levelhead.chain.carrying.crest_of_sums import CREST_OF_MANY_DB
from levelhead.chain.graph.points import Component

__all__ = ["CREST_OF_MANY_DB", "crests_db"]

Real = NDArray[np.float64]
Whole = NDArray[np.int64]


def crests_db(components: Sequence[Component], carried: Carried) -> Real:
    """Peak-to-rms at each point, (points,); 0 where there is silence. [dB]

    One performance keeps its own; a sum moves to that of many as more of like strength come
    together. Their number is ``(sum p)^2 / sum p^2``, which is 1 for one and n for n equal ones.
    Limiters on the way have changed it.
    """
    origins = {component.origin: component.peak_to_rms_db.value for component in components}
    names = list(origins)
    crest_db = np.array(list(origins.values()))
    point, origin, power = _power_of_origins(
        np.array([names.index(each.origin) for each in components], dtype=np.int64), carried
    )
    points = len(carried.noise_power)
    total = np.bincount(point, weights=power, minlength=points)
    with np.errstate(divide="ignore", invalid="ignore"):
        alone = np.bincount(point, weights=power**2, minlength=points) / total**2
        mean_db = np.bincount(point, weights=power * crest_db[origin], minlength=points) / total
    mixed = alone * mean_db + (1 - alone) * CREST_OF_MANY_DB
    if carried.turned_down is not None:
        mixed = mixed + carried.turned_down.crest_change_db
    return np.where(total > 0, mixed, 0.0)


def _power_of_origins(origin_of: Whole, carried: Carried) -> tuple[Whole, Whole, Real]:
    """Point, performance and mean square of each performance that is at each point."""
    signal = np.flatnonzero(carried.component < carried.first_noise)
    stride = len(origin_of) + 1
    key = carried.point[signal] * stride + origin_of[carried.component[signal]]
    places, row = np.unique(key, return_inverse=True)
    power: Real = np.bincount(row, weights=carried.power[signal].sum(axis=1)).astype(np.float64)
    return places // stride, places % stride, power
