"""What stands behind each code: what is computed, the numbers at which it turns, their sources.

A module of this package, or of a family in it, that has codes says so in a constant ``EXPLAINED``,
beside the rule or for several rules; ``explained`` finds them all.
"""

from __future__ import annotations

import importlib
import pkgutil
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from types import MappingProxyType
from typing import Any, Final

__all__ = ["FAMILIES", "PRACTICE", "Explained", "Threshold", "explained", "family_title"]

PRACTICE: Final = "common practice"
"""Source of what people of the trade do, and nobody printed."""

FAMILIES: Final[Mapping[str, str]] = MappingProxyType(
    {
        "harm": "Harm by level",
        "enough": "Enough or too much",
        "loading": "Loading",
        "wiring": "Wiring",
        "fit": "Plugs that fit",
        "phantom": "Phantom power and bias",
        "hum": "Hum and noise",
        "routing": "Where signals go",
        "digital": "Digital",
        "people": "People",
        "amplifier": "Amplifiers",
        "loudspeaker": "Loudspeakers",
        "air": "Seats, feedback and ears",
        "spares": "Single points of failure",
    }
)


@dataclass(frozen=True, slots=True)
class Threshold:
    """A number at which a verdict turns, and where it comes from."""

    name: str
    value: float
    unit: str
    source: str

    @property
    def text(self) -> str:
        """The number as people write it: ``3 dB``."""
        return f"{self.value:g} {self.unit}".rstrip()

    def to_json(self) -> dict[str, Any]:
        """As docs/formats.md prints it."""
        return {
            "name": self.name,
            "value": self.value,
            "unit": self.unit,
            "source": self.source,
        }


@dataclass(frozen=True, slots=True)
class Explained:
    """A code: what is computed, and the numbers that it is held against."""

    code: str
    computes: str
    thresholds: tuple[Threshold, ...] = ()
    source: str = PRACTICE

    @property
    def family(self) -> str:
        """First part of the code."""
        return self.code.partition(".")[0]

    def to_json(self) -> dict[str, Any]:
        """As docs/formats.md prints it."""
        return {
            "code": self.code,
            "family": self.family,
            "computes": self.computes,
            "thresholds": [each.to_json() for each in self.thresholds],
            "source": self.source,
        }


def family_title(family: str) -> str:
    """A family in people's words; one without a title is called as in its codes."""
    return FAMILIES.get(family, family.capitalize())


def explained() -> Mapping[str, Explained]:
    """Every code of every rule, in the order of families, then of codes."""
    found = {
        each.code: each
        for module in pkgutil.walk_packages([str(Path(__file__).parent)], f"{__package__}.")
        for each in getattr(importlib.import_module(module.name), "EXPLAINED", ())
    }
    places = {family: place for place, family in enumerate(FAMILIES)}
    codes = sorted(found, key=lambda code: (places.get(found[code].family, len(places)), code))
    return {code: found[code] for code in codes}
