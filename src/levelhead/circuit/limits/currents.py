"""Currents of output legs: how much of them a signal draws, and what other outputs add."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from levelhead.circuit.drawn.islands import Island
from levelhead.circuit.solving.solved import Solved

__all__ = ["Driver", "columns_of", "drive_weights", "leg_current_a_per_v", "load_ohm"]

Complex = NDArray[np.complex128]
Real = NDArray[np.float64]


class Driver(NamedTuple):
    """An output, and which of its signals where it has two."""

    port: str
    signal: str | None


def columns_of(island: Island) -> dict[Driver, list[int]]:
    """Emfs of each output of an island: a balanced one has two."""
    found: dict[Driver, list[int]] = {}
    for column, drive in enumerate(island.drives):
        found.setdefault(Driver(drive.port, drive.signal), []).append(column)
    return found


def drive_weights(island: Island, driver: Driver) -> Real:
    """How much of an output's signal each emf of the island makes; (sources,)."""
    return np.array(
        [each.weight if (each.port, each.signal) == driver else 0.0 for each in island.drives]
    )


def leg_current_a_per_v(island: Island, solved: Solved, legs: Driver, signal: Driver) -> Complex:
    """Current of each leg of an output for 1 V of a signal, its own or another's; (legs, bands)."""
    rows = columns_of(island)[legs]
    current: Complex = np.einsum(
        "isb,s->ib", solved.source_current[rows], drive_weights(island, signal)
    )
    return current


def load_ohm(island: Island, solved: Solved, driver: Driver) -> Complex:
    """What an output sees beyond its own impedance, all other outputs silent; (bands,). [ohm]

    Of a pair of legs it is what lies between them. By Ohm's law: the volts of the emf less those
    at its own impedance, over its current; ``inf`` where nothing is plugged.
    """
    columns = columns_of(island)[driver]
    weights = np.array([abs(island.drives[column].weight) for column in columns])
    own_ohm = np.array([island.drives[column].ohm for column in columns])
    current_a = leg_current_a_per_v(island, solved, driver, driver)
    signs = np.array([np.sign(island.drives[column].weight) for column in columns])
    lead_a = signs[:, None] * current_a
    volts = weights[:, None] - own_ohm[:, None] * lead_a
    mean_a = lead_a.mean(axis=0)
    with np.errstate(divide="ignore", invalid="ignore"):
        load: Complex = volts.sum(axis=0) / mean_a
    return load
