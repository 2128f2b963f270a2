"""Sockets of a gear type: what is plugged where, what it carries, what touches inside."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final, TypeAlias

from levelhead.gear.circuits import INSERT, LOUDSPEAKER_LOAD
from levelhead.gear.connectors import SignalPins, insert_pins, signal_pins
from levelhead.gear.figures import Figure

__all__ = ["DIGITAL", "OWN_NUMBER", "PACKETS", "ContactPlan", "PinPlace", "PortPlan", "Target"]

DIGITAL: Final = frozenset({"aes3", "spdif"})
"""Formats of two channels of numbers: AES3 and S/PDIF (IEC 60958-3)."""

PACKETS: Final = frozenset({"network", "usb"})
"""Ways of many channels of numbers, both ways in one cable."""

OWN_NUMBER: Final = "#"
"""Channel of a network or USB socket that has the number of the strip."""

PinPlace: TypeAlias = tuple[str, str]
"""A port (or an end of a cable) and a pin of it."""

_DRIVING: Final = frozenset({"out", "loudspeaker"})  # roles of ports that the item drives
_OF_LOUDSPEAKERS: Final = frozenset({"speaker", "terminals", "posts", "bare"})  # connectors


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
    def drives(self) -> bool:
        """Whether the item drives what is plugged in: an output, a loudspeaker output."""
        return self.role in _DRIVING

    @property
    def gives(self) -> bool:
        """Whether a signal leaves by it: it drives, or hands on what comes in elsewhere."""
        return self.drives or self.role == "through"

    @property
    def is_load(self) -> bool:
        """Whether it is a load for an amplifier: a loudspeaker, or its transformer."""
        return self.circuit == LOUDSPEAKER_LOAD

    @property
    def is_for_loudspeakers(self) -> bool:
        """Whether its connector is one of loudspeaker leads."""
        return self.socket.partition("-")[0] in _OF_LOUDSPEAKERS

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
class ContactPlan:
    """Two pins that are one wire while all of some sockets are empty."""

    pins: tuple[PinPlace, PinPlace]
    empty: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Target:
    """A port, and which of its signals."""

    port: str
    signal: str | None
