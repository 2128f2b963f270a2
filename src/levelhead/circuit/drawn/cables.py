"""Cables in a sketch: conductors with resistance, and capacitance at both of their ends."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import combinations

from levelhead.circuit.drawn.sketch import Sketch, Stretch
from levelhead.circuit.network import Kind
from levelhead.gear.connectors import CONNECTORS
from levelhead.gear.figures import Figure
from levelhead.gear.plan import CablePlan, PartPlan, PinPlace
from levelhead.rig.model import Node, PinChange, RigLink, Segment

__all__ = ["draw_link"]

_BRIDGE_OHM = 1e-3  # solder between two pins of a plug, from memory


def draw_link(sketch: Sketch, link: RigLink) -> None:
    """Draw every cable of a link; its contacts are joined already."""
    for segment in link.segments:
        changes = [change for change in link.changes if change.segment == segment.number]
        _CablePen(sketch, link.number, segment, changes).draw()


@dataclass(frozen=True, slots=True)
class _Conductor:
    """A conductor by its two ends; a ``screen`` joins the ground pins of two plugs."""

    ends: tuple[PinPlace, PinPlace]
    is_screen: bool

    @classmethod
    def of(cls, cable: CablePlan, ends: tuple[PinPlace, PinPlace]) -> _Conductor:
        grounds = [pin == CONNECTORS[cable.ends[end]].ground for end, pin in ends]
        return cls(ends, all(grounds) and cable.screen_ohm_per_m is not None)

    @property
    def run(self) -> frozenset[str]:
        """The ends of the cable that it leads between; one only for a bridge within a plug."""
        return frozenset(end for end, _ in self.ends)


class _CablePen:
    """Draws one length of cable."""

    def __init__(
        self, sketch: Sketch, link: int, segment: Segment, changes: list[PinChange]
    ) -> None:
        self.sketch = sketch
        self.cable = segment.cable
        self.link = link
        self.segment = segment
        self.where: Node = ("cable", link, segment.number)
        self.name = f"link {link}, {segment.cable.type_id}"
        self.changes = changes
        self.moved = {(change.end, change.pin): change for change in changes if not change.is_tie}

    def draw(self) -> None:
        """Conductors and what lies between them, parts in the plugs, and pins that are tied."""
        conductors = [_Conductor.of(self.cable, ends) for ends in self.cable.joins]
        for conductor in conductors:
            self._draw_resistance(conductor)
        for run in dict.fromkeys(conductor.run for conductor in conductors):
            together = [conductor for conductor in conductors if conductor.run == run]
            for end in self.cable.ends:
                if end in run and len(run) > 1:
                    self._draw_capacitance(end, together)
        for part in self.cable.parts:
            self._draw_part(part)
        for change in self.changes:
            if change.is_tie and change.to is not None:
                one, other = (self.pin((change.end, pin)) for pin in (change.pin, change.to))
                tag = f"{self.name}, pins tied"
                self.sketch.resistor(one, other, _BRIDGE_OHM, tag=tag, figure=None)

    def pin(self, place: PinPlace) -> int:
        """Node of a pin of a plug."""
        return self.sketch.place((*self.where, *place))

    def wire_end(self, place: PinPlace) -> int:
        """Node where a conductor ends: on its pin, unless it was moved or hangs loose."""
        change = self.moved.get(place)
        if change is None:
            return self.pin(place)
        if change.to is None:
            return self.sketch.place((*self.where, *place, "loose"))
        return self.pin((change.end, change.to))

    def _draw_resistance(self, conductor: _Conductor) -> None:
        cable = self.cable
        figure = cable.screen_ohm_per_m if conductor.is_screen else cable.core_ohm_per_m
        is_bridge = len(conductor.run) == 1
        per_m = 0.0 if figure is None or is_bridge else figure.value
        one, other = (self.wire_end(end) for end in conductor.ends)
        kind = "screen" if conductor.is_screen else "core"
        tag = f"{self.name}, {kind} resistance"
        stretch = Stretch(self.link, self.segment.number, cable.contact_ohm.value, per_m)
        self._draw_stretch(Kind.RESISTOR, (one, other), stretch, tag, figure)

    def _draw_stretch(
        self, kind: Kind, nodes: tuple[int, int], stretch: Stretch, tag: str, figure: Figure | None
    ) -> None:
        length_m = self.segment.length_m
        self.sketch.cable_part(kind, nodes, stretch, length_m, tag=tag, figure=figure)

    def _draw_capacitance(self, end: str, conductors: list[_Conductor]) -> None:
        """Half of the capacitance of one run at one of its two ends."""
        screen = self.pin((end, CONNECTORS[self.cable.ends[end]].ground))
        screen = next((node for node in self._nodes(end, conductors, is_screen=True)), screen)
        cores = list(self._nodes(end, conductors, is_screen=False))
        for core in cores:
            self._draw_half(core, screen, self.cable.core_screen_f_per_m)
        for one, other in combinations(cores[:2], 2):
            self._draw_half(one, other, self.cable.core_core_f_per_m)

    def _nodes(self, end: str, conductors: list[_Conductor], *, is_screen: bool) -> Iterator[int]:
        """Where cores (or the screen) end at one end of the cable."""
        for conductor in conductors:
            if conductor.is_screen is is_screen:
                yield from (self.wire_end(place) for place in conductor.ends if place[0] == end)

    def _draw_half(self, one: int, other: int, per_m: Figure | None) -> None:
        if per_m is not None:
            stretch = Stretch(self.link, self.segment.number, 0.0, per_m.value / 2)
            tag = f"{self.name}, capacitance"
            self._draw_stretch(Kind.CAPACITOR, (one, other), stretch, tag, per_m)

    def _draw_part(self, part: PartPlan) -> None:
        """A resistor or capacitor in a plug."""
        one, other = (self.pin(place) for place in part.pins)
        figure = part.figures["value"]
        draw = self.sketch.resistor if part.kind == "resistor" else self.sketch.capacitor
        draw(one, other, figure.value, tag=f"{self.name}, {part.kind}", figure=figure)
