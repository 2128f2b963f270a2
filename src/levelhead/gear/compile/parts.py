"""Passive parts of a strip, and where a part or a cable names its pins."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Final

from levelhead.gear.compile.standing import Standing
from levelhead.gear.figures import Figure, RawFigure
from levelhead.gear.model import BlockEntry, PartEntry, PartKind
from levelhead.gear.plan import PartPlan, PinPlace

__all__ = ["part_figures", "part_plans", "pin_place"]

_VALUE_UNIT: Final[Mapping[PartKind, str]] = {"resistor": "ohm", "capacitor": "F"}


def pin_place(text: str) -> PinPlace:
    """Port (or end of a cable) and pin.

    >>> pin_place("send.tip")
    ('send', 'tip')
    """
    port, _, pin = text.rpartition(".")
    return port, pin


def part_plans(block: BlockEntry, standing: Standing) -> Iterator[PartPlan]:
    """Parts that are there as the switches stand."""
    for entry in block.parts:
        if standing.holds(entry.when):
            kind, pins = entry.drawn
            places = tuple(pin_place(pin) for pin in pins)
            yield PartPlan(kind, places, _figures(entry, standing))


def part_figures(entry: PartEntry) -> dict[str, tuple[RawFigure | None, str]]:
    """What an entry says of each figure that its kind of part has, and the unit of it."""
    kind, _ = entry.drawn
    if kind == "wire":
        return {}
    if kind != "transformer":
        return {"value": (entry.value, _VALUE_UNIT[kind])}
    return {
        "ratio": (entry.ratio, "1"),
        "magnetising": (entry.magnetising, "H"),
        "leakage": (entry.leakage, "H"),
        "primary": (entry.primary, "ohm"),
        "secondary": (entry.secondary, "ohm"),
        "ceiling": (entry.ceiling, "V"),
    }


def _figures(entry: PartEntry, standing: Standing) -> dict[str, Figure]:
    found = {}
    for name, (raw, unit) in part_figures(entry).items():
        figure = standing.optional(raw, unit, f"{entry.called}.{name}")
        if figure is not None:
            found[name] = figure
    return found
