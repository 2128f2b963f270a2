"""From a rig to islands: what is plugged is drawn, then cut where only the common 0 V joins it."""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Iterator, Sequence
from typing import TypeAlias

from levelhead.circuit.direct.switches import closed_switches
from levelhead.circuit.drawn.cables import draw_link
from levelhead.circuit.drawn.islands import Island, cut
from levelhead.circuit.drawn.pen import signals_of
from levelhead.circuit.drawn.sketch import PhantomLoad, Sketch, Winding
from levelhead.circuit.drawn.templates import draw_port
from levelhead.circuit.network import Transformer
from levelhead.circuit.placed.pieces import Piece, pieces_of
from levelhead.circuit.placed.placing import Drawing
from levelhead.gear.connectors import CONNECTORS, signal_pins
from levelhead.gear.plan import BlockInstance, PartPlan
from levelhead.rig.model import Rig, RigItem, RigPort

__all__ = ["Drawing", "Island", "assemble", "draw_rig", "placed"]

_Box: TypeAlias = tuple[RigItem, BlockInstance]


def assemble(rig: Rig) -> list[Island]:
    """Islands of everything that is plugged, piece by piece."""
    drawings: dict[Hashable, Drawing] = {}
    return [island for piece in pieces_of(rig) for island in placed(piece, drawings)]


def placed(piece: Piece, drawings: dict[Hashable, Drawing]) -> tuple[Island, ...]:
    """Islands of a piece; a piece of a new shape is drawn, and kept among the drawings."""
    drawing = drawings.get(piece.shape)
    if drawing is None:
        sketch = draw_piece(piece)
        islands = tuple(_islands(sketch))
        closed = tuple(closed_switches(piece.ports, sketch, islands))
        drawing = drawings[piece.shape] = Drawing(piece, islands, closed)
    return drawing.placed(piece)


def _islands(sketch: Sketch) -> Iterator[Island]:
    """Islands of a sketch; a bare screen carries no signal."""
    return (island for island in cut(sketch) if island.senses)


def draw_rig(rig: Rig, sketch: Sketch | None = None) -> Sketch:
    """Everything that is plugged, drawn as one."""
    return draw_piece(Piece.of(rig, rig.links), sketch)


def draw_piece(piece: Piece, sketch: Sketch | None = None) -> Sketch:
    """What hangs together, drawn: first what is one copper, then the parts."""
    sketch = sketch or Sketch()
    ports = piece.ports
    boxes = _passive_blocks(ports)
    _join_copper(sketch, piece, boxes)
    for link in piece.links:
        draw_link(sketch, link)
    for port in ports:
        draw_port(sketch, port)
        _draw_phantom_load(sketch, port)
    for item, block in boxes:
        for part in block.plan.parts:
            _draw_part(sketch, item, block, part)
    return sketch


def _join_copper(sketch: Sketch, piece: Piece, boxes: Sequence[_Box]) -> None:
    """Contacts, through sockets and wires: places without resistance between them."""
    for one, other in piece.contacts:
        sketch.join(one, other)
    for link in piece.links:
        for one, other in link.contacts:
            sketch.join(one, other)
    for port in piece.ports:
        _join_through(sketch, port)
    for item, block in boxes:
        for part in block.plan.parts:
            if part.kind == "wire":
                one, other = (
                    ("port", f"{item.id}.{block.address(name)}", pin) for name, pin in part.pins
                )
                sketch.join(one, other)


def _join_through(sketch: Sketch, port: RigPort) -> None:
    """A through socket is the same copper: pins of one name are one node."""
    if port.plan.joined is None:
        return
    other = port.sibling(port.plan.joined)
    own = CONNECTORS[port.plan.socket]
    joined = CONNECTORS[port.block.plan.ports[port.plan.joined].socket]
    same_pins = set(own.pins) & set(joined.pins)
    if same_pins:
        for pin in sorted(same_pins):
            sketch.join(("port", other, pin), ("port", port.address, pin))
        return
    here, there = signal_pins(own.name), signal_pins(joined.name)
    for pin, met in zip(
        (here.plus, here.minus, here.ground), (there.plus, there.minus, there.ground), strict=True
    ):
        sketch.join(("port", other, met), ("port", port.address, pin))


def _passive_blocks(ports: Iterable[RigPort]) -> list[_Box]:
    """Blocks with parts, each once."""
    found = {
        (port.item.id, port.block.name): (port.item, port.block)
        for port in ports
        if port.block.plan.parts
    }
    return list(found.values())


def _draw_part(sketch: Sketch, item: RigItem, block: BlockInstance, part: PartPlan) -> None:
    nodes = [sketch.pin(f"{item.id}.{block.address(name)}", pin) for name, pin in part.pins]
    tag = f"{item.id}.{part.kind}"
    if part.kind == "transformer":
        values = {name: figure.value for name, figure in part.figures.items()}
        figures = Transformer(
            turns_ratio=values["ratio"],
            magnetising_h=values["magnetising"],
            leakage_h=values.get("leakage", 0.0),
            primary_ohm=values.get("primary", 1.0),
            secondary_ohm=values.get("secondary", 1.0),
        )
        a, b, c, d = nodes
        sketch.windings.append(Winding((a, b, c, d), figures, tag, part.figures))
    elif part.kind != "wire":
        figure = part.figures["value"]
        draw = sketch.resistor if part.kind == "resistor" else sketch.capacitor
        draw(nodes[0], nodes[1], figure.value, tag=tag, figure=figure)


def _draw_phantom_load(sketch: Sketch, port: RigPort) -> None:
    """What an item draws at a port: phantom power from both legs, bias from the signal pin."""
    for power in port.item.plan.powered_by:
        is_here = power.kind in ("phantom", "bias") and power.port == port.plan.name
        if is_here and power.current is not None and power.minimum is not None:
            (_, pins), *_ = signals_of(port)
            second = pins.minus if power.kind == "phantom" else pins.plus
            legs = (sketch.pin(port.address, pins.plus), sketch.pin(port.address, second))
            ground = sketch.pin(port.address, pins.ground)
            sketch.loads.append(
                PhantomLoad(port.item.id, port.address, legs, ground, power.current, power.minimum)
            )
