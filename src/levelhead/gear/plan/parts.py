"""Passive parts between pins, and what is made of them alone: cables and adaptors."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from levelhead.gear.figures import Figure
from levelhead.gear.plan.ports import PinPlace

__all__ = ["CablePlan", "PartPlan"]


@dataclass(frozen=True, slots=True)
class PartPlan:
    """A passive part between pins ``(port, pin)``; figures by name."""

    kind: Literal["transformer", "wire", "resistor", "capacitor"]
    pins: tuple[PinPlace, ...]
    figures: Mapping[str, Figure]


@dataclass(frozen=True, slots=True)
class CablePlan:
    """A cable or adaptor: connector of each end, pins joined, conductors per metre.

    ``sockets`` are ends that take a plug; ``contact_ohm`` is what both plugs add to a conductor;
    ``parts`` are soldered into the plugs. What it ``carries`` gets as far as ``reach_m``.
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
    reach_m: Figure | None = None
