"""The crest of a sum of performances, from the power of each of them."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

import numpy as np
from numpy.typing import NDArray

from levelhead.chain.graph.points import Component

__all__ = ["CREST_OF_MANY_DB", "crest_db", "own_crests_db"]

Real = NDArray[np.float64]
Whole = NDArray[np.int64]

CREST_OF_MANY_DB: Final = 12.5  # peak-to-rms of a sum of many independent sources, common practice


def own_crests_db(components: Sequence[Component]) -> tuple[Whole, Real]:
    """For each component the number of its performance, and for each of those its peak-to-rms."""
    number_of: dict[str, int] = {}
    own_db: dict[str, float] = {}
    for component in components:
        number_of.setdefault(component.origin, len(number_of))
        own_db[component.origin] = component.peak_to_rms_db.value
    rows = np.array([number_of[each.origin] for each in components], dtype=np.int64)
    return rows, np.array([own_db[origin] for origin in number_of])


def crest_db(power: Real, own_db: Real) -> Real:
    """Peak-to-rms of sums, from the power of each performance in them, (..., performances). [dB]"""
    total = power.sum(axis=-1)
    with np.errstate(divide="ignore", invalid="ignore"):
        alone = (power**2).sum(axis=-1) / total**2
        mean_db = power @ own_db / total
    mixed = alone * mean_db + (1 - alone) * CREST_OF_MANY_DB
    return np.where(total > 0, mixed, 0.0)
