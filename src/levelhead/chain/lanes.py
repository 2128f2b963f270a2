"""Lanes: the path of an item where it stands in the rig, and the stages that become points."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator
from dataclasses import dataclass

from levelhead.chain.graph import Edge, Graph, Point, factor_of_db
from levelhead.gear.figures import Figure
from levelhead.gear.plan import BlockInstance, OriginPlan, PathPlan, StagePlan, Target
from levelhead.rig.model import Rig, RigItem

__all__ = ["Lane", "add_stages", "figures_of", "lanes"]


@dataclass(frozen=True, slots=True)
class Lane:
    """A path, with the names that its stages, controls and ports have in the show."""

    rig: Rig
    item: RigItem
    block: BlockInstance
    path: PathPlan

    def point_of(self, stage: StagePlan) -> str:
        """Address of a stage, which is the point behind it."""
        return f"{self.item.id}.{self.block.address(stage.name)}"

    def label_of(self, stage: StagePlan) -> str:
        """A stage in people's words: ``Desk, ch3, preamp``; one side of a pair with its side."""
        own = f"{stage.label} {self.path.side}" if self.path.side else stage.label
        parts = (self.item.label, self.block.name, own)
        return ", ".join(part for part in parts if part)

    def control_of(self, stage: StagePlan) -> str | None:
        """Address of the control of a stage."""
        if stage.control is None:
            return None
        return self.rig.control_of(self.item, self.block, stage.control)

    def port_of(self, target: Target) -> str:
        """Address of a port that the path names: of its own block, else of the item."""
        is_own = target.port in self.block.plan.ports
        return f"{self.item.id}.{self.block.address(target.port) if is_own else target.port}"

    def sensed_at(self, target: Target) -> str:
        """Address of the point of an input: its port, or that of the signal of a stereo one."""
        port = self.port_of(target)
        return port if target.signal is None else f"{port}.{target.signal}"

    def gain_of(self, stage: StagePlan) -> float:
        """Factor from a stage's input to its output, as everything stands."""
        gain_db = stage.gain_db.value if stage.gain_db else 0.0
        control = self.control_of(stage)
        if control is not None:
            gain_db += self.rig.setting_db(control)
        return factor_of_db(gain_db) * (stage.ratio.value if stage.ratio else 1.0)

    def hidden(self, what: str) -> str:
        """Address of a point that only helps: one for each path."""
        return f"~{what}-{self.item.id}.{self.block.name}-{self.path.side}"

    def origins(self, graph: Graph) -> tuple[OriginPlan, ...]:
        """Origins in force: those without a plug, and plugged ports, of which a winner is alone."""
        plugged = [
            origin
            for origin in self.path.origins
            if origin.port is not None and self.sensed_at(origin.port) in graph.index
        ]
        winners = [origin for origin in plugged if origin.wins_when_plugged]
        others = [origin for origin in self.path.origins if origin.kind != "port"]
        return (*others, *(winners[:1] or plugged))


def lanes(rig: Rig) -> Iterator[Lane]:
    """Every path of every item."""
    for item in rig.items.values():
        for block, path in item.paths():
            yield Lane(rig, item, block, path)


def figures_of(*figures: Figure | None) -> tuple[Figure, ...]:
    """Those of a row of figures that an entry has."""
    return tuple(figure for figure in figures if figure is not None)


def add_stages(graph: Graph, lane: Lane, *, is_dead: bool) -> list[int]:
    """Points of a lane's stages, each joined to the one before; a dead item passes nothing."""
    is_silent = is_dead or not lane.origins(graph)
    numbers = [
        graph.add(_stage_point(lane, stage, is_silent=is_silent)) for stage in lane.path.stages
    ]
    inputs = (graph.points[number] for number in numbers if graph.points[number].ein_v)
    for first in itertools.islice(inputs, 1):
        first.ein_current_a = _input_current_a(lane, graph)
    if not is_dead:
        for stage, source, target in zip(
            lane.path.stages[1:], numbers[:-1], numbers[1:], strict=True
        ):
            graph.join(_step(lane, stage, source, target))
    return numbers


def _input_current_a(lane: Lane, graph: Graph) -> float:
    """Noise current of the input in force, which its published noise has in it. [A/sqrt(Hz)]"""
    ports = (origin.port for origin in lane.origins(graph) if origin.port is not None)
    plans = (lane.rig.ports[lane.port_of(port)].plan for port in ports)
    return max((plan.figure("current-noise") or 0.0 for plan in plans), default=0.0)


def _step(lane: Lane, stage: StagePlan, source: int, target: int) -> Edge:
    return Edge(
        source,
        target,
        lane.gain_of(stage),
        control=lane.control_of(stage),
        figures=figures_of(stage.gain_db, stage.ratio),
    )


def _stage_point(lane: Lane, stage: StagePlan, *, is_silent: bool) -> Point:
    """Point behind a stage. Without a signal at its beginning a path adds no noise either."""
    point = Point(
        address=lane.point_of(stage),
        unit=stage.unit,
        item=lane.item.id,
        label=lane.label_of(stage),
        ceiling=math.inf if stage.ceiling is None else stage.ceiling.value,
        ceiling_figure=stage.ceiling,
        meter=stage.meter,
        control=lane.control_of(stage),
        gain=lane.gain_of(stage),
    )
    if not is_silent:
        point.noise = _value(stage.noise)
        point.ein_v = _value(stage.ein)
        point.self_noise_pa = _value(stage.self_noise)
    return point


def _value(figure: Figure | None) -> float:
    return 0.0 if figure is None else figure.value
