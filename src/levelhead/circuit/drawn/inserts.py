"""The circuits of an insert socket: an output and an input that share one jack."""

from __future__ import annotations

from levelhead.circuit.drawn.pen import PortPen, signals_of

__all__ = ["draw_insert"]


def draw_insert(pen: PortPen) -> None:
    """The send drives one contact, the return listens on the other, both against the sleeve.

    What joins the two while nothing is plugged is a contact of the socket, not part of the circuit.
    """
    for signal, pins in signals_of(pen.port):
        hot = pen.node(pins.plus)
        if signal == "send":
            pen.emf((pen.behind_coupling(pins.plus), pen.zero), "send", signal=signal)
        else:
            pen.resistor(hot, pen.zero, pen.value("return"), "return")
            pen.sketch.sense(f"{pen.port.address}.{signal}", ((hot, 1.0), (pen.zero, -1.0)))
    pen.ground()
