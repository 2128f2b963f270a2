"""A gear type as it stands in a show: its strips, what feeds it, what sets its pace."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from levelhead.errors import GearError
from levelhead.gear.figures import Figure
from levelhead.gear.names import did_you_mean
from levelhead.gear.plan.controls import ControlPlan
from levelhead.gear.plan.parts import PartPlan
from levelhead.gear.plan.paths import AirPlan, MixPlan, PathPlan
from levelhead.gear.plan.ports import ContactPlan, PinPlace, PortPlan

__all__ = ["BatteryPlan", "BlockInstance", "BlockPlan", "ClockPlan", "ItemPlan", "PowerPlan"]


@dataclass(frozen=True, slots=True)
class PowerPlan:
    """A way of being fed: at a port by phantom power or bias, or else.

    Current and minimum volts are its own; ``full`` are the volts from which on its ceilings are
    those of its figures. A battery with a ``switch`` is on while these two pins are joined by what
    is plugged.
    """

    kind: Literal["phantom", "bias", "battery", "mains"]
    port: str | None
    current: Figure | None
    minimum: Figure | None
    full: Figure | None = None
    switch: tuple[PinPlace, PinPlace] | None = None


@dataclass(frozen=True, slots=True)
class BatteryPlan:
    """Batteries that go into an item: a designation of IEC 60086-2, and how many."""

    cell: str
    count: int


@dataclass(frozen=True, slots=True)
class ClockPlan:
    """What sets the pace of an item's numbers: a port, or ``None`` for its own clock."""

    port: str | None


@dataclass(frozen=True, slots=True)
class BlockPlan:
    """One strip."""

    ports: Mapping[str, PortPlan]
    controls: Mapping[str, ControlPlan]
    paths: tuple[PathPlan, ...]
    parts: tuple[PartPlan, ...]
    contacts: tuple[ContactPlan, ...] = ()


@dataclass(frozen=True, slots=True)
class BlockInstance:
    """A block where it stands: ``name`` is its part of an address (empty for the item itself)."""

    name: str
    block: str
    plan: BlockPlan
    mixes: tuple[MixPlan, ...]

    def __repr__(self) -> str:
        return f"BlockInstance({self.name!r})"

    def address(self, local: str) -> str:
        """Address below the item: ``ch3.gain`` for ``gain`` of ``ch3``."""
        return f"{self.name}.{local}" if self.name else local


@dataclass(frozen=True, slots=True)
class ItemPlan:
    """A gear type as it stands in a show."""

    type_id: str
    label: str
    kind: str
    earth: str
    blocks: tuple[BlockInstance, ...]
    powered_by: tuple[PowerPlan, ...]
    air: AirPlan | None
    needs_power: bool = False  # has ways of being fed, whether or not one is there now
    leakage: Figure | None = None  # of its mains supply, where that is known [A]
    draws: Figure | None = None  # most that it takes from the mains, where that is known [W]
    thump: Figure | None = None  # peak at its outputs when it is switched on, if known [V]
    pickup_area: Figure | None = None  # of a coil: area by turns, with its core [m2]
    is_worn: bool = False  # its levels are those at an ear
    phantom_supply: Figure | None = None  # most that all its inputs feed together [A]
    clock: ClockPlan | None = None  # as the switches stand; what only passes numbers on has none
    sample_rate: Figure | None = None  # [Hz]
    listeners: str | None = None  # of a loudspeaker: audience, performers
    coverage_deg: tuple[float, float] | None = None  # of a loudspeaker, across and up
    line_m: Figure | None = None  # length of a column of drivers that play alike
    directivity: str | None = None  # of a loudspeaker, measured: the text of a table
    pattern: str | None = None  # of a microphone: omni, cardioid, ...
    batteries: tuple[BatteryPlan, ...] = ()  # to be bought and put in, as the switches stand

    def __repr__(self) -> str:
        return f"ItemPlan({self.type_id!r})"

    @property
    def is_on_mains(self) -> bool:
        """Whether it has a mains plug, with or without a protective earth."""
        return self.earth in {"mains", "class-2"}

    @property
    def is_switched(self) -> bool:
        """Whether somebody switches it on: it has the mains or batteries of its own."""
        return self.is_on_mains or any(way.kind == "battery" for way in self.powered_by)

    def block(self, name: str) -> BlockInstance:
        """The block of this name; ``GearError`` when the type has none."""
        for block in self.blocks:
            if block.name == name:
                return block
        names = [block.name for block in self.blocks if block.name]
        raise GearError(
            f"no block '{name}'",
            where=self.type_id,
            expected=f"one of {', '.join(names) or 'none'}",
            remedy=did_you_mean(name, names) or f"List them with: levelhead gear {self.type_id}",
        )
