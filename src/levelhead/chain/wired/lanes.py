"""Lanes: the path of an item where it stands in the rig, with the names that it has there."""

from __future__ import annotations

from collections.abc import Container, Iterator
from dataclasses import dataclass
from functools import lru_cache
from typing import Final

from levelhead.gear.figures import Figure
from levelhead.gear.plan import (
    OWN_NUMBER,
    BlockInstance,
    MonoPlan,
    OriginPlan,
    PathPlan,
    StagePlan,
    Target,
)
from levelhead.rig.model import Rig, RigItem

__all__ = ["Lane", "figures_of", "lanes", "lanes_of", "leaving"]

_RIGS_AT_ONCE: Final = 2  # the one that is read, and the one before an edit


@dataclass(frozen=True, slots=True)
class Lane:
    """A path, with the names that its stages, controls and ports have in the show."""

    rig: Rig
    item: RigItem
    block: BlockInstance
    path: PathPlan

    def __repr__(self) -> str:
        return f"Lane({self.item.id!r}, {self.block.name!r})"

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
        port, signal = self.port_of(target), self.signal_of(target)
        return port if signal is None else f"{port}.{signal}"

    def signal_of(self, target: Target) -> str | None:
        """Which signal of a port: a side, or the channel of a network."""
        if target.signal != OWN_NUMBER:
            return target.signal
        return self.block.name.removeprefix(self.block.block) or "1"

    @property
    def mono(self) -> MonoPlan | None:
        """The sum of all sides that this one carries, while no plug keeps them apart."""
        plan = self.path.mono
        if plan is None:
            return None
        port = self.rig.ports[self.port_of(Target(plan.empty, None))]
        return None if port.sibling(port.plan.hole) in self.rig.pushed else plan

    def hidden(self, what: str) -> str:
        """Address of a point that only helps: one for each path."""
        return f"~{what}-{self.item.id}.{self.block.name}-{self.path.side}"

    def origins(self, sensed: Container[str]) -> tuple[OriginPlan, ...]:
        """Origins in force: those without a plug, and plugged ports, of which a winner is alone.

        ``sensed`` holds the addresses of all points at plugged ports.
        """
        plugged = [
            origin
            for origin in self.path.origins
            if origin.port is not None and self.sensed_at(origin.port) in sensed
        ]
        winners = [origin for origin in plugged if origin.wins_when_plugged]
        others = [origin for origin in self.path.origins if origin.kind != "port"]
        return (*others, *(winners[:1] or plugged))

    def input_current_a(self, sensed: Container[str]) -> float:
        """Noise current of the input in force, which its published noise has in it. [A/sqrt(Hz)]"""
        ports = (origin.port for origin in self.origins(sensed) if origin.port is not None)
        plans = (self.rig.ports[self.port_of(port)].plan for port in ports)
        return max((plan.figure("current-noise") or 0.0 for plan in plans), default=0.0)


@lru_cache(maxsize=_RIGS_AT_ONCE)  # rigs are compared by identity: many rules walk over all lanes
def lanes(rig: Rig) -> tuple[Lane, ...]:
    """Every path of every item."""
    return tuple(lane for item in rig.items.values() for lane in lanes_of(rig, item))


def lanes_of(rig: Rig, item: RigItem) -> Iterator[Lane]:
    """Every path of one item."""
    for block, path in item.paths():
        yield Lane(rig, item, block, path)


def leaving(path: PathPlan) -> Iterator[tuple[Target, int]]:
    """Ports by which a path leaves, with the stage that drives each: at its end and at inserts."""
    if path.to_port is not None:
        yield path.to_port, len(path.stages) - 1
    for number, stage in enumerate(path.stages):
        if stage.insert is not None and number:
            yield stage.insert.send, number - 1


def figures_of(*figures: Figure | None) -> tuple[Figure, ...]:
    """Those of a row of figures that an entry has."""
    return tuple(figure for figure in figures if figure is not None)
