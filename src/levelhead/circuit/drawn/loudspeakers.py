"""Loudspeakers: what a cabinet shows at its terminals, as three parts in a row.

The wire of the voice coil; its inductance, which iron keeps from rising for ever (above, the high
driver takes over); and the cone on its suspension, which moves most at resonance and there drives
back what it is given. One resonance stands for those of the enclosure.

References
----------
.. [1] IEC 60268-5, rated impedance: nowhere in the rated range of frequencies does the modulus fall
   below 80 % of it.
.. [2] R. H. Small, "Direct-Radiator Loudspeaker System Analysis", J. Audio Eng. Soc. 20 (1972):
   the resonance of the moving parts as a parallel circuit in series with the voice coil.
"""

from __future__ import annotations

import math
from typing import Final

from levelhead.circuit.drawn.pen import PortPen
from levelhead.circuit.drawn.values import largest

__all__ = ["draw_loudspeaker"]

# Shares of the nominal impedance, so that the least modulus is the one stated and that at 1 kHz is
# nominal again, as measured on many cabinets: from memory.
_WIRE_OF_MINIMUM: Final = 0.95
_COIL_AT_1_KHZ: Final = 0.5
_SHARPNESS: Final = 3.0  # of the resonance in an enclosure, from memory
_LEAST_SHARE: Final = 1e-3  # of the nominal impedance, so that every part is there


def draw_loudspeaker(pen: PortPen) -> None:
    """Voice coil, inductive rise and resonance between the terminals, of the nominal impedance."""
    nominal_ohm, minimum = pen.value("impedance"), pen.value("minimum")
    plus, minus = pen.node(pen.pins.plus), pen.node(pen.pins.minus)
    coil, cone = pen.sketch.inner_node(), pen.sketch.inner_node()
    pen.resistor(plus, coil, _WIRE_OF_MINIMUM * minimum * nominal_ohm, "impedance")
    _draw_rise(pen, (coil, cone), largest(pen.value("rise") - minimum, _LEAST_SHARE) * nominal_ohm)
    _draw_cone(pen, (cone, minus), largest(pen.value("peak") - minimum, _LEAST_SHARE) * nominal_ohm)


def _draw_rise(pen: PortPen, ends: tuple[int, int], most_ohm: float) -> None:
    """Inductance of the voice coil, and the most that it adds towards 20 kHz."""
    henry = _COIL_AT_1_KHZ * pen.value("impedance") / (2 * math.pi * 1000)
    tag, figure = pen.tag("impedance"), pen.figure("impedance")
    pen.sketch.inductor(*ends, henry, tag=tag, figure=figure)
    pen.resistor(*ends, most_ohm, "impedance")


def _draw_cone(pen: PortPen, ends: tuple[int, int], peak_ohm: float) -> None:
    """The moving parts: spring and mass in step at resonance, with the loss of the suspension."""
    omega = 2 * math.pi * pen.value("resonance")
    reactance_ohm = peak_ohm / _SHARPNESS
    tag = pen.tag("resonance")
    pen.resistor(*ends, peak_ohm, "peak")
    pen.sketch.inductor(*ends, reactance_ohm / omega, tag=tag, figure=None)
    pen.sketch.capacitor(*ends, 1 / (omega * reactance_ohm), tag=tag, figure=None)
