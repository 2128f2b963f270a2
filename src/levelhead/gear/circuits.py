"""The circuits that a port of the gear book may name, and the figures that each of them takes.

Only names, units and customary values stand here; what the circuit *is* stands in
``levelhead.circuit.templates``, which has one builder for every name of this table (a test says so).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

__all__ = ["CIRCUITS", "PORT_FIGURES", "FigureRule", "figure_rules"]


@dataclass(frozen=True, slots=True)
class FigureRule:
    """A figure's unit, and the text taken when an entry is silent (``None``: must be given)."""

    unit: str
    default: str | None = None
    optional: bool = False


# Figures that any port may carry, whatever its circuit.
PORT_FIGURES: Final[dict[str, FigureRule]] = {
    "damage": FigureRule("V", optional=True),  # rms between the pins that an input survives
    "clip": FigureRule("V", optional=True),  # rms sine at which the input itself clips
    "ceiling": FigureRule(
        "V", optional=True
    ),  # rms of the largest clean sine of an output, unloaded
    "current": FigureRule("A", optional=True),  # peak current that an output can give, each leg
    "min-load": FigureRule("ohm", optional=True),
    "phantom": FigureRule("V", optional=True),  # fed out of this input when present
    "phantom-feed": FigureRule("ohm", default="6.8 kohm"),  # IEC 61938, each leg of P48
    "dc-tolerance": FigureRule("V", optional=True),
    "coupling": FigureRule("F", optional=True),  # capacitor in each output leg; absent: direct
    "ground": FigureRule("ohm", default="20 mohm"),  # ground pin to the 0 V of the item
}

_IMPEDANCE: Final = FigureRule("ohm")

CIRCUITS: Final[dict[str, dict[str, FigureRule]]] = {
    # outputs
    "single-ended-output": {"impedance": _IMPEDANCE},
    "symmetrical-output": {"impedance": _IMPEDANCE},
    "impedance-balanced-output": {"impedance": _IMPEDANCE},
    "cross-coupled-output": {
        "impedance": _IMPEDANCE,
        "common-mode": FigureRule("ohm", default="20 kohm"),
    },
    "transformer-output": {
        "impedance": _IMPEDANCE,
        "winding-capacitance": FigureRule("F", default="300 pF"),
        "magnetising": FigureRule("H", default="1 H"),
    },
    "floating-output": {
        "impedance": _IMPEDANCE,
        "winding-capacitance": FigureRule("F", default="100 pF"),
    },
    "power-output": {"impedance": _IMPEDANCE},
    "bridge-tied-output": {"impedance": _IMPEDANCE},
    # inputs
    "balanced-input": {
        "impedance": _IMPEDANCE,
        "common-mode": FigureRule("ohm", default="10 kohm"),
        "cmrr": FigureRule("dB", default="50 dB"),
    },
    "unbalanced-input": {
        "impedance": _IMPEDANCE,
        "capacitance": FigureRule("F", default="50 pF"),
    },
    "loudspeaker-load": {"impedance": _IMPEDANCE},
}


def figure_rules(circuit: str | None) -> dict[str, FigureRule]:
    """All figures that a port with this circuit may carry, by name."""
    return PORT_FIGURES | (CIRCUITS[circuit] if circuit is not None else {})
