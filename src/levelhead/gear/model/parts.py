"""Passive parts of an entry, what feeds it, and the sound it makes in the air."""

from __future__ import annotations

from typing import Final, Literal

from pydantic import Field, model_validator

from levelhead.gear.figures import RawFigure
from levelhead.gear.model.base import Entry, When

__all__ = [
    "CELLS",
    "INSIDE",
    "AirEntry",
    "BatteryEntry",
    "ClockEntry",
    "Earth",
    "PartEntry",
    "PartKind",
    "PowerEntry",
    "PowerKind",
]

PartKind = Literal["transformer", "wire", "resistor", "capacitor"]
PowerKind = Literal["phantom", "bias", "battery", "mains"]
Earth = Literal["mains", "class-2", "none"]
# Primary batteries by their designations in IEC 60086-2, and what shops call them.
CELLS: Final = {
    "LR6": "AA",
    "LR03": "AAA",
    "LR14": "C",
    "LR20": "D",
    "6LR61": "9 V block",
    "CR2032": "button cell",
}
INSIDE: Final = "inside"  # in place of a port: a solder point of its own, inside.NAME
_MOST_CELLS: Final = 24
_PINS_MISSING: Final = "a part is one of transformer, wire, resistor, capacitor"


class PartEntry(Entry):
    """A passive part between pins, written ``port.pin``, or ``end.pin`` in the plugs of a cable.

    ``name`` is what a unit's own figure calls it (``core.ratio``); without one, its kind. The
    ``ceiling`` of a transformer is the largest clean sine across its primary at 20 Hz; its core
    bears twice that an octave higher.
    """

    name: str | None = None
    transformer: tuple[str, str, str, str] | None = None
    wire: tuple[str, str] | None = None
    resistor: tuple[str, str] | None = None
    capacitor: tuple[str, str] | None = None
    value: RawFigure | None = None
    ratio: RawFigure | None = None
    magnetising: RawFigure | None = None
    leakage: RawFigure | None = None
    primary: RawFigure | None = None
    secondary: RawFigure | None = None
    ceiling: RawFigure | None = None
    when: When | None = None

    @property
    def drawn(self) -> tuple[PartKind, tuple[str, ...]]:
        """What it is, and its pins in order."""
        if self.transformer is not None:
            return "transformer", self.transformer
        if self.wire is not None:
            return "wire", self.wire
        if self.resistor is not None:
            return "resistor", self.resistor
        if self.capacitor is not None:
            return "capacitor", self.capacitor
        raise ValueError(_PINS_MISSING)

    @property
    def called(self) -> str:
        """Its name, or its kind."""
        return self.name or self.drawn[0]

    @model_validator(mode="after")
    def _one_kind(self) -> PartEntry:
        kinds = [self.transformer, self.wire, self.resistor, self.capacitor]
        if sum(kind is not None for kind in kinds) != 1:
            raise ValueError(_PINS_MISSING)
        if self.transformer and None in (self.ratio, self.magnetising):
            raise ValueError("a transformer needs a ratio and a magnetising inductance")
        if (self.resistor or self.capacitor) and self.value is None:
            raise ValueError("a resistor or capacitor needs a value")
        return self


class PowerEntry(Entry):
    """One way of feeding an item: phantom or bias (plug-in power) at a port, a battery, the mains.

    From ``full`` volts on its ceilings are those of its figures, below they fall with the volts.
    ``earth`` is what this way makes of the item's earth: a charger with three pins earths what
    floats on its battery. A battery with a ``switch`` is on while what is plugged joins these two
    pins of a socket.
    """

    phantom: str | None = None
    bias: str | None = None
    battery: RawFigure | None = None
    mains: bool = False
    current: RawFigure | None = None
    minimum: RawFigure | None = None
    full: RawFigure | None = None
    earth: Earth | None = None
    switch: tuple[str, str] | None = None
    when: When | None = None

    @property
    def kind(self) -> PowerKind:
        """What feeds it."""
        if self.phantom is not None:
            return "phantom"
        if self.bias is not None:
            return "bias"
        return "mains" if self.battery is None else "battery"

    @model_validator(mode="after")
    def _one_kind(self) -> PowerEntry:
        ways = [self.phantom, self.bias, self.battery, self.mains or None]
        if sum(way is not None for way in ways) != 1:
            raise ValueError("one way of feeding is phantom, bias, battery or mains")
        if self.switch is not None and self.battery is None:
            raise ValueError("a switch in a socket belongs to a battery")
        is_fed = self.phantom is not None or self.bias is not None
        if is_fed and None in (self.current, self.minimum):
            raise ValueError(f"what lives on {self.kind} needs its current and its minimum volts")
        return self


class BatteryEntry(Entry):
    """Batteries that are bought and put in: how many, of which designation (IEC 60086-2)."""

    cell: Literal["LR6", "LR03", "LR14", "LR20", "6LR61", "CR2032"]
    count: int = Field(default=1, ge=1, le=_MOST_CELLS)
    when: When | None = None


class ClockEntry(Entry):
    """What sets the pace of an item's numbers: its ``own`` clock, or what arrives at a ``port``."""

    own: bool = False
    port: str | None = None
    when: When | None = None

    @model_validator(mode="after")
    def _one_kind(self) -> ClockEntry:
        if self.own == (self.port is not None):
            raise ValueError("a clock is either its own or that of a port")
        return self


class AirEntry(Entry):
    """A voice or an instrument: its level at a distance, rms of the loud passage.

    The range of ``level`` holds what differs between performers and, ``within`` of it, how far one
    performer's loud passages stray either way; the two parts add as squares. ``under_zero`` is how
    far below the zero of a meter they are loud enough.
    """

    level: RawFigure
    within: RawFigure | None = None
    under_zero: RawFigure | None = None
    at: RawFigure = "1 m"
    peak_to_rms: RawFigure
    spectrum: str = "programme"
    distance: RawFigure = "30 cm"
