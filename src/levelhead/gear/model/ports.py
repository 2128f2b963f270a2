"""Ports of an entry: where a plug goes, and what circuit stands behind it."""

from __future__ import annotations

from typing import Final, Literal

from pydantic import ConfigDict, Field, field_validator, model_validator

from levelhead.gear.circuits import CIRCUITS, STEREO_CIRCUITS, figure_rules
from levelhead.gear.connectors import CONNECTORS, is_jack_in_combined
from levelhead.gear.figures import RawFigure
from levelhead.gear.model.base import Entry, When, spelled
from levelhead.gear.names import did_you_mean

__all__ = ["Carried", "PortEntry", "Role"]

Role = Literal["in", "out", "through", "insert", "loudspeaker", "air", "inside"]
Carried = Literal["audio", "aes3", "spdif", "intercom", "lighting-data", "network", "usb", "hdmi"]
_BOTH: Final = ("left", "right")


class PortEntry(Entry):
    """A port: where it plugs, what circuit stands behind it.

    Figures of the circuit are extra keys. ``joined`` names the port whose copper it shares,
    ``hole`` the hole that it shares with others, ``signals`` the two sides of a stereo socket,
    ``wiring`` of an insert names the switch that says on which contact it sends,
    ``carries`` what its pins are made for where that is not analogue audio; a network or USB socket
    says how many ``channels`` it has each way. Who speaks into ``talkback`` speaks to the crew.
    Phantom power of a combined socket stands on its XLR contacts, where it is ``jack-fed`` on those
    of the jack too. An ``own_lead`` hangs on the item and ends in this plug.
    """

    model_config = ConfigDict(
        extra="allow", frozen=True, alias_generator=spelled, populate_by_name=True
    )

    socket: str
    role: Role
    label: str | None = None
    words: tuple[str, ...] = ()
    circuit: str | None = None
    joined: str | None = None
    carries: Carried = "audio"
    signals: tuple[str, ...] = ()
    hole: str | None = None
    pole: Literal["microphone"] | None = None
    wiring: str | None = None
    channels: int | None = Field(default=None, ge=1, le=512)
    talkback: bool = False
    jack_fed: bool = False
    own_lead: bool = False
    when: When | None = None

    @property
    def figures(self) -> dict[str, RawFigure]:
        """The figures of the circuit, as written."""
        return dict(self.model_extra or {})

    @field_validator("socket")
    @classmethod
    def _known_socket(cls, value: str) -> str:
        if value not in CONNECTORS:
            hint = did_you_mean(value, CONNECTORS)
            raise ValueError(f"unknown connector '{value}'. {hint}")
        return value

    @model_validator(mode="after")
    def _known_figures(self) -> PortEntry:
        if self.circuit is not None and self.circuit not in CIRCUITS:
            hint = did_you_mean(self.circuit, CIRCUITS)
            raise ValueError(f"unknown circuit '{self.circuit}'. {hint}")
        rules = figure_rules(self.circuit)
        for name, raw in self.figures.items():
            if name not in rules:
                hint = did_you_mean(name, [*rules, *type(self).model_fields])
                raise ValueError(
                    f"a port with {self.circuit or 'no circuit'} has no '{name}'. {hint}"
                )
            if not isinstance(raw, str | dict):
                raise ValueError(f"'{name}' is written like '2 kohm', not as {raw!r}")  # noqa: TRY004 - pydantic wants it
        return self

    @model_validator(mode="after")
    def _pole_is_there(self) -> PortEntry:
        if self.pole is not None and CONNECTORS[self.socket].microphone is None:
            raise ValueError(f"a {self.socket} has no pole for a {self.pole}; a mini-trrs has")
        return self

    @model_validator(mode="after")
    def _jack_has_contacts(self) -> PortEntry:
        if self.jack_fed and not is_jack_in_combined(self.socket, "jack-trs"):
            raise ValueError(f"a {self.socket} has no jack beside its XLR; a combo has")
        return self

    @model_validator(mode="after")
    def _two_signals(self) -> PortEntry:
        if self.signals and self.signals != _BOTH:
            raise ValueError("the signals of a stereo socket are left and right, in this order")
        if self.signals and self.circuit is not None and self.circuit not in STEREO_CIRCUITS:
            raise ValueError(f"a {self.circuit} carries one signal, not left and right")
        return self
