"""Points and the gains between them: the rig's stages, joined by its islands.

A point is the output of a stage, a plugged port, or a source. Its number is the rms in its own unit:
V, full-scale sine = 1 (AES17), or Pa. An edge multiplies, per band, and may change the unit.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from levelhead.circuit.assembly import Island
from levelhead.circuit.solve import Solved
from levelhead.gear.figures import Figure
from levelhead.gear.plan import (
    BlockInstance,
    GeneratorPlan,
    MeterPlan,
    MixPlan,
    OriginPlan,
    PathPlan,
    StagePlan,
)
from levelhead.quantity.bands import BANDS
from levelhead.rig.model import Rig, RigItem

__all__ = ["Component", "Edge", "Entry", "Graph", "Point", "build_graph"]

Unit = Literal["V", "FS", "Pa"]


@dataclass(slots=True)
class Point:
    """A place where levels are known. ``address`` of a hidden point starts with ``~``."""

    address: str
    unit: Unit
    item: str
    ceiling: float = math.inf
    ceiling_figure: Figure | None = None
    noise: float = 0.0  # own rms, 20 Hz to 20 kHz, here
    ein_v: float = 0.0  # rms at the input with 150 ohm, as published
    self_noise_pa: float = 0.0  # A-weighted rms before the gain of the stage
    gain: float = 1.0  # of the stage, to refer noise from its input
    meter: MeterPlan | None = None
    stage: StagePlan | None = None
    block: BlockInstance | None = None
    thermal_v2_per_hz: NDArray[np.float64] | None = None

    @property
    def is_hidden(self) -> bool:
        """Whether it only helps the computation."""
        return self.address.startswith("~")


@dataclass(frozen=True, slots=True)
class Edge:
    """A way from one point to another. ``gain`` is one number, or one for each band."""

    source: int
    target: int
    gain: complex | NDArray[np.complex128]
    control: str | None = None
    figure: Figure | None = None
    island: int | None = None
    drive: tuple[str, str | None] | None = None  # port and signal by which it leaves the source


@dataclass(frozen=True, slots=True)
class Component:
    """An independent signal: how it is spread over the bands, how peaky it is, how sure its level."""

    name: str
    origin: str  # components of one origin are one performance
    spectrum: str
    peak_to_rms_db: Figure
    level: Figure


@dataclass(frozen=True, slots=True)
class Entry:
    """A component entering at a point; what both sides share enters twice and is one signal."""

    component: int
    point: int
    rms: float


@dataclass(slots=True)
class Graph:
    """All points, edges and components of a rig."""

    points: list[Point] = field(default_factory=list)
    edges: list[Edge] = field(default_factory=list)
    components: list[Component] = field(default_factory=list)
    entries: list[Entry] = field(default_factory=list)
    index: dict[str, int] = field(default_factory=dict)
    _named: dict[str, int] = field(default_factory=dict)

    def add(self, point: Point) -> int:
        """Number of a new point."""
        self.index[point.address] = len(self.points)
        self.points.append(point)
        return len(self.points) - 1

    def enter(self, component: Component, point: int, rms: float) -> None:
        """Let a component in at a point; components of one name are the same signal."""
        number = self._named.setdefault(component.name, len(self.components))
        if number == len(self.components):
            self.components.append(component)
        self.entries.append(Entry(number, point, rms))


def decibels_to_factor(gain_db: float) -> float:
    """Factor of a gain; off (``-inf``) is 0."""
    return 0.0 if gain_db == -math.inf else 10 ** (gain_db / 20)


def build_graph(
    rig: Rig, islands: Sequence[Island], solved: Sequence[Solved], dead: frozenset[str]
) -> Graph:
    """Graph of a rig whose islands are solved; items in ``dead`` have no power and pass nothing."""
    return _Builder(rig, dead).build(islands, solved)


class _Builder:
    def __init__(self, rig: Rig, dead: frozenset[str]) -> None:
        self.rig = rig
        self.dead = dead
        self.graph = Graph()

    def build(self, islands: Sequence[Island], solved: Sequence[Solved]) -> Graph:
        for island in islands:
            for address in island.sense_addresses:
                self._port_point(address)
        for item in self.rig.items.values():
            for block, path in item.paths():
                self._path(item, block, path)
        for item in self.rig.items.values():
            self._mixes(item)
        for number, (island, solution) in enumerate(zip(islands, solved, strict=True)):
            self._island(number, island, solution)
        for source in self.rig.sources:
            self._air(source.id)
        return self.graph

    # --- stages ---

    def _port_point(self, address: str) -> None:
        port = self.rig.ports.get(address) or self.rig.ports[address.rpartition(".")[0]]
        clip = port.plan.figures.get("clip")
        self.graph.add(
            Point(
                address,
                "V",
                port.item.id,
                ceiling=math.inf if clip is None else clip.value,
                ceiling_figure=clip,
            )
        )

    def _path(self, item: RigItem, block: BlockInstance, path: PathPlan) -> None:
        origins = self._live_origins(item, block, path)
        previous: int | None = None
        for stage in path.stages:
            point = self._stage_point(item, block, stage, is_idle=not origins)
            if previous is None:
                for origin in origins:
                    self._enter(item, block, path, origin, point)
            else:
                self._step(item, block, previous, point)
            previous = point

    def _live_origins(
        self, item: RigItem, block: BlockInstance, path: PathPlan
    ) -> tuple[OriginPlan, ...]:
        """Origins in force: plugged ports, of which one that wins is alone."""
        ports = [
            origin
            for origin in path.origins
            if origin.port and self._port_address(item, block, origin) in self.graph.index
        ]
        winners = [origin for origin in ports if origin.wins_when_plugged]
        others = [origin for origin in path.origins if origin.kind != "port"]
        return (*others, *(winners[:1] or ports))

    def _port_address(self, item: RigItem, block: BlockInstance, origin: OriginPlan) -> str:
        assert origin.port is not None
        return self._target_address(item, block, origin.port.port, origin.port.signal)

    def _target_address(
        self, item: RigItem, block: BlockInstance, port: str, signal: str | None
    ) -> str:
        own = port in block.plan.ports
        address = f"{item.id}.{block.address(port) if own else port}"
        return address if signal is None else f"{address}.{signal}"

    def _stage_point(
        self, item: RigItem, block: BlockInstance, stage: StagePlan, *, is_idle: bool
    ) -> int:
        is_silent = is_idle or item.id in self.dead
        point = Point(
            address=f"{item.id}.{block.address(stage.name)}",
            unit=stage.unit,
            item=item.id,
            ceiling=math.inf if stage.ceiling is None else stage.ceiling.value,
            ceiling_figure=stage.ceiling,
            meter=stage.meter,
            stage=stage,
            block=block,
            gain=self._stage_gain(item, block, stage),
        )
        if not is_silent:
            point.noise = stage.noise.value if stage.noise else 0.0
            point.ein_v = stage.ein.value if stage.ein else 0.0
            point.self_noise_pa = stage.self_noise.value if stage.self_noise else 0.0
        return self.graph.add(point)

    def _control(self, item: RigItem, block: BlockInstance, stage: StagePlan) -> str | None:
        return None if stage.control is None else self.rig.control_of(item, block, stage.control)

    def _stage_gain(self, item: RigItem, block: BlockInstance, stage: StagePlan) -> float:
        """Factor from the stage's input to its output, as everything stands."""
        gain_db = stage.gain_db.value if stage.gain_db else 0.0
        control = self._control(item, block, stage)
        if control is not None:
            gain_db += self.rig.setting_db(control)
        return decibels_to_factor(gain_db) * (stage.ratio.value if stage.ratio else 1.0)

    def _step(self, item: RigItem, block: BlockInstance, source: int, target: int) -> None:
        point = self.graph.points[target]
        assert point.stage is not None
        self._edge(
            source,
            target,
            0.0 if item.id in self.dead else point.gain,
            control=self._control(item, block, point.stage),
            figure=point.stage.ratio or point.stage.gain_db,
        )

    def _edge(
        self,
        source: int,
        target: int,
        gain: complex | NDArray[np.complex128],
        *,
        control: str | None = None,
        figure: Figure | None = None,
        island: int | None = None,
        drive: tuple[str, str | None] | None = None,
    ) -> None:
        """Off is not stored."""
        if np.any(gain):
            self.graph.edges.append(Edge(source, target, gain, control, figure, island, drive))

    # --- where paths begin ---

    def _enter(
        self, item: RigItem, block: BlockInstance, path: PathPlan, origin: OriginPlan, target: int
    ) -> None:
        before = decibels_to_factor(origin.gain_db.value if origin.gain_db else 0.0)
        if item.id in self.dead or origin.kind == "mix":
            return
        if origin.generator is not None:
            self._generate(item, path, origin.generator, target)
            return
        point = self.graph.points[target]
        assert point.stage is not None
        if origin.kind == "port":
            source = self.graph.index[self._port_address(item, block, origin)]
        else:
            source = self.graph.add(Point(f"~air-{item.id}-{path.side}", "Pa", item.id))
        self._edge(
            source,
            target,
            before * point.gain,
            control=self._control(item, block, point.stage),
            figure=point.stage.ratio or point.stage.gain_db,
        )

    def _generate(
        self, item: RigItem, path: PathPlan, generator: GeneratorPlan, target: int
    ) -> None:
        """A generator of sides: each its own part, and one part that they share."""
        point = self.graph.points[target]
        assert point.stage is not None
        start = self.graph.add(Point(f"~{item.id}-{path.side}", generator.unit, item.id))
        self._edge(
            start,
            target,
            point.gain,
            control=None if point.stage.control is None else f"{item.id}.{point.stage.control}",
            figure=point.stage.ratio or point.stage.gain_db,
        )
        shared = generator.shared if path.side else 1.0
        rms = generator.level.value
        if generator.unit == "FS":
            rms = 10 ** (rms / 20)
        for name, share in ((f"{item.id}", shared), (f"{item.id}-{path.side}", 1 - shared)):
            if share > 0:
                component = Component(
                    name, item.id, generator.spectrum, generator.peak_to_rms_db, generator.level
                )
                self.graph.enter(component, start, rms * math.sqrt(share))

    def _air(self, source_id: str) -> None:
        source = next(each for each in self.rig.sources if each.id == source_id)
        level = source.air.level_pa
        at_mic_pa = level.value * source.air.at_m / source.distance_m
        point = self.graph.add(Point(source.id, "Pa", source.id))
        component = Component(
            source.id, source.id, source.air.spectrum, source.air.peak_to_rms_db, level
        )
        self.graph.enter(component, point, at_mic_pa)
        for other, hears in list(enumerate(self.graph.points)):
            if hears.is_hidden and hears.unit == "Pa" and hears.item == source.at:
                self._edge(point, other, 1.0)

    # --- mixers ---

    def _mixes(self, item: RigItem) -> None:
        for block in item.plan.blocks:
            for mix in block.mixes:
                source = self.graph.index.get(f"{item.id}.{block.address(mix.from_stage)}")
                if source is not None and item.id not in self.dead:
                    for column, target_block in enumerate(self._columns(item, mix)):
                        self._cross(item, block, mix, source, column, target_block)

    @staticmethod
    def _columns(item: RigItem, mix: MixPlan) -> Iterator[BlockInstance]:
        return (block for block in item.plan.blocks if mix.to_block in (block.block, block.name))

    def _cross(
        self,
        item: RigItem,
        block: BlockInstance,
        mix: MixPlan,
        source: int,
        column: int,
        target_block: BlockInstance,
    ) -> None:
        first = target_block.plan.paths[0].stages[0]
        target = self.graph.index[f"{item.id}.{target_block.address(first.name)}"]
        gain = decibels_to_factor(mix.gain_db) * self.graph.points[target].gain
        control = None
        if mix.control is not None:
            control = self.rig.control_of(item, block, mix.control)
            if control not in self.rig.controls:
                control = self.rig.control_of(item, block, f"{mix.control}{column + 1}")
            gain *= self._crossing_gain(mix, control, column)
        self._edge(source, target, gain, control=control)

    def _crossing_gain(self, mix: MixPlan, control: str, column: int) -> float:
        if mix.law == "pan":
            position = float(self.rig.setting(control))
            return pan_gain(position, side=column % 2, law_db=self.rig.controls[control].law_db)
        return decibels_to_factor(self.rig.setting_db(control))

    # --- islands ---

    def _island(self, number: int, island: Island, solved: Solved) -> None:
        drivers = self._drivers()
        for row, address in enumerate(island.sense_addresses):
            target = self.graph.index[address]
            self.graph.points[target].thermal_v2_per_hz = solved.noise_v2_per_hz[row]
            for (port, signal), columns in _by_port(island).items():
                source = drivers.get((port, signal))
                if source is not None:
                    gain = np.zeros(BANDS, dtype=np.complex128)
                    for column in columns:
                        gain += island.drives[column].weight * solved.transfer[row, column]
                    self._edge(source, target, gain, island=number, drive=(port, signal))

    def _drivers(self) -> dict[tuple[str, str | None], int]:
        """Last stage of each path that leaves by a port."""
        found = {}
        for item in self.rig.items.values():
            for block, path in item.paths():
                if path.to_port is not None and path.stages:
                    target = path.to_port
                    port = self._target_address(item, block, target.port, None)
                    last = f"{item.id}.{block.address(path.stages[-1].name)}"
                    found[port, target.signal] = self.graph.index[last]
        return found


def _by_port(island: Island) -> dict[tuple[str, str | None], list[int]]:
    found: dict[tuple[str, str | None], list[int]] = {}
    for column, drive in enumerate(island.drives):
        found.setdefault((drive.port, drive.signal), []).append(column)
    return found


def pan_gain(position: float, *, side: int, law_db: float) -> float:
    """Gain to one side (0 left, 1 right) of a pan from -1 to +1, ``law_db`` down in the middle.

    >>> round(20 * math.log10(pan_gain(0.0, side=0, law_db=-3.0)), 2)
    -3.0
    >>> pan_gain(-1.0, side=0, law_db=-3.0), pan_gain(-1.0, side=1, law_db=-3.0)
    (1.0, 0.0)
    """
    toward = (1 + position) / 2 if side else (1 - position) / 2
    if toward <= 0:
        return 0.0
    exponent = law_db / (20 * math.log10(0.5))  # cos-like for -3 dB, straight for -6 dB
    return min(1.0, float(toward**exponent))
