"""Sockets of a gear type: what is plugged where, what it carries, what touches inside."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Final, TypeAlias

from levelhead.gear.circuits import INSERT, LOUDSPEAKER_LOAD
from levelhead.gear.connectors import (
    SignalPins,
    insert_pins,
    is_jack_in_combined,
    signal_pins,
)
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
_PHANTOM: Final = "phantom"
_OF_LOUDSPEAKERS: Final = frozenset({"speaker", "terminals", "posts", "bare"})  # connectors


@dataclass(frozen=True, slots=True)
class PortPlan:
    """A port with its circuit's figures in SI, by the names of ``gear.circuits``.

    ``wiring`` names the switch that says on which contact an insert sends; ``ring_send`` is what
    it says. ``jack_fed`` says that phantom power stands on the jack's contacts of a combined socket
    as well.
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
    jack_fed: bool = False
    own_lead: bool = False

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

    @property
    def is_followed(self) -> bool:
        """Whether the sound that passes here is followed: as analogue audio, or as numbers."""
        return self.carries == "audio" or self.is_digital

    def figure(self, name: str) -> float | None:
        """Value of a figure, or ``None`` when the entry has none."""
        found = self.figures.get(name)
        return None if found is None else found.value

    @property
    def tells_plugs_apart(self) -> bool:
        """Whether something stands on the contacts of one of its plugs, and not of another."""
        is_combined = is_jack_in_combined(self.socket, "jack-trs")
        return is_combined and not self.jack_fed and _PHANTOM in self.figures

    def with_plug(self, plug: str | None) -> PortPlan:
        """What a plug finds here: a jack in a combined socket, as a rule, no phantom power.

        It stands on the XLR contacts; those of the jack are a way for lines and instruments
        (common practice).
        """
        if plug is None or not self.tells_plugs_apart:
            return self
        if not is_jack_in_combined(self.socket, plug):
            return self
        figures = {name: figure for name, figure in self.figures.items() if name != _PHANTOM}
        return replace(self, figures=figures)

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
