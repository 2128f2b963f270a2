"""Circuits behind ports: one builder for each name of ``levelhead.gear.circuits``.

A builder draws its circuit between the pins of the port and the 0 V of the item, for signals and
for direct current. Everything that wiring does to it follows from that drawing.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Final

from levelhead.circuit.sketch import Drive, Sketch
from levelhead.gear.connectors import SignalPins, signal_pins
from levelhead.gear.figures import Figure
from levelhead.rig.model import RigPort

__all__ = ["TEMPLATES", "draw_port"]

_BOND_OHM: Final = 1e-3  # a soldered joint or a bus bar, from memory


class _PortPen:
    """Draws one port: knows its pins, its 0 V, and its figures."""

    def __init__(self, sketch: Sketch, port: RigPort) -> None:
        self.sketch = sketch
        self.port = port
        self.zero = sketch.zero_volts(port.item)

    def node(self, pin: str) -> int:
        return self.sketch.pin(self.port.address, pin)

    def figure(self, name: str) -> Figure:
        return self.port.plan.figures[name]

    def value(self, name: str) -> float:
        return self.figure(name).value

    def tag(self, name: str) -> str:
        return f"{self.port.address}.{name}"

    def resistor(self, a: int, b: int, ohm: float, name: str) -> None:
        """A resistance for signal and direct current; ``name`` is the figure it comes from."""
        self.sketch.resistor(a, b, ohm, tag=self.tag(name), figure=self.port.plan.figures.get(name))

    def capacitor(self, a: int, b: int, name: str) -> None:
        """A capacitance that a figure gives."""
        figure = self.figure(name)
        self.sketch.capacitor(a, b, figure.value, tag=self.tag(name), figure=figure)

    def bond_ground(self, pin: str) -> None:
        """The ground pin reaches the 0 V of the item through a small resistance."""
        self.resistor(self.node(pin), self.zero, self.value("ground"), "ground")

    def leg(self, pin: str, minus: int, *, share: float, signal: str | None, sign: float) -> None:
        """An output leg: emf behind its share of the impedance, and its coupling capacitor."""
        coupling = self.port.plan.figures.get("coupling")
        end = self.node(pin)
        if coupling is not None:
            inner = self.sketch.inner_node()
            self.sketch.capacitor(
                inner, end, coupling.value, tag=self.tag("coupling"), figure=coupling
            )
            end = inner
        self.sketch.emf(
            Drive(
                self.port.address,
                signal,
                end,
                minus,
                self.value("impedance") * share,
                weight=sign,
                tag=self.tag("impedance"),
                figure=self.figure("impedance"),
                direct=coupling is None,
            )
        )

    def coil_emf(self, signal: str | None, plus: int, *, direct: bool) -> None:
        """An emf behind the figure ``resistance``, against 0 V."""
        ohm, tag = self.value("resistance"), self.tag("resistance")
        drive = Drive(
            self.port.address,
            signal,
            plus,
            self.zero,
            ohm,
            weight=1.0,
            tag=tag,
            figure=self.figure("resistance"),
            direct=direct,
        )
        self.sketch.emf(drive)

    def passive_leg(self, pin: str, ohm: float) -> None:
        """A leg that is only balanced by its impedance; its capacitor keeps phantom power out."""
        end = self.node(pin)
        if "coupling" in self.port.plan.figures:
            inner = self.sketch.inner_node()
            self.capacitor(inner, end, "coupling")
            end = inner
        self.resistor(end, self.zero, ohm, "impedance")


def _signals(port: RigPort) -> list[tuple[str | None, SignalPins]]:
    names = port.plan.signals or (None,)
    return [(name, signal_pins(port.plan.socket, name)) for name in names]


def _single_ended_output(pen: _PortPen) -> None:
    for signal, pins in _signals(pen.port):
        pen.leg(pins.plus, pen.zero, share=1.0, signal=signal, sign=1.0)
        if pins.minus != pins.ground:
            pen.resistor(pen.node(pins.minus), pen.zero, _BOND_OHM, "ground")
    pen.bond_ground(_signals(pen.port)[0][1].ground)


def _symmetrical_output(pen: _PortPen) -> None:
    ((signal, pins),) = _signals(pen.port)
    pen.leg(pins.plus, pen.zero, share=0.5, signal=signal, sign=0.5)
    pen.leg(pins.minus, pen.zero, share=0.5, signal=signal, sign=-0.5)
    pen.bond_ground(pins.ground)


def _impedance_balanced_output(pen: _PortPen) -> None:
    ((signal, pins),) = _signals(pen.port)
    pen.leg(pins.plus, pen.zero, share=0.5, signal=signal, sign=1.0)
    pen.passive_leg(pins.minus, pen.value("impedance") / 2)
    pen.bond_ground(pins.ground)


def _cross_coupled_output(pen: _PortPen) -> None:
    ((signal, pins),) = _signals(pen.port)
    pen.leg(pins.plus, pen.node(pins.minus), share=1.0, signal=signal, sign=1.0)
    for pin in (pins.plus, pins.minus):
        pen.resistor(pen.node(pin), pen.zero, pen.value("common-mode"), "common-mode")
    pen.bond_ground(pins.ground)


def _winding_capacitance(pen: _PortPen, pins: SignalPins) -> None:
    figure = pen.figure("winding-capacitance")
    for pin in (pins.plus, pins.minus):
        pen.sketch.capacitor(
            pen.node(pin),
            pen.node(pins.ground),
            figure.value,
            tag=pen.tag("winding-capacitance"),
            figure=figure,
        )


def _transformer_output(pen: _PortPen) -> None:
    ((signal, pins),) = _signals(pen.port)
    pen.leg(pins.plus, pen.node(pins.minus), share=1.0, signal=signal, sign=1.0)
    figure = pen.figure("magnetising")
    pen.sketch.inductor(
        pen.node(pins.plus),
        pen.node(pins.minus),
        figure.value,
        tag=pen.tag("magnetising"),
        figure=figure,
    )
    _winding_capacitance(pen, pins)
    pen.bond_ground(pins.ground)


def _floating_output(pen: _PortPen) -> None:
    """A coil: nothing but its own wire between the pins, and none of it joined to the screen."""
    ((signal, pins),) = _signals(pen.port)
    pen.leg(pins.plus, pen.node(pins.minus), share=1.0, signal=signal, sign=1.0)
    _winding_capacitance(pen, pins)
    pen.bond_ground(pins.ground)


def _power_output(pen: _PortPen) -> None:
    ((signal, pins),) = _signals(pen.port)
    pen.leg(pins.plus, pen.zero, share=1.0, signal=signal, sign=1.0)
    pen.resistor(pen.node(pins.minus), pen.zero, _BOND_OHM, "ground")


def _bridge_tied_output(pen: _PortPen) -> None:
    """Both terminals are driven: neither of them is ground."""
    ((signal, pins),) = _signals(pen.port)
    pen.leg(pins.plus, pen.zero, share=0.5, signal=signal, sign=0.5)
    pen.leg(pins.minus, pen.zero, share=0.5, signal=signal, sign=-0.5)


def _pickup_output(pen: _PortPen) -> None:
    """A coil with its wire and its own capacitance, on the tone and volume pots of the instrument.

    The tone pot with its capacitor hangs on the coil; the lead on the wiper of the volume pot.
    """
    ((signal, pins),) = _signals(pen.port)
    hot, coil = pen.node(pins.plus), pen.sketch.inner_node()
    up = pen.value("volume")
    top = hot if up >= 1 else pen.sketch.inner_node()
    pen.coil_emf(signal, coil, direct=True)
    pen.sketch.inductor(
        coil,
        top,
        pen.value("inductance"),
        tag=pen.tag("inductance"),
        figure=pen.figure("inductance"),
    )
    pen.capacitor(top, pen.zero, "capacitance")
    if "tone-pot" in pen.port.plan.figures:
        tone = pen.sketch.inner_node()
        pen.resistor(top, tone, pen.value("tone-pot"), "tone-pot")
        pen.capacitor(tone, pen.zero, "tone-capacitor")
    pot_ohm = pen.value("volume-pot")
    pen.resistor(top, hot, max((1 - up) * pot_ohm, _BOND_OHM), "volume-pot")
    pen.resistor(hot, pen.zero, max(up * pot_ohm, _BOND_OHM), "volume-pot")
    pen.bond_ground(pins.ground)


def _piezo_output(pen: _PortPen) -> None:
    """A crystal: its emf stands behind its own capacitance, and no direct current passes."""
    ((signal, pins),) = _signals(pen.port)
    crystal = pen.sketch.inner_node()
    pen.coil_emf(signal, crystal, direct=False)
    pen.capacitor(crystal, pen.node(pins.plus), "capacitance")
    pen.bond_ground(pins.ground)


def _differential_ohm(impedance_ohm: float, leg_ohm: float) -> float:
    """What must lie between the pins, beside two resistances to 0 V, to make the rating."""
    remainder_s = 1 / impedance_ohm - 1 / (2 * leg_ohm)
    return math.inf if remainder_s <= 0 else 1 / remainder_s


def _balanced_input(pen: _PortPen) -> None:
    pins = signal_pins(pen.port.plan.socket)
    phantom_v = pen.port.plan.figure("phantom")
    leg_name = "common-mode" if phantom_v is None else "phantom-feed"
    leg_ohm = pen.value(leg_name)
    for pin in (pins.plus, pins.minus):
        if phantom_v is None:
            pen.resistor(pen.node(pin), pen.zero, leg_ohm, leg_name)
        else:
            pen.sketch.phantom_feed(
                pen.port.address, pen.node(pin), pen.zero, volts=phantom_v, ohm=leg_ohm
            )
    between_ohm = _differential_ohm(pen.value("impedance"), leg_ohm)
    if math.isfinite(between_ohm):
        pen.resistor(pen.node(pins.plus), pen.node(pins.minus), between_ohm, "impedance")
    pen.bond_ground(pins.ground)
    rejection = 10 ** (-pen.value("cmrr") / 20)
    pen.sketch.sense(
        pen.port.address,
        {
            pen.node(pins.plus): 1 + rejection / 2,
            pen.node(pins.minus): -1 + rejection / 2,
            pen.zero: -rejection,
        },
    )


def _unbalanced_input(pen: _PortPen) -> None:
    for signal, pins in _signals(pen.port):
        pen.resistor(pen.node(pins.plus), pen.zero, pen.value("impedance"), "impedance")
        figure = pen.figure("capacitance")
        pen.sketch.capacitor(
            pen.node(pins.plus), pen.zero, figure.value, tag=pen.tag("capacitance"), figure=figure
        )
        if pins.minus != pins.ground:
            pen.resistor(pen.node(pins.minus), pen.zero, _BOND_OHM, "ground")
        address = pen.port.address if signal is None else f"{pen.port.address}.{signal}"
        pen.sketch.sense(address, {pen.node(pins.plus): 1.0, pen.zero: -1.0})
    pen.bond_ground(_signals(pen.port)[0][1].ground)


def _loudspeaker_load(pen: _PortPen) -> None:
    pins = signal_pins(pen.port.plan.socket)
    pen.resistor(pen.node(pins.plus), pen.node(pins.minus), pen.value("impedance"), "impedance")


TEMPLATES: Final[dict[str, Callable[[_PortPen], None]]] = {
    "single-ended-output": _single_ended_output,
    "symmetrical-output": _symmetrical_output,
    "impedance-balanced-output": _impedance_balanced_output,
    "cross-coupled-output": _cross_coupled_output,
    "transformer-output": _transformer_output,
    "floating-output": _floating_output,
    "power-output": _power_output,
    "bridge-tied-output": _bridge_tied_output,
    "pickup-output": _pickup_output,
    "piezo-output": _piezo_output,
    "balanced-input": _balanced_input,
    "unbalanced-input": _unbalanced_input,
    "loudspeaker-load": _loudspeaker_load,
}


def draw_port(sketch: Sketch, port: RigPort) -> None:
    """Draw a port's circuit, and the voltage between its signal pins as a sense of its address."""
    if port.plan.circuit is not None:
        TEMPLATES[port.plan.circuit](_PortPen(sketch, port))
    for signal, pins in _signals(port):
        address = port.address if signal is None else f"{port.address}.{signal}"
        if not sketch.has_sense(address):
            weights = {sketch.pin(port.address, pins.plus): 1.0}
            minus = sketch.pin(port.address, pins.minus)
            if minus not in weights:
                weights[minus] = -1.0
            sketch.sense(address, weights)
