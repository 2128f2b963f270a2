"""Sums over all that stands at a point: powers, and cross terms of what arrives twice."""

from __future__ import annotations

import itertools
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from levelhead.chain.graph.layout import Layout
from levelhead.quantity.bands import BANDS, edges_hz

__all__ = ["Sums", "points_of", "powers"]

Real = NDArray[np.float64]
Complex = NDArray[np.complex128]
Whole = NDArray[np.int64]
Flags = NDArray[np.bool_]


def powers(rows: Complex, is_new: Flags, layout: Layout, before: Real | None) -> Real:
    """Mean square of each pair in each band."""
    if before is None:
        pairs = rows[layout.inputs :]
        power: Real = pairs.real**2 + pairs.imag**2
        return power
    power = before.copy()
    new = np.flatnonzero(is_new[layout.inputs :])
    pairs = rows[layout.inputs + new]
    power[new] = pairs.real**2 + pairs.imag**2
    return power


def points_of(layout: Layout, is_new: Flags, points: int) -> Flags:
    """Points with a pair that is new."""
    found = np.zeros(points, dtype=bool)
    found[layout.point[is_new[layout.inputs :]]] = True
    return found


@dataclass(frozen=True, slots=True, eq=False)
class Sums:
    """Sums over the pairs of each point; only those of points that ``is_new`` are done."""

    layout: Layout
    rows: Complex
    power: Real
    is_new: Flags

    def of(self, is_chosen: Flags, before: Real | None) -> Real:
        """Mean square of all chosen pairs at each point; (points, bands)."""
        total = np.zeros((len(self.is_new), BANDS)) if before is None else before.copy()
        total[self.is_new] = 0.0
        chosen = np.flatnonzero(is_chosen & self.is_new[self.layout.point])
        if len(chosen):
            point = self.layout.point[chosen]
            first = np.flatnonzero(np.diff(point, prepend=-1))
            total[point[first]] = np.add.reduceat(self.power[chosen], first, axis=0)
            if self.layout.delay_ns.any():
                self._add_crossed(total, chosen)
        return total

    def _add_crossed(self, total: Real, chosen: Whole) -> None:
        """Cross terms of arrivals that are one component at one point."""
        layout = self.layout
        key = layout.point[chosen] * (int(layout.component.max(initial=0)) + 1)
        key += layout.component[chosen]
        rank = chosen[np.argsort(key, kind="stable")]
        bounds = np.flatnonzero(np.diff(np.sort(key, kind="stable"), prepend=-1, append=-1))
        several = np.flatnonzero(np.diff(bounds) > 1)
        for start, stop in zip(bounds[several], bounds[several + 1], strict=True):
            for one, other in itertools.combinations(rank[start:stop], 2):
                total[layout.point[one]] += self._crossed(one, other)

    def _crossed(self, one: int, other: int) -> Real:
        """Mean cross term of two arrivals in each band."""
        low_hz, high_hz = edges_hz()
        apart_s = (self.layout.delay_ns[one] - self.layout.delay_ns[other]) * 1e-9
        turned = np.exp(-1j * np.pi * (low_hz + high_hz) * apart_s)
        ours, theirs = self.rows[self.layout.inputs + one], self.rows[self.layout.inputs + other]
        both = ours * np.conj(theirs) * turned
        crossed: Real = 2 * both.real * np.sinc((high_hz - low_hz) * apart_s)
        return crossed
