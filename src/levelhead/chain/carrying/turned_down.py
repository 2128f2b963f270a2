"""Limiters along the signal: gain reduction point by point, crest carried on.

All that feeds a point lies at a lesser depth. When everything up to the point behind a limiter is
known, so is the level there, and with it what the limiter takes; nothing has to be tried and
corrected. Only what lies behind a limiter that takes something is carried again. Noise passes with
the gain of a pause, in which nothing is taken.

Behind a limiter the crest differs from that of the signals that enter the rig. How much is carried
along: where several ways meet, it counts by the power that comes that way.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from levelhead.chain.carrying.crest_of_sums import crest_db, own_crests_db
from levelhead.chain.graph.layout import Layout, Step
from levelhead.chain.graph.points import Component, EdgeColumns
from levelhead.chain.stages.limiting import Limited, Limiter, limited
from levelhead.chain.stages.shape import Shape

__all__ = ["Limiters", "TurnedDown", "points_by_step", "turn_down"]

Real = NDArray[np.float64]
Complex = NDArray[np.complex128]
Whole = NDArray[np.int64]
Flags = NDArray[np.bool_]


@dataclass(frozen=True, slots=True, eq=False)
class Limiters:
    """Limiters by the number of the point behind each, and the signals that they may meet."""

    by_point: Mapping[int, Limiter]
    components: Sequence[Component]

    @classmethod
    def of(cls, shapes: Mapping[int, Shape], components: Sequence[Component]) -> Limiters | None:
        """The limiters among what shapes signals at points; ``None`` where there are none."""
        by_point = {at: each.limiter for at, each in shapes.items() if each.limiter is not None}
        return cls(by_point, components) if by_point else None


@dataclass(frozen=True, slots=True, eq=False)
class TurnedDown:
    """What limiters did, by the number of the point behind each, and to the crest of each point.

    ``before`` is what a limiter met: rms in the unit of its point, and peak-to-rms in dB.
    """

    limited: Mapping[int, Limited]
    before: Mapping[int, tuple[float, float]]
    crest_change_db: Real


def turn_down(
    limiters: Limiters, edges: EdgeColumns, layout: Layout, rows: Complex, points: int
) -> tuple[Complex, TurnedDown]:
    """Rows of a layout with what limiters take, from rows that know of none.

    Arrivals of one signal with different delays add as power here.

    Returns
    -------
    rows
        The same array where no limiter takes anything.
    """
    walk = _Walk(limiters, edges, layout, rows, points)
    behind = points_by_step(limiters.by_point, layout)
    for number, step in enumerate(layout.steps):
        if walk.limited:
            walk.carry(step)
        for point in behind.get(number, ()):
            walk.limit(point)
    return walk.rows, TurnedDown(walk.limited, walk.before, walk.change_db[:-1])


def points_by_step(points: Iterable[int], layout: Layout) -> dict[int, list[int]]:
    """Points behind limiters, by the number of the step that makes their rows."""
    stops = np.array([step.stop for step in layout.steps], dtype=np.int64)
    found: dict[int, list[int]] = {}
    for point in points:
        pairs = np.flatnonzero(layout.point == point)
        if len(pairs):
            step = int(np.searchsorted(stops, layout.inputs + pairs[0], side="right"))
            found.setdefault(step, []).append(point)
    return found


class _Walk:
    """Rows as limiters leave them, up to where the walk has come."""

    def __init__(
        self, limiters: Limiters, edges: EdgeColumns, layout: Layout, rows: Complex, points: int
    ) -> None:
        self.limiters, self.edges, self.layout, self.rows = limiters, edges, layout, rows
        self.origin, self.own_db = own_crests_db(limiters.components)
        self.is_new: Flags = np.zeros(layout.rows, dtype=bool)
        self.change_db: Real = np.zeros(points + 1)  # the last one is where signals enter
        self.limited: dict[int, Limited] = {}
        self.before: dict[int, tuple[float, float]] = {}
        self.point_of_row = np.append(np.full(layout.inputs, points), layout.point)
        self.is_signal = np.append(
            np.zeros(layout.inputs, dtype=bool), layout.component < layout.first_noise
        )
        self.is_signal[: layout.inputs] = True

    def carry(self, step: Step) -> None:
        """Rows to which something leads that a limiter has changed, and the crest there."""
        touched = self.is_new[step.source]
        if not touched.any():
            return
        self.is_new[step.target[touched]] = True
        again = np.flatnonzero(self.is_new[step.target])
        target = step.target[again]
        first = np.flatnonzero(np.diff(target, prepend=-1))
        arriving = self._arriving(step, again)
        self.rows[target[first]] = np.add.reduceat(arriving, first, axis=0)
        self._carry_crests(step, np.flatnonzero(np.bincount(self.point_of_row[target])))

    def _arriving(self, step: Step, chosen: Whole) -> Complex:
        found: Complex = self.edges.gain_and_one[step.edge[chosen]] * self.rows[step.source[chosen]]
        return found

    def _carry_crests(self, step: Step, points: Whole) -> None:
        """Changes of crest from points to those that they feed, by the power that arrives."""
        reached = self.point_of_row[step.target]
        chosen = np.flatnonzero(np.isin(reached, points) & self.is_signal[step.target])
        power = (np.abs(self._arriving(step, chosen)) ** 2).sum(axis=1)
        row = np.searchsorted(points, reached[chosen])
        total = np.bincount(row, weights=power, minlength=len(points))
        brought_db = self.change_db[self.point_of_row[step.source[chosen]]]
        changed = np.bincount(row, weights=power * brought_db, minlength=len(points))
        self.change_db[points] = np.divide(
            changed, total, out=np.zeros_like(total), where=total > 0
        )

    def limit(self, point: int) -> None:
        """What the limiter takes at the point behind it."""
        chosen = self.layout.point == point
        chosen &= self.layout.component < self.layout.first_noise
        pairs = np.flatnonzero(chosen)
        if not len(pairs):
            return
        power = (np.abs(self.rows[self.layout.inputs + pairs]) ** 2).sum(axis=1)
        by_origin = np.zeros(len(self.own_db))
        np.add.at(by_origin, self.origin[self.layout.component[pairs]], power)
        rms = float(np.sqrt(power.sum()))
        here_db = float(crest_db(by_origin, self.own_db)) + float(self.change_db[point])
        found = limited(self.limiters.by_point[point], nominal=rms, crest_db=here_db)
        if found.peak_gain_db < 0 or found.gain_db < 0:
            self.before[point] = (rms, here_db)
            self._turn_down(point, self.layout.inputs + pairs, found)

    def _turn_down(self, point: int, rows: Whole, found: Limited) -> None:
        if not self.limited:
            self.rows = self.rows.copy()
        self.limited[point] = found
        self.change_db[point] += found.crest_db - self.before[point][1]
        self.rows[rows] *= 10 ** (found.gain_db / 20)
        self.is_new[rows] = True
