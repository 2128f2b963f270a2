"""From an entry of the gear book to its plan; ``like`` is resolved before, switches act here."""

from __future__ import annotations

from levelhead.gear.compile.cables import compile_cable
from levelhead.gear.compile.controls import controls_of, instance_names
from levelhead.gear.compile.items import Planned, compile_item

__all__ = ["Planned", "compile_cable", "compile_item", "controls_of", "instance_names"]
