"""Blocks, gear types, and the cables among them."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated, Final, Literal, TypeAlias

from pydantic import Field, model_validator

from levelhead.gear.connectors import CONNECTORS
from levelhead.gear.figures import RawFigure
from levelhead.gear.model.base import Entry, Times
from levelhead.gear.model.contacts import ContactEntry
from levelhead.gear.model.controls import ControlEntry
from levelhead.gear.model.parts import (
    AirEntry,
    BatteryEntry,
    ClockEntry,
    Earth,
    PartEntry,
    PowerEntry,
)
from levelhead.gear.model.paths import MixEntry, PathEntry
from levelhead.gear.model.ports import Carried, PortEntry
from levelhead.gear.names import did_you_mean

__all__ = ["SOCKET", "BlockEntry", "TypeEntry", "UsualEntry", "WireEntry", "connectors"]

SOCKET: Final = " socket"  # behind the connector of a cable's end that is no plug


class WireEntry(Entry):
    """A cable's conductors, per metre; ``contact`` is what its plugs add to each conductor."""

    core: RawFigure
    screen: RawFigure | None = None
    core_core: RawFigure | None = None
    core_screen: RawFigure | None = None
    contact: RawFigure | None = None
    source: str | None = None


class UsualEntry(Entry):
    """What stands around an item when a question does not say.

    ``source`` is a voice or instrument at ``distance``, ``also`` are others for which it is taken
    first; ``fed_by`` is an output that plugs into its input (of the block ``fed_at`` alone, where
    that is told), ``into`` an input that its output ``by`` goes to (the first output, if left out);
    the first and the third are written ``type.port``.
    """

    source: str | None = None
    also: tuple[str, ...] = ()
    distance: RawFigure | None = None
    fed_by: str | None = None
    fed_at: str | None = None
    into: str | None = None
    by: str | None = None


Degrees: TypeAlias = Annotated[float, Field(ge=1, le=360)]
"""A full angle from edge to edge."""


class BlockEntry(Entry):
    """A strip of an item: ports, controls and a path, once or repeated."""

    repeat: Times | tuple[str, ...] | None = None
    like: str | None = None
    label: str | None = None
    ports: dict[str, PortEntry] = Field(default_factory=dict)
    controls: dict[str, ControlEntry] = Field(default_factory=dict)
    path: PathEntry | None = None
    parts: tuple[PartEntry, ...] = ()
    contacts: tuple[ContactEntry, ...] = ()


def connectors(ends: Mapping[str, str] | None) -> dict[str, str]:
    """Connector of each end of a cable, plug or socket; nothing for what is no cable."""
    return {end: text.removesuffix(SOCKET) for end, text in (ends or {}).items()}


class TypeEntry(BlockEntry):
    """A gear type. Only ``label``, ``kind`` and ``source`` are always there.

    A cable has ``ends`` (a connector each, of a plug unless ``socket`` stands behind it) and a
    ``map`` of pins; its ``parts`` are soldered into its plugs. A ``special`` one is only taken by
    name; one that ``carries`` something else than audio is made for that, and has a ``reach``
    where a standard ends it (as far as a good one gets is its range). What is ``worn`` gives
    its sound to an ear, and its levels are those there. A loudspeaker may say who its ``listeners``
    are; gear that passes numbers says whose ``clock`` it runs on. ``coverage`` of a loudspeaker is
    its full angle across and up at 6 dB down; a column has a ``line`` of drivers that long, and who
    has measured one types its ``directivity`` as a table. ``pattern`` is how a microphone hears.
    """

    label: str
    kind: Literal[
        "voice",
        "instrument",
        "microphone",
        "player",
        "box",
        "mixer",
        "processor",
        "amplifier",
        "loudspeaker",
        "cable",
        "adaptor",
        "feed",
    ]
    words: tuple[str, ...] = ()
    source: str
    earth: Earth = "none"
    leakage: RawFigure | None = None
    draws: RawFigure | None = None
    thump: RawFigure | None = None
    pickup_area: RawFigure | None = None
    phantom_supply: RawFigure | None = None
    note: str | None = None
    blocks: dict[str, BlockEntry] = Field(default_factory=dict)
    mix: tuple[MixEntry, ...] = ()
    powered_by: tuple[PowerEntry, ...] = ()
    batteries: tuple[BatteryEntry, ...] = ()
    air: AirEntry | None = None
    clock: tuple[ClockEntry, ...] = ()
    sample_rate: RawFigure | None = None
    listeners: Literal["audience", "performers"] | None = None
    coverage: tuple[Degrees, Degrees] | None = None
    line: RawFigure | None = None
    directivity: str | None = None
    pattern: Literal["omni", "cardioid", "supercardioid", "hypercardioid", "figure-8"] | None = None
    ends: dict[str, str] | None = None
    wire: WireEntry | None = None
    map: dict[str, str | list[str]] | None = None
    usual_length: RawFigure | None = None
    reach: RawFigure | None = None
    usual: UsualEntry = UsualEntry()
    special: bool = False
    worn: bool = False
    carries: Carried = "audio"

    @property
    def connectors(self) -> dict[str, str]:
        """Connector of each end of a cable, plug or socket."""
        return connectors(self.ends)

    @model_validator(mode="after")
    def _cables_have_a_map(self) -> TypeEntry:
        if (self.ends is None) != (self.map is None):
            raise ValueError("a cable has both ends and a map")
        for end, connector in self.connectors.items():
            if connector not in CONNECTORS:
                hint = did_you_mean(connector, CONNECTORS)
                raise ValueError(f"end '{end}': unknown connector '{connector}'. {hint}")
        return self
