"""Places where several ways of one signal meet: what each brings, and what they are together.

All places are done at once, as columns: a row is what one way brings of one signal.
"""

from __future__ import annotations

import itertools
from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final, TypeAlias

import numpy as np
from numpy.typing import NDArray

from levelhead.chain.carrying.carried import Carried
from levelhead.chain.solution import Solution
from levelhead.quantity.bands import BANDS, edges_hz

__all__ = ["Meeting", "meetings_of", "strongest_rows"]

Complex: TypeAlias = NDArray[np.complex128]
Real: TypeAlias = NDArray[np.float64]
Whole: TypeAlias = NDArray[np.int64]

_HALF: Final = 0.5 - 1e-9  # of the power
_LEAST: Final = 1e-9  # of the power: 90 dB down, nothing is left


@dataclass(frozen=True, slots=True)
class Meeting:
    """Ways of one component at one place.

    ``largest`` is the power of the largest way over all bands; ``loss_db`` what half of that power
    loses at least in the sum. What is apart in time cancels below and not above: half decides.
    """

    component: int
    largest: float
    loss_db: float


@dataclass(frozen=True, slots=True, eq=False)
class _Ways:
    """What arrives by each way, the ways of one signal at one place together; ``first`` of each."""

    amplitude: Complex
    delay_s: Real
    target: Whole
    component: Whole
    first: Whole


def meetings_of(solution: Solution) -> Mapping[int, list[Meeting]]:
    """By the number of each point where ways meet, the signals that come by them."""
    ways = _ways(solution)
    if not len(ways.first):
        return {}
    power = np.abs(ways.amplitude) ** 2
    summed = _summed(ways)
    alone = power[_largest(power.sum(axis=1), ways.first)]
    largest = alone.sum(axis=1)
    there = np.flatnonzero(largest > 0)
    lost_db = _lost_db(summed[there], alone[there])
    found: dict[int, list[Meeting]] = defaultdict(list)
    first = ways.first[there]
    columns = (ways.target[first], ways.component[first], largest[there], lost_db)
    for target, *meeting in zip(*(column.tolist() for column in columns), strict=True):
        found[target].append(Meeting(*meeting))
    return found


def strongest_rows(carried: Carried, is_there: NDArray[np.bool_]) -> Whole:
    """Of each signal at each of some points the strongest arrival, point by point."""
    rows = np.flatnonzero((carried.component < carried.first_noise) & is_there[carried.point])
    power = carried.power[rows].sum(axis=1)
    rank = rows[np.lexsort((power, carried.component[rows], carried.point[rows]))]
    point, component = carried.point[rank], carried.component[rank]
    is_last = np.ones(len(rank), dtype=bool)
    is_last[:-1] = (point[1:] != point[:-1]) | (component[1:] != component[:-1])
    return rank[is_last]


def _ways(solution: Solution) -> _Ways:
    """Every signal that every edge brings to a point where edges meet."""
    columns, carried = solution.graph.columns, solution.carried
    points = len(solution.nominal)
    edges = np.flatnonzero(np.bincount(columns.target, minlength=points)[columns.target] > 1)
    is_source = np.zeros(points, dtype=bool)
    is_source[columns.source[edges]] = True
    rows = strongest_rows(carried, is_source)
    count = np.bincount(carried.point[rows], minlength=points)
    start = np.cumsum(count) - count
    counts = count[columns.source[edges]]
    edge = np.repeat(edges, counts)
    begin = np.repeat(start[columns.source[edges]] - np.cumsum(counts) + counts, counts)
    row = rows[begin + np.arange(len(edge))]
    rank = np.lexsort((edge, carried.component[row], columns.target[edge]))
    edge, row = edge[rank], row[rank]
    target, component = columns.target[edge], carried.component[row]
    is_first = np.ones(len(edge), dtype=bool)
    is_first[1:] = (target[1:] != target[:-1]) | (component[1:] != component[:-1])
    return _Ways(
        columns.gain[edge] * carried.amplitude[row],
        carried.delay_s[row] + columns.delay_ns[edge] * 1e-9,
        target,
        component,
        np.flatnonzero(is_first),
    )


def _largest(power: Real, first: Whole) -> Whole:
    """Row of the largest of each group, of equal ones the first."""
    groups = np.repeat(np.arange(len(first)), np.diff(first, append=len(power)))
    rank = np.lexsort((-np.arange(len(power)), power, groups))
    last = np.append(first[1:], len(power)) - 1
    found: Whole = rank[last]
    return found


def _summed(ways: _Ways) -> Real:
    """Power of the ways of each signal together; of those apart in time the band's mean."""
    total: Real = np.abs(np.add.reduceat(ways.amplitude, ways.first, axis=0)) ** 2
    low_s = np.minimum.reduceat(ways.delay_s, ways.first)
    high_s = np.maximum.reduceat(ways.delay_s, ways.first)
    ends = np.append(ways.first[1:], len(ways.delay_s))
    for group in np.flatnonzero(low_s != high_s).tolist():
        rows = slice(ways.first[group], ends[group])
        total[group] = _apart(ways.amplitude[rows], ways.delay_s[rows])
    return total


def _apart(amplitude: Complex, delay_s: Real) -> Real:
    """Mean power in each band of ways that are apart in time; those of one delay add as volts."""
    together: dict[float, Complex] = {}
    for way, late_s in zip(amplitude, delay_s.tolist(), strict=True):
        together[late_s] = together.get(late_s, 0) + way
    total: Real = sum((np.abs(each) ** 2 for each in together.values()), np.zeros(BANDS))
    low_hz, high_hz = edges_hz()
    for (one_s, one), (other_s, other) in itertools.combinations(together.items(), 2):
        apart_s = one_s - other_s
        turned = np.exp(-1j * np.pi * (low_hz + high_hz) * apart_s)
        both = (one * np.conj(other) * turned).real
        total = total + 2 * both * np.sinc((high_hz - low_hz) * apart_s)
    return np.maximum(total, 0.0)


def _lost_db(summed: Real, alone: Real) -> Real:
    """What half of the power of the largest way loses at least in the sum, (meetings,). [dB]"""
    left = np.divide(summed, alone, out=np.full_like(alone, np.inf), where=alone > 0)
    left = np.maximum(left, _LEAST)
    rank = np.argsort(left, axis=1)
    share = np.cumsum(np.take_along_axis(alone, rank, axis=1), axis=1)
    half = (share < _HALF * share[:, -1:]).sum(axis=1, keepdims=True)
    least = np.take_along_axis(np.take_along_axis(left, rank, axis=1), half, axis=1)
    lost: Real = -10 * np.log10(least[:, 0])
    return lost
