"""Input circuits behind ports, drawn between the pins and the 0 V of the item."""

from __future__ import annotations

import math
from typing import Final

import numpy as np

from levelhead.circuit.drawn.pen import PortPen, signals_of
from levelhead.circuit.drawn.values import is_above_zero, is_finite, largest, smallest

__all__ = ["beside_ohm", "draw_balanced", "draw_unbalanced"]

_FED: Final = ("phantom", "parallel")  # ways in which a balanced input feeds its legs


def beside_ohm(total_ohm: float, part_ohm: float) -> float:
    """What must lie beside a resistance to make a total: ``1 / (1/total - 1/part)``. [ohm]

    Infinite where the part alone is small enough already.

    >>> round(beside_ohm(2200, 13600))
    2625
    """
    left_s = largest(1 / total_ohm - 1 / part_ohm, 0.0)
    with np.errstate(divide="ignore"):  # of many draws, some may leave nothing
        return 1 / left_s if is_above_zero(left_s) else math.inf


def draw_balanced(pen: PortPen) -> None:
    """Each leg to 0 V, the rest of the rated impedance between them, and a differential sense.

    Where the input feeds phantom or parallel power, its feed resistors are the legs. Everything
    else stands behind blocking capacitors, as in nearly all such inputs (common practice): they
    pass signals whole and no direct current, so that an input neither drinks the phantom power of
    another one nor joins its two legs.
    """
    legs = (pen.pins.plus, pen.pins.minus)
    leg_ohm = _leg_ohm(pen)
    for pin in legs:
        _draw_leg(pen, pin, leg_ohm)
    if pen.has("parallel"):
        pen.parallel_feed()
    hot, cold = (pen.node(pin) for pin in legs)
    between_ohm = beside_ohm(pen.value("impedance"), 2 * leg_ohm)
    if is_finite(between_ohm):
        pen.resistor(hot, cold, between_ohm, "impedance", direct=False)
    pen.ground()
    pen.sketch.noise_current(hot, cold, pen.value("current-noise"))
    rejection = 10 ** (-pen.value("cmrr") / 20)
    weights = ((hot, 1 + rejection / 2), (cold, -1 + rejection / 2), (pen.zero, -rejection))
    pen.sketch.sense(pen.port.address, weights, pen.figure("cmrr"))


def _leg_ohm(pen: PortPen) -> float:
    """From each leg to 0 V. Two legs cannot rate less than they are: then the rating decides."""
    leg_ohm = largest(pen.value("common-mode"), pen.value("impedance") / 2)
    for kind in _FED:
        if pen.has(kind):
            leg_ohm = smallest(leg_ohm, pen.value(f"{kind}-feed"))
    return leg_ohm


def _draw_leg(pen: PortPen, pin: str, leg_ohm: float) -> None:
    """The feed resistor, if there is one, and what is left of the leg's impedance beside it."""
    if pen.has("phantom"):
        pen.phantom_feed(pin)
    for kind in _FED:
        if pen.has(kind):
            leg_ohm = beside_ohm(leg_ohm, pen.value(f"{kind}-feed"))
    if is_finite(leg_ohm):
        pen.resistor(pen.node(pin), pen.zero, leg_ohm, "common-mode", direct=False)


def draw_unbalanced(pen: PortPen) -> None:
    """An impedance from each signal pin to 0 V; a third pin of the socket is 0 V.

    Where the input feeds bias (plug-in power), its feed resistor is part of that impedance, and the
    rest stands behind a capacitor.
    """
    for signal, pins in signals_of(pen.port):
        hot = pen.node(pins.plus)
        _draw_shunt(pen, hot, pins.plus)
        pen.capacitor(hot, pen.zero, "capacitance")
        pen.sketch.noise_current(hot, pen.zero, pen.value("current-noise"))
        if pins.minus != pins.ground:
            pen.bond(pins.minus)
        address = pen.port.address if signal is None else f"{pen.port.address}.{signal}"
        pen.sketch.sense(address, ((hot, 1.0), (pen.zero, -1.0)))
    pen.ground()


def _draw_shunt(pen: PortPen, hot: int, pin: str) -> None:
    """What lies from a signal pin to 0 V."""
    total_ohm = pen.value("impedance")
    if not pen.has("bias"):
        pen.resistor(hot, pen.zero, total_ohm, "impedance")
        return
    pen.bias_feed(pin)
    rest_ohm = beside_ohm(total_ohm, pen.value("bias-feed"))
    if is_finite(rest_ohm):
        pen.resistor(hot, pen.zero, rest_ohm, "impedance", direct=False)
