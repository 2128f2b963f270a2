"""Paths of a strip: where they begin, the stages in order, where they leave."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from levelhead.gear.compile.ports import find_insert, find_target
from levelhead.gear.compile.stages import stage_plan
from levelhead.gear.compile.standing import Standing
from levelhead.gear.model import BlockEntry, GeneratorEntry, OriginEntry, PathEntry
from levelhead.gear.plan import (
    GeneratorPlan,
    MonoPlan,
    OriginPlan,
    PathPlan,
    PointUnit,
    PortPlan,
    StagePlan,
)

__all__ = ["path_plans"]

AIR = "air"
MIX = "mix"


def path_plans(
    block: BlockEntry, ports: Mapping[str, PortPlan], standing: Standing
) -> Iterator[PathPlan]:
    """The path of a strip, once for each of its sides, among the ports it may use."""
    if block.path is None or not standing.holds(block.path.when):
        return
    for side in block.path.sides or (None,):
        yield _PathPlanner(block.path, side, ports, standing).plan()


@dataclass(frozen=True, slots=True)
class _PathPlanner:
    """Plans one side of a path."""

    path: PathEntry
    side: str | None
    ports: Mapping[str, PortPlan]
    standing: Standing

    def plan(self) -> PathPlan:
        origins = tuple(self._origins())
        to_air = self.path.to == AIR
        target = None
        if self.path.to is not None and not to_air:
            target = find_target(self.path.to, self.side, self.ports, self.standing)
        return PathPlan(
            side=self.side,
            origins=origins,
            stages=tuple(self._stages(_unit_of(origins, self.path.sums, self.ports))),
            to_port=target,
            to_air=to_air,
            mono=self._mono(),
        )

    def _mono(self) -> MonoPlan | None:
        """The sum of all sides, in the first of them."""
        entry = self.path.mono
        if entry is None or self.side != self.path.sides[0] or entry.empty not in self.ports:
            return None
        return MonoPlan(entry.empty, self.standing.figure(entry.gain, "dB", "mono.gain"))

    def _stages(self, unit: PointUnit) -> Iterator[StagePlan]:
        for entry in self.path.stages:
            if self.standing.holds(entry.when):
                stage = stage_plan(entry, self.side, unit, self.standing)
                unit = stage.unit
                if entry.insert is not None:
                    way = find_insert(entry.insert, self.side, self.ports, self.standing)
                    stage = replace(stage, insert=way)
                yield stage

    def _origins(self) -> Iterator[OriginPlan]:
        start = self.path.from_
        if start == AIR:
            yield OriginPlan("air")
        elif start == MIX:
            yield OriginPlan("mix")
        elif isinstance(start, str):
            yield self._at_port(OriginEntry(port=start), start)
        else:
            for entry in start:
                if self.standing.holds(entry.when):
                    yield self._origin(entry)

    def _origin(self, entry: OriginEntry) -> OriginPlan:
        if entry.mix:
            return OriginPlan("mix", gain_db=None)
        if entry.generator is None:
            return self._at_port(entry, entry.port or "")
        gain_db = self.standing.optional(entry.gain, "dB", "generator.gain")
        generator = _generator(entry.generator, self.standing)
        return OriginPlan("generator", generator=generator, gain_db=gain_db)

    def _at_port(self, entry: OriginEntry, port: str) -> OriginPlan:
        return OriginPlan(
            "port",
            port=find_target(port, self.side, self.ports, self.standing),
            gain_db=self.standing.optional(entry.gain, "dB", f"{port}.gain"),
            wins_when_plugged=entry.wins == "plugged",
        )


def _generator(entry: GeneratorEntry, standing: Standing) -> GeneratorPlan:
    text = entry.level if isinstance(entry.level, str) else str(entry.level.get("value", ""))
    unit: PointUnit = "FS" if "FS" in text else "V"
    return GeneratorPlan(
        level=standing.figure(entry.level, "dBFS" if unit == "FS" else "V", "generator.level"),
        unit=unit,
        peak_to_rms_db=standing.figure(entry.peak_to_rms, "dB", "generator.peak-to-rms"),
        spectrum=entry.spectrum,
        shared=standing.figure(entry.shared, "1", "generator.shared").value,
    )


def _unit_of(
    origins: tuple[OriginPlan, ...], sums: PointUnit, ports: Mapping[str, PortPlan]
) -> PointUnit:
    """Unit in which a path begins."""
    first = origins[0] if origins else None
    if first is not None and first.kind == AIR:
        return "Pa"
    if first is not None and first.generator is not None:
        return first.generator.unit
    if first is not None and first.port is not None and ports[first.port.port].is_digital:
        return "FS"
    return sums if first is not None and first.kind == MIX else "V"
