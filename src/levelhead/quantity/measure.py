"""Measures in SI units, and which values of them are believable."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final

from levelhead.errors import QuantityError


@dataclass(frozen=True, slots=True)
class Believable:
    """What a unit measures, and the range outside which a typed value is a slip. [that unit]"""

    name: str
    low: float
    high: float

    def range_in(self, unit: str) -> str:
        """Return the range in words: ``between 0 and 1e+06 W``."""
        text = f"between {self.low:g} and {self.high:g}"
        return text if unit == "1" else f"{text} {unit}"


# The limits only catch slips of the keyboard (a lost prefix, a doubled digit): each lies well
# outside anything met at a show, from a microphone's noise to a mains feed. `common practice`
UNITS: Final[Mapping[str, Believable]] = MappingProxyType(
    {
        "V": Believable("voltage", -1e5, 1e5),
        "A": Believable("current", -1e4, 1e4),
        "W": Believable("power", 0, 1e6),
        "VA": Believable("apparent power", 0, 1e6),
        "ohm": Believable("resistance or impedance", 0, 1e12),
        "F": Believable("capacitance", 0, 10),
        "H": Believable("inductance", 0, 1e4),
        "C": Believable("charge", 0, 1e6),
        "J": Believable("energy", 0, 1e9),
        "Hz": Believable("frequency", 0, 1e11),
        "s": Believable("time", -1e8, 1e8),
        "m": Believable("length", -1e5, 1e5),
        "m2": Believable("area", 0, 1e7),
        "m3": Believable("volume", 0, 1e8),
        "m/s": Believable("speed", -1e4, 1e4),
        "kg": Believable("mass", 0, 1e5),
        "Pa": Believable("pressure", 0, 1e6),
        "K": Believable("temperature", 0, 2000),
        "rad": Believable("angle", -4 * math.pi, 4 * math.pi),
        "V/Pa": Believable("microphone sensitivity", 0, 1e3),
        "ohm/m": Believable("resistance per length", 0, 1e6),
        "F/m": Believable("capacitance per length", 0, 1e-6),
        "H/m": Believable("inductance per length", 0, 1e-3),
        "V/rtHz": Believable("noise voltage density", 0, 1),
        "A/rtHz": Believable("noise current density", 0, 1e-3),
        "dB/m": Believable("attenuation per length", -1e3, 1e3),
        "dB/oct": Believable("slope", -400, 400),
        "1": Believable("ratio or count", -1e9, 1e9),
    }
)
DECIBELS: Final[Mapping[str, Believable]] = MappingProxyType(
    {"dB": Believable("gain", -200, 200)}
    | {unit: Believable("level", -250, 120) for unit in ("dBu", "dBV", "dBm", "dBW")}
    | {unit: Believable("level", -250, 120) for unit in ("dBu(A)", "dBV(A)")}
    | {unit: Believable("level", -250, 60) for unit in ("dBFS", "dBFS(A)")}
    | {unit: Believable("sound level", -50, 200) for unit in ("dB SPL", "dB(A)", "dB(C)")}
)


@dataclass(frozen=True, slots=True)
class Measure:
    """A value with its SI unit, one of ``UNITS``.

    >>> Measure(2200, "ohm")
    Measure(value=2200.0, unit='ohm')
    """

    value: float
    unit: str

    def __post_init__(self) -> None:
        object.__setattr__(self, "value", float(self.value))
        if self.unit not in UNITS or not math.isfinite(self.value):
            raise QuantityError(
                f"{self.value:g} {self.unit}",
                where="measure",
                expected="a finite value in one of " + ", ".join(UNITS),
                remedy="Convert to SI first; milli, kilo and the like are for typing and printing.",
            )
