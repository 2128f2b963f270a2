"""Output circuits behind ports, drawn between the pins and the 0 V of the item.

Rated impedances of balanced outputs lie between the pins: half of it stands in each leg.
"""

from __future__ import annotations

from typing import Final

from levelhead.circuit.drawn.pen import BOND_OHM, PortPen, signals_of
from levelhead.circuit.drawn.values import is_above_zero, largest, smallest

__all__ = [
    "draw_bridge_tied",
    "draw_cross_coupled",
    "draw_floating",
    "draw_impedance_balanced",
    "draw_pickup",
    "draw_piezo",
    "draw_power",
    "draw_powered_line",
    "draw_single_ended",
    "draw_symmetrical",
    "draw_transformer",
]


_MOST_WIRE: Final = 0.9  # of a rated impedance; a winding of nothing but wire has no emf behind


def draw_single_ended(pen: PortPen) -> None:
    """One driven pin for each signal; a third pin of the socket is 0 V."""
    for signal, pins in signals_of(pen.port):
        hot = pen.behind_coupling(pins.plus)
        pen.emf((hot, pen.zero), "impedance", signal=signal)
        if pins.minus != pins.ground:
            pen.bond(pins.minus)
    pen.ground()


def _draw_driven_pair(pen: PortPen) -> None:
    """Two legs against 0 V, each with half of the emf and half of the impedance."""
    for pin, weight in ((pen.pins.plus, 0.5), (pen.pins.minus, -0.5)):
        leg = pen.behind_coupling(pin)
        if weight < 0 and pen.has("leg-difference"):
            outer, leg = leg, pen.sketch.inner_node()
            pen.resistor(outer, leg, pen.value("leg-difference"), "leg-difference")
        pen.emf((leg, pen.zero), "impedance", share=0.5, weight=weight)


def draw_symmetrical(pen: PortPen) -> None:
    """Both legs driven against 0 V."""
    _draw_driven_pair(pen)
    pen.ground()


def draw_bridge_tied(pen: PortPen) -> None:
    """Both terminals of a loudspeaker output are driven: neither of them is ground."""
    _draw_driven_pair(pen)


def draw_impedance_balanced(pen: PortPen) -> None:
    """One driven leg; the other has the same impedance to 0 V, and the same capacitor."""
    hot, cold = (pen.behind_coupling(pin) for pin in (pen.pins.plus, pen.pins.minus))
    pen.emf((hot, pen.zero), "impedance", share=0.5)
    pen.resistor(cold, pen.zero, pen.value("impedance") / 2, "impedance")
    pen.ground()


def draw_cross_coupled(pen: PortPen) -> None:
    """A floating emf made by two amplifiers, and a finite impedance from each leg to 0 V.

    Each amplifier swings half of the ceiling: where one leg is held, the other makes the whole
    signal and runs out of volts 6 dB earlier.
    """
    hot, cold = pen.node(pen.pins.plus), pen.node(pen.pins.minus)
    plus = pen.behind_coupling(pen.pins.plus)
    pen.emf((plus, cold), "impedance", zero=pen.zero)
    for leg in (hot, cold):
        pen.resistor(leg, pen.zero, pen.value("common-mode"), "common-mode")
    pen.ground()


def draw_floating(pen: PortPen) -> None:
    """A coil: nothing but its own wire between the pins, and none of it joined to the screen."""
    plus = pen.behind_coupling(pen.pins.plus)
    pen.emf((plus, pen.node(pen.pins.minus)), "impedance")
    _draw_winding_to_screen(pen)


def _draw_winding_to_screen(pen: PortPen) -> None:
    """Capacitance of a winding to the screen at both of its ends, and the screen itself."""
    for pin in (pen.pins.plus, pen.pins.minus):
        pen.capacitor(pen.node(pin), pen.node(pen.pins.ground), "winding-capacitance")
    pen.ground()


def draw_transformer(pen: PortPen) -> None:
    """A floating winding: its wire at the pins, its magnetising inductance behind.

    The wire is part of the rated impedance, and all that direct current meets.
    """
    plus, minus = pen.behind_coupling(pen.pins.plus), pen.node(pen.pins.minus)
    wire_ohm = smallest(pen.value("winding-resistance"), _MOST_WIRE * pen.value("impedance"))
    inner = pen.sketch.inner_node()
    pen.resistor(plus, inner, wire_ohm, "winding-resistance")
    pen.inductor(inner, minus, "magnetising")
    pen.emf((inner, minus), "impedance", share=1 - wire_ohm / pen.value("impedance"))
    _draw_winding_to_screen(pen)


def draw_power(pen: PortPen) -> None:
    """A loudspeaker output against 0 V; its few milliohm are rated between the terminals."""
    hot, cold = pen.behind_coupling(pen.pins.plus), pen.node(pen.pins.minus)
    pen.emf((hot, cold), "impedance")
    pen.bond(pen.pins.minus)


def draw_powered_line(pen: PortPen) -> None:
    """Direct volts for packs on the first leg, sound on the second: a party line of an intercom."""
    pen.supply_feed(pen.pins.plus)
    pen.emf((pen.node(pen.pins.minus), pen.zero), "impedance", weight=-1.0)
    pen.ground()


def draw_pickup(pen: PortPen) -> None:
    """A coil with its wire and its own capacitance, on the tone and volume pots of the instrument.

    The tone pot with its capacitor hangs on the coil; the lead on the wiper of the volume pot.
    """
    up, pot_ohm = pen.value("volume"), pen.value("volume-pot")
    hot, coil = pen.node(pen.pins.plus), pen.sketch.inner_node()
    top = pen.sketch.inner_node() if is_above_zero(1 - up) else hot
    pen.emf((coil, pen.zero), "resistance")
    pen.inductor(coil, top, "inductance")
    pen.capacitor(top, pen.zero, "capacitance")
    if pen.has("tone-pot"):
        tone = pen.sketch.inner_node()
        pen.resistor(top, tone, pen.value("tone-pot"), "tone-pot")
        pen.capacitor(tone, pen.zero, "tone-capacitor")
    pen.resistor(top, hot, largest((1 - up) * pot_ohm, BOND_OHM), "volume-pot")
    pen.resistor(hot, pen.zero, largest(up * pot_ohm, BOND_OHM), "volume-pot")
    pen.ground()


def draw_piezo(pen: PortPen) -> None:
    """A crystal: its emf stands behind its own capacitance, and no direct current passes."""
    crystal = pen.sketch.inner_node()
    pen.emf((crystal, pen.zero), "resistance")
    pen.capacitor(crystal, pen.node(pen.pins.plus), "capacitance")
    pen.ground()
