"""Cables in a sketch: conductors with resistance, and capacitance at both ends."""

from __future__ import annotations

from typing import Final

from levelhead.circuit.sketch import Sketch
from levelhead.gear.connectors import CONNECTORS
from levelhead.gear.plan import CablePlan, PartPlan
from levelhead.rig.model import Node, RigLink, Segment

__all__ = ["draw_link"]

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
        per_m = 0.0 if figure is None or end == other_end else figure.value  # a bridge in one plug
        sketch.resistor(
            sketch.place((*_end(link, segment, end), pin)),
            sketch.place((*_end(link, segment, other_end), other_pin)),
            cable.contact_ohm.value + per_m * segment.length_m,
            tag=f"link {link}, {cable.type_id}, {'screen' if is_screen else 'core'} resistance",
            figure=figure,
        )
    for end in cable.ends:
        _draw_capacitance(sketch, link, segment, end)
    for part in cable.parts:
        _draw_part(sketch, link, segment, part)


def _draw_part(sketch: Sketch, link: int, segment: Segment, part: PartPlan) -> None:
    """A resistor or capacitor in a plug."""
    one, other = (sketch.place((*_end(link, segment, end), pin)) for end, pin in part.pins)
    figure = part.figures["value"]
    draw = sketch.resistor if part.kind == "resistor" else sketch.capacitor
    tag = f"link {link}, {segment.cable.type_id}, {part.kind}"
    draw(one, other, figure.value, tag=tag, figure=figure)


def _end(link: int, segment: Segment, end: str) -> Node:
    return ("cable", link, segment.number, end)


def _draw_capacitance(sketch: Sketch, link: int, segment: Segment, end: str) -> None:
    """A share of the cable's capacitance at one end: each core to the screen, and core to core."""
    cable = segment.cable
    connector = CONNECTORS[cable.ends[end]]
    length_m = segment.length_m / max(_ENDS, len(cable.ends))
    tag = f"link {link}, {cable.type_id}, capacitance"
    nodes = {pin: sketch.place((*_end(link, segment, end), pin)) for pin in connector.pins}
    screen = nodes.pop(connector.ground)
    cores = list(nodes.values())
    figure = cable.core_screen_f_per_m
    if figure is not None:
        for core in cores:
            sketch.capacitor(core, screen, figure.value * length_m, tag=tag, figure=figure)
    between = cable.core_core_f_per_m
    if between is not None and len(cores) > 1:
        farad = between.value * length_m
        sketch.capacitor(cores[0], cores[1], farad, tag=tag, figure=between)
