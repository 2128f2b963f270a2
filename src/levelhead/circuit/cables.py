"""Cables in a sketch: conductors with resistance, and capacitance at both ends."""

from __future__ import annotations

from typing import Final

from levelhead.circuit.sketch import Sketch
from levelhead.gear.connectors import CONNECTORS
from levelhead.gear.figures import Figure
from levelhead.gear.plan import CablePlan
from levelhead.rig.model import Node, RigLink, Segment

__all__ = ["draw_link"]

_CONTACT_OHM: Final = 5e-3  # a plug in its socket, from memory
_ENDS: Final = 2


def draw_link(sketch: Sketch, link: RigLink) -> None:
    """Draw every cable of a link; its contacts are joined already."""
    for segment in link.segments:
        _draw_segment(sketch, link.number, segment)


def _is_screen(cable: CablePlan, end: str, pin: str) -> bool:
    connector = CONNECTORS[cable.ends[end]]
    return pin == connector.ground and cable.screen_ohm_per_m is not None


def _draw_segment(sketch: Sketch, link: int, segment: Segment) -> None:
    cable = segment.cable
    for (end, pin), (other_end, other_pin) in cable.joins:
        is_screen = _is_screen(cable, end, pin) or _is_screen(cable, other_end, other_pin)
        figure = cable.screen_ohm_per_m if is_screen else cable.core_ohm_per_m
        per_m = figure.value if figure is not None else 0.0
        sketch.resistor(
            sketch.place((*_end(link, segment, end), pin)),
            sketch.place((*_end(link, segment, other_end), other_pin)),
            _CONTACT_OHM + per_m * segment.length_m,
            tag=f"link {link}, {cable.type_id}, {'screen' if is_screen else 'core'} resistance",
            figure=figure,
        )
    for end in cable.ends:
        _draw_capacitance(sketch, link, segment, end)


def _end(link: int, segment: Segment, end: str) -> Node:
    return ("cable", link, segment.number, end)


def _draw_capacitance(sketch: Sketch, link: int, segment: Segment, end: str) -> None:
    """A share of the cable's capacitance at one end: each core to the screen, and core to core."""
    cable = segment.cable
    connector = CONNECTORS[cable.ends[end]]
    length_m = segment.length_m / max(_ENDS, len(cable.ends))
    cores = [pin for pin in connector.pins if pin != connector.ground]
    nodes = {pin: sketch.place((*_end(link, segment, end), pin)) for pin in connector.pins}
    if cable.core_screen_f_per_m is not None:
        for pin in cores:
            _capacitor(
                sketch,
                link,
                cable,
                nodes[pin],
                nodes[connector.ground],
                cable.core_screen_f_per_m,
                length_m,
            )
    if cable.core_core_f_per_m is not None and len(cores) > 1:
        _capacitor(
            sketch, link, cable, nodes[cores[0]], nodes[cores[1]], cable.core_core_f_per_m, length_m
        )


def _capacitor(
    sketch: Sketch, link: int, cable: CablePlan, a: int, b: int, figure: Figure, length_m: float
) -> None:
    tag = f"link {link}, {cable.type_id}, capacitance"
    sketch.capacitor(a, b, figure.value * length_m, tag=tag, figure=figure)
