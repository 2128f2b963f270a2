"""Crests: how far the peaks of what arrives at a point stand above its rms."""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import NDArray

from levelhead.chain.graph import Component
from levelhead.chain.propagate import Carried

__all__ = ["CREST_OF_MANY_DB", "crests_db"]

Real = NDArray[np.float64]

CREST_OF_MANY_DB: Final = 12.5  # peak-to-rms of a sum of many independent sources, common practice


def crests_db(components: list[Component], carried: Carried) -> Real:
    """Peak-to-rms at each point, (points,); 0 where there is silence. [dB]

    One performance keeps its own; a sum moves to that of many as more of like strength come
    together. Their number is ``(sum p)^2 / sum p^2``, which is 1 for one and n for n equal ones.
    """
    origins = list(dict.fromkeys(component.origin for component in components))
    own_db = {component.origin: component.peak_to_rms_db.value for component in components}
    power = _power_of_origins(components, origins, carried)
    crest_db = np.array([own_db[origin] for origin in origins])
    total = power.sum(axis=1)
    with np.errstate(divide="ignore", invalid="ignore"):
        alone = (power**2).sum(axis=1) / total**2
        mean_db = power @ crest_db / total
    mixed = alone * mean_db + (1 - alone) * CREST_OF_MANY_DB
    return np.where(total > 0, mixed, 0.0)


def _power_of_origins(components: list[Component], origins: list[str], carried: Carried) -> Real:
    """Mean square of each performance at each point, (points, origins)."""
    power = np.zeros((len(carried.noise_power), len(origins)))
    row_of = np.array([origins.index(component.origin) for component in components], dtype=np.int64)
    signal = carried.component < carried.first_noise
    places = (carried.point[signal], row_of[carried.component[signal]])
    np.add.at(power, places, carried.power[signal].sum(axis=1))
    return power
