"""Circuits behind ports: one builder for each name of ``levelhead.gear.circuits``.

A builder draws its circuit between the pins of the port and the 0 V of the item, for signals and
for direct current. Everything that wiring does to it follows from that drawing.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

from levelhead.circuit.drawn import inputs, inserts, loudspeakers, outputs
from levelhead.circuit.drawn.pen import PortPen, signals_of
from levelhead.circuit.drawn.sketch import Sketch
from levelhead.rig.model import RigPort

__all__ = ["TEMPLATES", "draw_port"]

TEMPLATES: Final[dict[str, Callable[[PortPen], None]]] = {
    "single-ended-output": outputs.draw_single_ended,
    "symmetrical-output": outputs.draw_symmetrical,
    "impedance-balanced-output": outputs.draw_impedance_balanced,
    "cross-coupled-output": outputs.draw_cross_coupled,
    "transformer-output": outputs.draw_transformer,
    "floating-output": outputs.draw_floating,
    "unknown-output": outputs.draw_symmetrical,
    "power-output": outputs.draw_power,
    "bridge-tied-output": outputs.draw_bridge_tied,
    "powered-line-output": outputs.draw_powered_line,
    "pickup-output": outputs.draw_pickup,
    "piezo-output": outputs.draw_piezo,
    "balanced-input": inputs.draw_balanced,
    "unbalanced-input": inputs.draw_unbalanced,
    "loudspeaker-load": loudspeakers.draw_loudspeaker,
    "insert-jack": inserts.draw_insert,
}


def draw_port(sketch: Sketch, port: RigPort) -> None:
    """Draw a port's circuit, and the voltage between its signal pins as a sense of its address.

    An input senses its voltage itself, as its amplifier does; anything else is sensed as a
    voltmeter would.
    """
    if port.plan.circuit is not None:
        TEMPLATES[port.plan.circuit](PortPen(sketch, port))
    for signal, pins in signals_of(port):
        ends = (sketch.pin(port.address, pin) for pin in (pins.plus, pins.minus, pins.ground))
        plus, minus, ground = ends
        address = port.address if signal is None else f"{port.address}.{signal}"
        if not sketch.has_sense(address):
            sketch.sense(address, ((plus, 1.0), (minus, -1.0)))
        sketch.pins[address] = (plus, minus, ground)
