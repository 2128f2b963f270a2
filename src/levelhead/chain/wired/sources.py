"""Where signals enter: plugged inputs, generators inside items, sound in the air."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from levelhead.chain.graph.points import Component, Entry, Point, factor_of_db
from levelhead.chain.wired.lanes import Lane
from levelhead.gear.figures import Figure
from levelhead.gear.plan import GeneratorPlan
from levelhead.rig.model import Rig, RigSource

__all__ = ["Join", "Starts", "add_sources", "joins"]


@dataclass(slots=True)
class Starts:
    """Points at which signals begin, numbered on from ``first``, and the signals themselves."""

    first: int
    points: list[Point] = field(default_factory=list)
    components: list[Component] = field(default_factory=list)
    entries: list[Entry] = field(default_factory=list)
    ears: dict[str, list[int]] = field(default_factory=dict)
    _named: dict[str, int] = field(default_factory=dict)

    def add(self, point: Point) -> int:
        """Number of a new point."""
        self.points.append(point)
        return self.first + len(self.points) - 1

    def enter(self, component: Component, point: int, rms: float) -> None:
        """Let a component in at a point; components of one name are the same signal."""
        number = self._named.setdefault(component.name, len(self.components))
        if number == len(self.components):
            self.components.append(component)
        self.entries.append(Entry(number, point, rms))


@dataclass(frozen=True, slots=True)
class Join:
    """A way into a lane's first stage: from which point, and the gain or pad of that input."""

    source: int
    figure: Figure | None = None

    @property
    def factor(self) -> float:
        """What the input's own gain multiplies by."""
        return 1.0 if self.figure is None else factor_of_db(self.figure.value)


def joins(lane: Lane, sockets: Mapping[str, int], starts: Starts) -> Iterator[Join]:
    """Ways into a lane from every origin in force (the mix joins its own).

    This is the one place where an origin is joined to a path: what is plugged elsewhere in a lane
    (an insert) is a join of its own there.
    """
    for origin in lane.origins(sockets):
        if origin.port is not None:
            yield Join(sockets[lane.sensed_at(origin.port)], origin.gain_db)
        elif origin.generator is not None:
            mono = lane.mono
            figure = None if mono is None else mono.gain_db
            yield Join(_generate(starts, lane, origin.generator), figure)
        elif origin.kind == "air":
            ear = starts.add(Point(lane.hidden("air"), "Pa", lane.item.id))
            starts.ears.setdefault(lane.item.id, []).append(ear)
            yield Join(ear)


def _generate(starts: Starts, lane: Lane, generator: GeneratorPlan) -> int:
    """A generator of sides: each its own part, and one part that they share."""
    start = starts.add(Point(lane.hidden("generator"), generator.unit, lane.item.id))
    level = generator.level.value
    rms = factor_of_db(level) if generator.unit == "FS" else level
    for name, share in _parts(lane, generator):
        if share > 0:
            component = Component(
                name,
                lane.item.id,
                lane.item.label,
                generator.spectrum,
                generator.peak_to_rms_db,
                generator.level,
            )
            starts.enter(component, start, rms * math.sqrt(share))
    return start


def _parts(lane: Lane, generator: GeneratorPlan) -> list[tuple[str, float]]:
    """Signals of a generator on this side, each with its part of the power of one side."""
    side, own = lane.path.side, f"{lane.item.id}.{lane.block.name}"
    shared = generator.shared if side else 1.0
    if lane.mono is None:
        return [(own, shared), (f"{own}-{side}", 1 - shared)]
    sides = [path.side for path in lane.block.plan.paths]
    apart = [(f"{own}-{each}", 1 - shared) for each in sides]
    return [(own, shared * len(sides) ** 2), *apart]  # what they share adds as voltage


def add_sources(rig: Rig, starts: Starts) -> Iterator[tuple[int, int, float, int]]:
    """Every source in the air; yields its way to each path of the items that hear it.

    A way has its points, its gain and its delay [ns] against the first of those items.
    """
    first: dict[str, tuple[int, float]] = {}
    for source in rig.sources:
        level_pa = _level_at_microphone_pa(source)
        if source.id not in first:
            point = starts.add(Point(source.id, "Pa", source.id, label=source.label))
            starts.enter(_voice(source), point, level_pa)
            first[source.id] = point, level_pa
        point, own_pa = first[source.id]
        for ear in starts.ears.get(source.at, ()):
            yield point, ear, level_pa / own_pa, round(source.later_s * 1e9)


def _voice(source: RigSource) -> Component:
    air = source.air
    return Component(
        source.id,
        source.id,
        source.label,
        air.spectrum,
        air.peak_to_rms_db,
        air.level_pa,
        air.within_db,
        0.0 if air.under_zero_db is None else air.under_zero_db.value,
    )


def _level_at_microphone_pa(source: RigSource) -> float:
    """Sound pressure at the microphone: falls with distance, as from a point."""
    return source.air.level_pa.value * source.air.at_m / source.distance_m
