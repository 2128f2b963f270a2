"""Where signals enter: plugged inputs, generators inside items, sound in the air."""

from __future__ import annotations

import math

from levelhead.chain.graph import Component, Edge, Graph, Point, factor_of_db
from levelhead.chain.lanes import Lane, figures_of
from levelhead.gear.plan import GeneratorPlan, OriginPlan, Target
from levelhead.rig.model import Rig, RigSource

__all__ = ["add_sources", "enter_lane"]


def enter_lane(graph: Graph, lane: Lane, first: int) -> None:
    """Join a lane's first stage to every origin in force (the mix joins its own)."""
    for origin in lane.origins(graph):
        if origin.port is not None:
            graph.join(_from_port(graph, lane, origin, origin.port, first))
        elif origin.generator is not None:
            _generate(graph, lane, origin.generator, first)
        elif origin.kind == "air":
            ear = graph.add(Point(lane.hidden("air"), "Pa", lane.item.id))
            graph.join(_into_first(lane, ear, first))


def _into_first(lane: Lane, source: int, first: int) -> Edge:
    stage = lane.path.stages[0]
    return Edge(
        source,
        first,
        lane.gain_of(stage),
        control=lane.control_of(stage),
        figures=figures_of(stage.gain_db, stage.ratio),
    )


def _from_port(graph: Graph, lane: Lane, origin: OriginPlan, port: Target, first: int) -> Edge:
    """From a plugged input, with the gain or pad that it has before the first stage."""
    edge = _into_first(lane, graph.index[lane.sensed_at(port)], first)
    if origin.gain_db is None:
        return edge
    gain = edge.gain * factor_of_db(origin.gain_db.value)
    return Edge(edge.source, first, gain, edge.control, (*edge.figures, origin.gain_db))


def _generate(graph: Graph, lane: Lane, generator: GeneratorPlan, first: int) -> None:
    """A generator of sides: each its own part, and one part that they share."""
    start = graph.add(Point(lane.hidden("generator"), generator.unit, lane.item.id))
    graph.join(_into_first(lane, start, first))
    side = lane.path.side
    shared = generator.shared if side else 1.0
    level = generator.level.value
    rms = factor_of_db(level) if generator.unit == "FS" else level
    own = f"{lane.item.id}.{lane.block.name}"
    for name, share in ((own, shared), (f"{own}-{side}", 1 - shared)):
        if share > 0:
            component = Component(
                name,
                lane.item.id,
                lane.item.label,
                generator.spectrum,
                generator.peak_to_rms_db,
                generator.level,
            )
            graph.enter(component, start, rms * math.sqrt(share))


def add_sources(graph: Graph, rig: Rig) -> None:
    """Every source in the air, with its way to each path of the item that hears it."""
    for source in rig.sources:
        point = graph.add(Point(source.id, "Pa", source.id, label=source.label))
        graph.enter(_voice(source), point, _level_at_microphone_pa(source))
        for number, other in enumerate(graph.points):
            if other.is_hidden and other.unit == "Pa" and other.item == source.at:
                graph.join(Edge(point, number, 1.0))


def _voice(source: RigSource) -> Component:
    air = source.air
    return Component(
        source.id, source.id, source.label, air.spectrum, air.peak_to_rms_db, air.level_pa
    )


def _level_at_microphone_pa(source: RigSource) -> float:
    """Sound pressure at the microphone: falls with distance, as from a point."""
    return source.air.level_pa.value * source.air.at_m / source.distance_m
