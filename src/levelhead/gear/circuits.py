"""The circuits that a port of the gear book may name, and the figures that each of them takes.

Only names, units and customary values stand here; what the circuit *is* stands in
``levelhead.circuit.drawn.templates``, which has one builder for every name of this table (a test
says so).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from levelhead.gear.figures import RawFigure

__all__ = [
    "CIRCUITS",
    "INSERT",
    "LOUDSPEAKER_LOAD",
    "PORT_FIGURES",
    "STEREO_CIRCUITS",
    "FigureRule",
    "figure_rules",
]

INSERT: Final = "insert-jack"  # an output and an input in one socket, with a contact between
LOUDSPEAKER_LOAD: Final = "loudspeaker-load"


@dataclass(frozen=True, slots=True)
class FigureRule:
    """A figure's unit, and what is taken when an entry is silent.

    Without a ``default`` the figure must be given, unless it is ``optional``: then silence means
    that there is no such limit, or no such part.
    """

    unit: str
    default: RawFigure | None = None
    optional: bool = False


def _usual(unit: str, value: str, low: str, high: str, source: str) -> FigureRule:
    """A figure that need not be given: its customary value has a range and a source as well."""
    return FigureRule(unit, {"value": value, "range": [low, high], "source": source})


_VOLTS: Final = FigureRule("V", optional=True)
_IMPEDANCE: Final = FigureRule("ohm")

# Figures that any port may carry, whatever its circuit.
PORT_FIGURES: Final[dict[str, FigureRule]] = {
    "damage": _VOLTS,  # rms between the pins that an input survives
    "clip": _VOLTS,  # rms sine at which the input itself clips
    "ceiling": _VOLTS,  # rms of the largest clean sine of an output, unloaded
    "current": FigureRule("A", optional=True),  # peak that an output can give, each leg
    "min-load": FigureRule("ohm", optional=True),
    "matched-load": FigureRule("ohm", optional=True),  # of a tap of valves: neither less nor more
    "line-voltage": _VOLTS,  # of a constant-voltage line, at which a tap takes its watts
    # what an output is made to work into, where that is not simply "much more than its impedance"
    "reference-load": FigureRule("ohm", optional=True),
    "reference-capacitance": FigureRule("F", optional=True),  # of the lead that goes with it
    # of a digital line, AES3: peak to peak, what is sent and the least that is read; shortest pulse
    "swing": _VOLTS,
    "least-swing": _VOLTS,
    "pulse": FigureRule("s", optional=True),
    "max-load": FigureRule("ohm", optional=True),  # most that may be left on it while it plays
    "resampled": FigureRule("1", optional=True),  # 1: a sample-rate converter at this input
    # of a network socket: gains of the preamplifiers behind it are moved from here, and made up for
    "moves-gain": FigureRule("1", optional=True),
    "makes-up": FigureRule("1", optional=True),
    "phantom": _VOLTS,  # fed out of this input when present
    # IEC 61938, P48: each leg; pairs are matched, their common value is not critical
    "phantom-feed": _usual("ohm", "6.8 kohm", "6.1 kohm", "7.5 kohm", "standard"),
    # behind each phantom-fed leg of an input: it holds the leg's volts, and lets them go
    "blocking": _usual("F", "47 uF", "10 uF", "220 uF", "typical"),
    # A-B or parallel powering, DIN 45595: 12 V between the signal pins, plus on the first
    "parallel": _VOLTS,
    "parallel-feed": _usual("ohm", "180 ohm", "170 ohm", "190 ohm", "standard"),
    "bias": _VOLTS,  # plug-in power, fed out of each signal pin of this input when present
    "bias-feed": _usual("ohm", "2.2 kohm", "1 kohm", "5 kohm", "typical"),
    "dc-tolerance": _VOLTS,
    # peak current that what is behind an output stands when a charged leg is let go through it
    "surge": FigureRule("A", optional=True),
    "coupling": FigureRule("F", optional=True),  # capacitor in each output leg; absent: direct
    # ground pin to the 0 V of the item
    "ground": _usual("ohm", "20 mohm", "5 mohm", "100 mohm", "from memory"),
}

# Direct current that an output may be driven with: amplifiers of balanced ones sink what they give;
# of a single-ended one nobody knows whether it is a sturdy or a battery one
_STURDY: Final = _usual("A", "20 mA", "8 mA", "40 mA", "from memory")
_THROUGH: Final = FigureRule("A", optional=True)  # through a coil or a winding
_ANY: Final = _usual("A", "3 mA", "1 mA", "20 mA", "from memory")

CIRCUITS: Final[dict[str, dict[str, FigureRule]]] = {
    # outputs
    "single-ended-output": {"impedance": _IMPEDANCE, "back-fed": _ANY},
    "symmetrical-output": {
        "impedance": _IMPEDANCE,
        "back-fed": _STURDY,
        "leg-difference": FigureRule("ohm", optional=True),  # more in the second leg, if measured
    },
    "impedance-balanced-output": {"impedance": _IMPEDANCE, "back-fed": _STURDY},
    "cross-coupled-output": {
        "impedance": _IMPEDANCE,
        "back-fed": _STURDY,
        "common-mode": _usual("ohm", "20 kohm", "5 kohm", "60 kohm", "typical"),
    },
    "transformer-output": {
        "impedance": _IMPEDANCE,
        "back-fed": _THROUGH,
        "winding-capacitance": _usual("F", "300 pF", "100 pF", "1 nF", "typical"),
        "magnetising": _usual("H", "1 H", "0.3 H", "5 H", "from memory"),
        # of the winding at the pins, within the impedance
        "winding-resistance": _usual("ohm", "30 ohm", "10 ohm", "80 ohm", "typical"),
    },
    "floating-output": {
        "impedance": _IMPEDANCE,
        # direct current that the coil stands: 0.25 W in 150 ohm
        "coil-current": _usual("A", "40 mA", "20 mA", "60 mA", "from memory"),
        "back-fed": _THROUGH,
        "winding-capacitance": _usual("F", "100 pF", "30 pF", "300 pF", "from memory"),
    },
    # a line output of which nobody knows how it is made: taken as symmetrical, judged as each
    "unknown-output": {
        "impedance": _IMPEDANCE,
        "common-mode": _usual("ohm", "20 kohm", "5 kohm", "60 kohm", "typical"),
        "winding-capacitance": _usual("F", "300 pF", "100 pF", "1 nF", "typical"),
        "magnetising": _usual("H", "1 H", "0.3 H", "5 H", "from memory"),
        "winding-resistance": _usual("ohm", "30 ohm", "10 ohm", "80 ohm", "typical"),
    },
    "power-output": {"impedance": _IMPEDANCE},
    "bridge-tied-output": {"impedance": _IMPEDANCE},
    # an intercom line: direct volts on one leg, sound on the other
    "powered-line-output": {
        "impedance": _IMPEDANCE,
        "supply": FigureRule("V"),
        "supply-feed": _usual("ohm", "10 ohm", "2 ohm", "50 ohm", "from memory"),
    },
    "pickup-output": {
        "inductance": FigureRule("H"),
        "resistance": FigureRule("ohm"),
        "capacitance": FigureRule("F"),  # of the winding itself
        "volume-pot": FigureRule("ohm"),
        "volume": _usual("1", "1", "1", "1", "common practice"),  # share of the pot under its wiper
        "tone-pot": FigureRule("ohm", optional=True),  # with its capacitor; absent: none
        "tone-capacitor": _usual("F", "22 nF", "10 nF", "47 nF", "typical"),
        "back-fed": _THROUGH,
    },
    "piezo-output": {
        "capacitance": FigureRule("F"),
        # the small loss of the crystal, in series
        "resistance": _usual("ohm", "100 ohm", "10 ohm", "1 kohm", "from memory"),
    },
    # inputs
    "balanced-input": {
        "impedance": _IMPEDANCE,
        # each leg to 0 V; never less than half of the impedance, or that could not be right
        "common-mode": _usual("ohm", "10 kohm", "5 kohm", "50 kohm", "typical"),
        "cmrr": _usual("dB", "50 dB", "40 dB", "70 dB", "typical"),
        # between the pins; bipolar microphone inputs 1 to 2 pA, line inputs less (Self, Small
        # Signal Audio Design, on microphone preamplifiers)
        "current-noise": _usual("A/rtHz", "1 pA/rtHz", "0.1 pA/rtHz", "3 pA/rtHz", "handbook"),
    },
    "unbalanced-input": {
        "impedance": _IMPEDANCE,
        "capacitance": _usual("F", "50 pF", "20 pF", "200 pF", "typical"),
        # field-effect inputs; where it is a bipolar one, its source is low and nothing is heard
        "current-noise": _usual("A/rtHz", "10 fA/rtHz", "1 fA/rtHz", "0.6 pA/rtHz", "from memory"),
    },
    # shares of the nominal impedance; one resonance stands for those of an enclosure
    LOUDSPEAKER_LOAD: {
        "impedance": _IMPEDANCE,
        "minimum": _usual("1", "0.8", "0.8", "0.95", "standard"),  # IEC 60268-5
        "peak": _usual("1", "4", "2", "8", "typical"),
        "resonance": _usual("Hz", "75 Hz", "40 Hz", "140 Hz", "typical"),
        "rise": _usual("1", "2", "1.2", "4", "typical"),
        "long-term-rating": _VOLTS,  # rms for which it is rated (IEC 60268-5), U^2 = P R
        "peak-rating": _VOLTS,  # rms of the sine with the power that it takes at peaks
        "excursion-limit": _VOLTS,  # sine below its tuning that brings the cone to its limit
        "tuned-to": FigureRule("Hz", optional=True),  # of a vented box: below, the cone is unloaded
        "usable-to": FigureRule("Hz", optional=True),  # of a subwoofer without a filter inside
    },
    INSERT: {"send": _IMPEDANCE, "return": _IMPEDANCE},
}

# Circuits that may stand twice behind one socket, for its left and its right signal.
STEREO_CIRCUITS: Final = frozenset({"single-ended-output", "unbalanced-input"})


def figure_rules(circuit: str | None) -> dict[str, FigureRule]:
    """All figures that a port with this circuit may carry, by name."""
    return PORT_FIGURES | (CIRCUITS[circuit] if circuit is not None else {})
