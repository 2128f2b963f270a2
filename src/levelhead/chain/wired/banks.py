"""Banks: all strips of a rig that share the plan of a path, as columns placed by offset.

128 equal channels, or 64 microphones of one type, are one bank: its stages are read once, and the
stage ``s`` of its lane ``k`` is point ``first + k * stages + s``. Nothing here is done for each
stage of each channel but array arithmetic.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from levelhead.chain.graph.points import UNITS, Point, factor_of_db
from levelhead.chain.wired.lanes import Lane
from levelhead.gear.figures import Figure
from levelhead.gear.plan import PathPlan, StagePlan

__all__ = ["Bank", "banks_of"]

Real = NDArray[np.float64]
Whole = NDArray[np.int64]


@dataclass(frozen=True, eq=False)
class Bank:
    """Lanes of one path plan, one after another from point ``first``."""

    path: PathPlan
    lanes: tuple[Lane, ...]
    first: int

    def __repr__(self) -> str:
        return f"Bank({len(self.lanes)} lanes from point {self.first})"

    @property
    def stages(self) -> int:
        """Stages of each lane."""
        return len(self.path.stages)

    @cached_property
    def numbers(self) -> Whole:
        """Number of the point behind each stage, (lanes, stages)."""
        count = len(self.lanes) * self.stages
        return np.arange(self.first, self.first + count).reshape(len(self.lanes), self.stages)

    def spread(self, figures: Iterable[float]) -> Real:
        """One number a stage, for every point of the bank."""
        return np.tile(np.array(list(figures), dtype=np.float64), len(self.lanes))

    def units(self) -> NDArray[np.int8]:
        """Unit of every point, as its place in ``UNITS``."""
        return self.spread(UNITS.index(stage.unit) for stage in self.path.stages).astype(np.int8)

    def ceilings(self) -> Real:
        """Ceiling of every stage by itself; ``inf`` where it has none."""
        return self.spread(_value(stage.ceiling, math.inf) for stage in self.path.stages)

    def noises(self) -> Real:
        """Noise at the output, at the input as published, and before the gain; (3, points).

        As ``noise``, ``ein_v`` and ``self_noise_pa`` of a ``Point``.
        """
        stages = self.path.stages
        return np.stack(
            [
                self.spread(_value(stage.noise) for stage in stages),
                self.spread(_value(stage.ein) for stage in stages),
                self.spread(_value(stage.self_noise) for stage in stages),
            ]
        )

    def fixed_gains(self) -> Real:
        """Factor of each stage without its control.

        What a stage does besides (a response over the bands, a delay) joins its edge in
        ``chain.as_set.shaping``; what hangs on the level is done in ``chain.carrying.turned_down``.
        """
        return self.spread(
            factor_of_db(_value(stage.gain_db)) * _value(stage.ratio, 1.0)
            for stage in self.path.stages
        )

    def controls(self) -> Iterator[tuple[int, str]]:
        """Points whose gain a control sets, with its address."""
        for column, stage in enumerate(self.path.stages):
            if stage.control is not None:
                for lane, number in zip(self.lanes, self.numbers[:, column].tolist(), strict=True):
                    yield number, lane.rig.control_of(lane.item, lane.block, stage.control)

    def at(self, number: int) -> tuple[Lane, StagePlan]:
        """Lane and stage of a point."""
        lane, stage = divmod(number - self.first, self.stages)
        return self.lanes[lane], self.path.stages[stage]

    def addresses(self) -> Iterator[str]:
        """Address of every point."""
        for lane in self.lanes:
            yield from (lane.point_of(stage) for stage in self.path.stages)

    def point(self, number: int, *, gain: float, is_silent: bool) -> Point:
        """A point as people read it. A path without a signal at its beginning adds no noise."""
        lane, stage = self.at(number)
        noise, ein, own = (None, None, None) if is_silent else _noise_figures(stage)
        return Point(
            address=lane.point_of(stage),
            unit=stage.unit,
            item=lane.item.id,
            label=lane.label_of(stage),
            ceiling=_value(stage.ceiling, math.inf),
            ceiling_figure=stage.ceiling,
            noise=_value(noise),
            ein_v=_value(ein),
            self_noise_pa=_value(own),
            gain=gain,
            control=lane.control_of(stage),
            meter=stage.meter,
        )


def banks_of(lanes: Iterable[Lane], first: int) -> Iterator[Bank]:
    """Lanes by the plan of their path; paths without stages have no points.

    Plans that are equal are one object, so that they are told apart by identity.
    """
    by_path: dict[int, list[Lane]] = {}
    for lane in lanes:
        if lane.path.stages:
            by_path.setdefault(id(lane.path), []).append(lane)
    for alike in by_path.values():
        bank = Bank(alike[0].path, tuple(alike), first)
        yield bank
        first += len(alike) * bank.stages


def _noise_figures(stage: StagePlan) -> tuple[Figure | None, Figure | None, Figure | None]:
    return stage.noise, stage.ein, stage.self_noise


def _value(figure: Figure | None, otherwise: float = 0.0) -> float:
    return otherwise if figure is None else figure.value
