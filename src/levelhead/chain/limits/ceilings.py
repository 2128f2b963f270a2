"""Ceilings: the largest clean sine at each point, also where an output runs out of current."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from levelhead.chain.as_set.graph import Graph
from levelhead.chain.copper.of_rig import Copper
from levelhead.chain.copper.passages import Passages
from levelhead.chain.limits.cores import CoreCeiling, of_spectrum, shares_of
from levelhead.chain.wired.wiring import Wiring
from levelhead.circuit.limits.currents import Driver

__all__ = ["CROSSTALK", "NO_CURRENT_A_PER_V", "Signals", "ceilings"]

Real = NDArray[np.float64]
Whole = NDArray[np.int64]

CROSSTALK: Final = 0.01  # 40 dB down: a shared ground, not a way for the signal
_CANCELS: Final = 0.5  # 6 dB below the strongest of them: what is left tells nothing of headroom
NO_CURRENT_A_PER_V: Final = 1e-30  # an output that nothing loads
_NOTHING_LEFT_V: Final = 1e-6  # of an output that others overrun; a level, so that it shows


class Signals(NamedTuple):
    """What the points carry: mean square in each band (points, bands), and peaks (points,).

    A peak is the rms of the sine with the same peak.
    """

    power: Real
    peak: Real


def ceilings(
    graph: Graph,
    copper: Copper,
    signals: Signals,
    cores: Mapping[int, CoreCeiling],
    fed: Real,
) -> Real:
    """Rms of the largest clean sine at each point, (points,); ``inf`` where nothing limits it.

    An output ends where its stage does, where one of its legs does, or where its current does. What
    it feeds ends with it; where several play together, with the one that has the least headroom.
    Traces do not count. Behind a transformer the signal ends also where its core is full. ``fed``
    is the share of its own ceiling that the volts at its item leave to each point, (points,).
    """
    own = graph.wiring.columns.ceiling * fed
    leaving = np.flatnonzero(graph.is_through)
    source, target = graph.columns.source[leaving], graph.columns.target[leaving]
    way = graph.live[leaving] - graph.wiring.first_through
    row = graph.wiring.through_row[way]
    swing = np.maximum(1.0, 2 * copper.columns.swing_v_per_v[row])
    emf_v = _emf_at_current_limit(graph.wiring, copper, way, signals, source)
    ceiling = own.copy()
    np.minimum.at(ceiling, source, np.minimum(emf_v, own[source] / swing))
    meeting = _Meeting(source, target, graph.factors_at_1_khz[leaving])
    ceiling = np.minimum(ceiling, _brought(meeting, ceiling, signals.peak))
    for number, core in cores.items():
        ceiling[number] = min(ceiling[number], core.of_spectrum(signals.power[number]))
    return ceiling


class _Meeting(NamedTuple):
    """Ways of outputs through copper to points, and their factors at 1 kHz, (ways,)."""

    source: Whole
    target: Whole
    factor: Real


def _brought(meeting: _Meeting, ceiling: Real, peak: Real) -> Real:
    """The largest clean sine that outputs bring to each point; ``inf`` if none does.

    Of several outputs that play, the one with the least headroom ends it for all; while none plays,
    or where they cancel, the one that can bring most stands for them.
    """
    source, target, factor = meeting
    counts = factor > CROSSTALK * _most_of(factor, target, len(ceiling))[target]
    brought = _most_of(np.where(counts, ceiling[source] * factor, -np.inf), target, len(ceiling))
    part = np.where(counts, peak[source] * factor, 0.0)
    strongest = _most_of(part, target, len(ceiling))
    plays = part > CROSSTALK * strongest[target]
    several = np.bincount(target[plays], minlength=len(ceiling)) > 1
    room = np.full(len(ceiling), np.inf)
    np.minimum.at(room, target[plays], ceiling[source[plays]] / peak[source[plays]])
    together = several & (peak > _CANCELS * strongest)
    brought = np.where(together, peak * np.where(together, room, 1.0), brought)
    return np.where(brought < 0, np.inf, brought)


def _most_of(values: Real, target: Whole, points: int) -> Real:
    """The largest value that comes to each point; ``-inf`` where none does, (points,)."""
    most = np.full(points, -np.inf)
    np.maximum.at(most, target, values)
    return most


def _emf_at_current_limit(
    wiring: Wiring, copper: Copper, way: Whole, signals: Signals, source: Whole
) -> Real:
    """Rms emf at which the weakest leg of the output behind each way runs out of current. [V]

    ``inf`` without a limit. The bands of what it plays use up its current together. What other
    outputs drive into a leg leaves that much less.
    """
    limit_a = wiring.current_limits_a[way]
    by_band = copper.columns.current_a_per_v[wiring.through_row[way]]
    drawn_a_per_v = np.sqrt((shares_of(signals.power[source]) * by_band**2).sum(axis=1))
    emf_v: Real = limit_a / math.sqrt(2) / np.maximum(drawn_a_per_v, NO_CURRENT_A_PER_V)
    found_v: dict[tuple[int, Driver], float] = {}  # an output has a way to each socket
    for place in np.flatnonzero(np.isfinite(limit_a)).tolist():
        through = wiring.throughs[way[place]]
        island = copper.passages[through.island]
        if len(island.drivers) > 1:
            own = Driver(through.port, through.signal)
            if (through.island, own) not in found_v:
                left_v = _emf_beside_others(island, own, limit_a[place], wiring, signals)
                power = signals.power[source[place]]
                found_v[through.island, own] = of_spectrum(left_v, power)
            emf_v[place] = found_v[through.island, own]
    return np.maximum(emf_v, _NOTHING_LEFT_V)


def _emf_beside_others(
    island: Passages, own: Driver, limit_a: float, wiring: Wiring, signals: Signals
) -> Real:
    """The same by bands, where other outputs, at their peaks in the worst phase, take a part."""
    number = island.drivers.index(own)
    legs = island.leg_a_per_v[number]  # (legs, drivers, bands)
    peak_v = np.array(
        [
            signals.peak[wiring.drivers[each]] if each in wiring.drivers and each != own else 0.0
            for each in island.drivers
        ]
    )
    taken_a = np.einsum("ldb,d->lb", legs, peak_v)
    left_a = np.maximum(limit_a / math.sqrt(2) - taken_a, 0.0)
    emf_v = left_a / np.maximum(legs[:, number], NO_CURRENT_A_PER_V)
    by_band: Real = np.maximum(emf_v.min(axis=0), _NOTHING_LEFT_V)
    return by_band
