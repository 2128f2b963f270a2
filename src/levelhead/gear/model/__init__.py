"""What an entry of the gear book may say: the raw YAML, checked by pydantic.

Figures stay text here (``2 kohm`` or ``{value, range, source}``); ``levelhead.gear.compile`` turns
an entry, with its switches as they stand, into a plan with figures in SI.
"""

from __future__ import annotations

from levelhead.gear.figures import RawFigure
from levelhead.gear.model.base import Entry, When, field_names
from levelhead.gear.model.contacts import ContactEntry
from levelhead.gear.model.controls import ControlEntry
from levelhead.gear.model.parts import (
    CELLS,
    INSIDE,
    AirEntry,
    BatteryEntry,
    ClockEntry,
    PartEntry,
    PartKind,
    PowerEntry,
    PowerKind,
)
from levelhead.gear.model.paths import (
    GeneratorEntry,
    MeterEntry,
    MixEntry,
    MonoEntry,
    OriginEntry,
    PathEntry,
    SensitivityEntry,
    StageEntry,
)
from levelhead.gear.model.ports import Carried, PortEntry, Role
from levelhead.gear.model.shaping import CompanderEntry, FilterEntry, LimiterEntry
from levelhead.gear.model.types import SOCKET, BlockEntry, TypeEntry, UsualEntry, WireEntry

__all__ = [
    "CELLS",
    "INSIDE",
    "SOCKET",
    "AirEntry",
    "BatteryEntry",
    "BlockEntry",
    "Carried",
    "ClockEntry",
    "CompanderEntry",
    "ContactEntry",
    "ControlEntry",
    "Entry",
    "FilterEntry",
    "GeneratorEntry",
    "LimiterEntry",
    "MeterEntry",
    "MixEntry",
    "MonoEntry",
    "OriginEntry",
    "PartEntry",
    "PartKind",
    "PathEntry",
    "PortEntry",
    "PowerEntry",
    "PowerKind",
    "RawFigure",
    "Role",
    "SensitivityEntry",
    "StageEntry",
    "TypeEntry",
    "UsualEntry",
    "When",
    "WireEntry",
    "field_names",
]
