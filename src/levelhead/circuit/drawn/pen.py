"""The pen that draws one port: its pins, its 0 V, and what its figures become."""

from __future__ import annotations

from typing import Final

from levelhead.circuit.drawn.sketch import Drive, Feed, Sketch
from levelhead.gear.connectors import SignalPins
from levelhead.gear.figures import Figure
from levelhead.rig.model import RigPort

__all__ = ["BOND_OHM", "PortPen", "signals_of"]

BOND_OHM: Final = 1e-3  # a soldered joint or a bus bar, from memory


def signals_of(port: RigPort) -> list[tuple[str | None, SignalPins]]:
    """Signals of a port with their pins: one without a name, left and right, send and return."""
    return [(name, port.plan.pins_of(name)) for name in port.plan.signals or (None,)]


class PortPen:
    """Draws one port into a sketch. ``zero`` is the 0 V of the item behind it."""

    def __init__(self, sketch: Sketch, port: RigPort) -> None:
        self.sketch = sketch
        self.port = port
        self.zero = sketch.zero_volts(port.item)

    @property
    def pins(self) -> SignalPins:
        """Pins of the first or only signal."""
        return signals_of(self.port)[0][1]

    def node(self, pin: str) -> int:
        """Node of a pin."""
        return self.sketch.pin(self.port.address, pin)

    def has(self, name: str) -> bool:
        """Whether the port has this figure."""
        return name in self.port.plan.figures

    def figure(self, name: str) -> Figure:
        """A figure of the port's circuit."""
        return self.port.plan.figures[name]

    def value(self, name: str) -> float:
        """Value of a figure, in SI."""
        return self.figure(name).value

    def tag(self, name: str) -> str:
        """By what name a figure is known in doubts."""
        return f"{self.port.address}.{name}"

    def resistor(self, a: int, b: int, ohm: float, name: str, *, direct: bool = True) -> None:
        """A resistance; ``name`` is the figure it comes from."""
        tag, figure = self.tag(name), self.figure(name)
        self.sketch.resistor(a, b, ohm, tag=tag, figure=figure, direct=direct)

    def capacitor(self, a: int, b: int, name: str) -> None:
        """A capacitance that a figure gives."""
        figure = self.figure(name)
        self.sketch.capacitor(a, b, figure.value, tag=self.tag(name), figure=figure)

    def inductor(self, a: int, b: int, name: str) -> None:
        """An inductance that a figure gives."""
        figure = self.figure(name)
        self.sketch.inductor(a, b, figure.value, tag=self.tag(name), figure=figure)

    def ground(self) -> None:
        """The ground pin reaches the 0 V of the item through a small resistance."""
        self.resistor(self.node(self.pins.ground), self.zero, self.value("ground"), "ground")

    def bond(self, pin: str) -> None:
        """A pin that is 0 V itself."""
        tag = self.tag(f"{pin} to 0 V")
        self.sketch.resistor(self.node(pin), self.zero, BOND_OHM, tag=tag, figure=None)

    def behind_coupling(self, pin: str) -> int:
        """The inner side of an output pin: beyond its coupling capacitor, if it has one."""
        outer = self.node(pin)
        if not self.has("coupling"):
            return outer
        inner = self.sketch.inner_node()
        self.capacitor(inner, outer, "coupling")
        return inner

    def emf(
        self,
        ends: tuple[int, int],
        name: str,
        *,
        share: float = 1.0,
        signal: str | None = None,
        weight: float = 1.0,
        zero: int | None = None,
    ) -> None:
        """The signal times ``weight`` from the second node to the first.

        It stands behind a ``share`` of the resistance that a figure gives.
        """
        plus, minus = ends
        drive = Drive(
            port=self.port.address,
            signal=signal,
            plus=plus,
            minus=minus,
            ohm=self.value(name) * share,
            weight=weight,
            tag=self.tag(name),
            figure=self.figure(name),
            zero=zero,
        )
        self.sketch.emf(drive)

    def phantom_feed(self, pin: str) -> None:
        """A leg of the port's own phantom supply, and the capacitor before its amplifier."""
        self._feed(pin, "phantom", self.value("blocking"))

    def parallel_feed(self) -> None:
        """Parallel powering: its volts on the one signal pin, and its way back by the other."""
        self._feed(self.pins.plus, "parallel", 0.0)
        self._feed(self.pins.minus, "parallel", 0.0, volts=0.0)

    def bias_feed(self, pin: str) -> None:
        """The port's own plug-in power on a pin."""
        self._feed(pin, "bias", 0.0)

    def supply_feed(self, pin: str) -> None:
        """The direct volts that an output puts on a pin."""
        self._feed(pin, "supply", 0.0)

    def _feed(self, pin: str, name: str, blocking_f: float, *, volts: float | None = None) -> None:
        volts = self.value(name) if volts is None else volts
        ohm = self.value(f"{name}-feed")
        feed = Feed(self.port.address, self.node(pin), self.zero, volts, ohm, blocking_f)
        tag, figure = self.tag(f"{name}-feed"), self.figure(f"{name}-feed")
        self.sketch.phantom_feed(feed, tag=tag, figure=figure)
