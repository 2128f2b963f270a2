"""An entry of the gear book with its switches as they stand, every figure in SI.

A plan is what the rig places. Blocks that stand alike (same switches, same figures) share one
``BlockPlan``, so a desk of 128 equal channels is planned once.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Final, Literal, TypeAlias

from levelhead.errors import GearError
from levelhead.gear.circuits import INSERT
from levelhead.gear.connectors import SignalPins, insert_pins, signal_pins
from levelhead.gear.figures import Figure
from levelhead.gear.names import did_you_mean
from levelhead.gear.shaping import PLAIN, ShapingPlan

__all__ = [
    "DIGITAL",
    "OWN_NUMBER",
    "PACKETS",
    "AirPlan",
    "BlockInstance",
    "BlockPlan",
    "CablePlan",
    "ClockPlan",
    "ContactPlan",
    "ControlPlan",
    "GeneratorPlan",
    "InsertPlan",
    "ItemPlan",
    "MeterPlan",
    "MixPlan",
    "MonoPlan",
    "OriginPlan",
    "PartPlan",
    "PathPlan",
    "PinPlace",
    "PointUnit",
    "PortPlan",
    "PowerPlan",
    "StagePlan",
    "Target",
]


PinPlace: TypeAlias = tuple[str, str]
"""A port (or an end of a cable) and a pin of it."""

DIGITAL: Final = frozenset({"aes3", "spdif"})
"""Formats of two channels of numbers: AES3 and S/PDIF (IEC 60958-3)."""

PACKETS: Final = frozenset({"network", "usb"})
"""Ways of many channels of numbers, both ways in one cable."""

OWN_NUMBER: Final = "#"
"""Channel of a network or USB socket that has the number of the strip."""

PointUnit: TypeAlias = Literal["V", "FS", "Pa"]
"""Unit of a point: rms volts, rms where a full-scale sine is 1, or rms pascals."""


@dataclass(frozen=True, slots=True)
class PortPlan:
    """A port with its circuit's figures in SI, by the names of ``gear.circuits``.

    ``wiring`` names the switch that says on which contact an insert sends; ``ring_send`` is what
    it says.
    """

    name: str
    label: str
    words: tuple[str, ...]
    socket: str
    role: str
    circuit: str | None
    figures: Mapping[str, Figure]
    signals: tuple[str, ...]
    joined: str | None
    hole: str
    carries: str = "audio"
    pole: str | None = None
    wiring: str | None = None
    ring_send: bool = False
    channels: int = 0
    talkback: bool = False

    def __repr__(self) -> str:
        return f"PortPlan({self.name!r}, {self.socket!r})"

    @property
    def is_digital(self) -> bool:
        """Whether numbers pass here: left and right, or the channels of a network."""
        return self.carries in DIGITAL or self.channels > 0

    def figure(self, name: str) -> float | None:
        """Value of a figure, or ``None`` when the entry has none."""
        found = self.figures.get(name)
        return None if found is None else found.value

    def pins_of(self, signal: str | None) -> SignalPins:
        """Pins of one of its signals: the only one, a side, or send and return of an insert."""
        if self.circuit == INSERT and signal is not None:
            return insert_pins(self.socket, ring_send=self.ring_send)[signal]
        return signal_pins(self.socket, signal or self.pole)


@dataclass(frozen=True, slots=True)
class ControlPlan:
    """A control. A range is in dB (a pan: -1 left to +1 right); a switch has option names.

    A dial sets another quantity: ``unit`` says which. A switch ``silences`` stages that one of its
    positions shuts.
    """

    name: str
    label: str
    kind: Literal["range", "pan", "switch", "dial"]
    low: float
    high: float
    default: float | str
    scale: str
    options: tuple[str, ...]
    law_db: float
    words: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    unit: str = "dB"
    silences: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class MeterPlan:
    """A meter: detector, and the level (in the unit of its point) where it reads zero."""

    kind: Literal["vu", "ppm", "peak", "true-peak"]
    zero: Figure


@dataclass(frozen=True, slots=True)
class Target:
    """A port, and which of its signals."""

    port: str
    signal: str | None


@dataclass(frozen=True, slots=True)
class InsertPlan:
    """Where a signal leaves before a stage, and where it comes back into it."""

    send: Target
    back: Target


@dataclass(frozen=True, slots=True)
class ContactPlan:
    """Two pins that are one wire while all of some sockets are empty."""

    pins: tuple[PinPlace, PinPlace]
    empty: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class StagePlan:
    """A stage. Levels are rms, in the unit of its output point.

    ``ratio`` multiplies where units change: V/Pa of a microphone, Pa/V of a loudspeaker, V per
    full scale of a converter or its inverse. ``set_by`` says where its control belongs: by the
    meter behind it, or by its own ceiling (a transmitter). Behind an ``effect`` there is another
    sound than before it. ``shaping`` is what it does beside its gain.
    """

    name: str
    label: str
    unit: PointUnit
    control: str | None
    gain_db: Figure | None
    ratio: Figure | None
    ceiling: Figure | None
    noise: Figure | None
    ein: Figure | None
    self_noise: Figure | None
    meter: MeterPlan | None
    set_by: Literal["meter", "ceiling"] = "meter"
    effect: bool = False
    shaping: ShapingPlan = PLAIN
    insert: InsertPlan | None = None


@dataclass(frozen=True, slots=True)
class GeneratorPlan:
    """A signal born inside an item; ``shared`` is the part of its power common to all its sides."""

    level: Figure
    unit: PointUnit
    peak_to_rms_db: Figure
    spectrum: str
    shared: float


@dataclass(frozen=True, slots=True)
class AirPlan:
    """A voice or instrument: level at ``at_m``, usual distance of its microphone.

    ``within_db`` is how far one performance strays, either way; the range of the level holds it.
    ``under_zero_db`` is how far below the zero of a meter it is loud enough.
    """

    level_pa: Figure
    at_m: float
    peak_to_rms_db: Figure
    spectrum: str
    distance_m: float
    within_db: Figure | None = None
    under_zero_db: Figure | None = None


@dataclass(frozen=True, slots=True)
class OriginPlan:
    """Where a path begins: ``port`` or ``generator`` is set, or ``kind`` says air or mix."""

    kind: Literal["port", "generator", "air", "mix"]
    port: Target | None = None
    generator: GeneratorPlan | None = None
    gain_db: Figure | None = None
    wins_when_plugged: bool = False


@dataclass(frozen=True, slots=True)
class MonoPlan:
    """All sides summed into the first one, each with a gain, while a socket is empty."""

    empty: str
    gain_db: Figure


@dataclass(frozen=True, slots=True)
class PathPlan:
    """A path of one side: origins, stages in signal order, and where it leaves."""

    side: str | None
    origins: tuple[OriginPlan, ...]
    stages: tuple[StagePlan, ...]
    to_port: Target | None
    to_air: bool
    mono: MonoPlan | None = None


@dataclass(frozen=True, slots=True)
class PartPlan:
    """A passive part between pins ``(port, pin)``; figures by name."""

    kind: Literal["transformer", "wire", "resistor", "capacitor"]
    pins: tuple[PinPlace, ...]
    figures: Mapping[str, Figure]


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
class MixPlan:
    """A crossing of a mixer: a stage of every strip of a block into another block's sum."""

    from_block: str
    from_stage: str
    to_block: str
    control: str | None
    law: str | None
    gain_db: float


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


@dataclass(frozen=True, slots=True)
class CablePlan:
    """A cable or adaptor: connector of each end, pins joined, conductors per metre.

    ``sockets`` are ends that take a plug; ``contact_ohm`` is what both plugs add to a conductor;
    ``parts`` are soldered into the plugs.
    """

    type_id: str
    label: str
    ends: Mapping[str, str]
    sockets: frozenset[str]
    joins: tuple[tuple[PinPlace, PinPlace], ...]
    contact_ohm: Figure
    core_ohm_per_m: Figure | None
    screen_ohm_per_m: Figure | None
    core_core_f_per_m: Figure | None
    core_screen_f_per_m: Figure | None
    usual_length_m: float
    parts: tuple[PartPlan, ...] = ()
    carries: str = "audio"
