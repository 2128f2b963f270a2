"""A rig drawn for the ground network: no two items share their 0 V, and nothing plays."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Final

from levelhead.circuit.drawn.sketch import Sketch
from levelhead.circuit.placed.assembly import draw_piece
from levelhead.circuit.placed.pieces import Piece
from levelhead.gear.connectors import CONNECTORS, signal_pins
from levelhead.gear.plan import PathPlan
from levelhead.rig.model import Rig, RigItem, RigPort

__all__ = [
    "GroundSketch",
    "common_of",
    "draw_ground",
    "draw_ground_of",
    "inputs_of",
    "shared_zeros",
]

_MANY_PLUGS: Final = 2


@dataclass(slots=True)
class GroundSketch(Sketch):
    """A sketch in which no two items share their 0 V."""

    def zero_volts(self, item: RigItem) -> int:
        """0 V of an item, earthed or not."""
        return self.place(("0 V", item.id))


def draw_ground(rig: Rig) -> GroundSketch:
    """Everything that is plugged, its outputs at rest, with the senses of inputs only."""
    return draw_ground_of(Piece.of(rig, rig.links), dict(inputs_of(rig)))


def draw_ground_of(piece: Piece, inputs: Mapping[str, RigPort]) -> GroundSketch:
    """The same of links that hang together; ``inputs`` are those of the rig, by address."""
    sketch = GroundSketch()
    draw_piece(piece, sketch)
    _bond_bare_ports(sketch, piece)
    _put_drives_to_rest(sketch)
    _listen(sketch, inputs)
    return sketch


def _bond_bare_ports(sketch: Sketch, piece: Piece) -> None:
    """A port without a circuit of its own (a digital one) still has its screen on the chassis."""
    ports = {port.address: port for port in piece.ports}
    for link in piece.links:
        for address in link.ports:
            port = ports[address]
            is_bare = port.plan.circuit is None and port.plan.joined is None
            has_chassis = port.item.plan.earth != "none" or port.plan.carries != "audio"
            if is_bare and has_chassis and not port.block.plan.parts:
                pin = sketch.pin(address, CONNECTORS[port.plan.socket].ground)
                figure = port.plan.figures["ground"]
                zero = sketch.zero_volts(port.item)
                sketch.resistor(pin, zero, figure.value, tag=f"{address}.ground", figure=figure)


def _put_drives_to_rest(sketch: Sketch) -> None:
    """Outputs that play nothing are their impedances."""
    for drive in sketch.drives:
        sketch.resistor(drive.plus, drive.minus, drive.ohm, tag=drive.tag, figure=drive.figure)
    sketch.drives = []


def inputs_of(rig: Rig) -> Iterator[tuple[str, RigPort]]:
    """Every port (with its signal, if stereo) at which a path of an item begins or is resumed."""
    for item in rig.items.values():
        for block, path in item.paths():
            for name, signal in _starts(path):
                own = name in block.plan.ports
                port = f"{item.id}.{block.address(name) if own else name}"
                yield (port if signal is None else f"{port}.{signal}"), rig.ports[port]


def _starts(path: PathPlan) -> Iterator[tuple[str, str | None]]:
    for origin in path.origins:
        if origin.port is not None:
            yield origin.port.port, origin.port.signal
    for stage in path.stages:
        if stage.insert is not None:
            yield stage.insert.back.port, stage.insert.back.signal


def _listen(sketch: Sketch, inputs: Mapping[str, RigPort]) -> None:
    """Keep the senses of inputs; a balanced one is split into what its legs differ in and share."""
    drawn, sketch.senses = sketch.senses, {}
    for address in drawn:
        port = inputs.get(address)
        if port is None:
            continue
        pins = signal_pins(port.plan.socket)
        if "cmrr" not in port.plan.figures or pins.minus == pins.ground:
            sketch.senses[address] = drawn[address]
            continue
        plus, minus = (sketch.pin(port.address, pin) for pin in (pins.plus, pins.minus))
        zero = sketch.zero_volts(port.item)
        sketch.sense(address, ((plus, 1.0), (minus, -1.0)))
        sketch.sense(common_of(address), ((plus, 0.5), (minus, 0.5), (zero, -1.0)))


def common_of(address: str) -> str:
    """Name of the sense of what both legs of an input share."""
    return f"{address}~common"


def shared_zeros(sketch: Sketch, piece: Piece) -> Mapping[int, str]:
    """Items by the node of their 0 V, if that is on the mains or on more than one plug.

    Others lie inside an island. What has no earth hangs together with all its plugs.
    """
    owners = {port.address: port.item for port in piece.ports}
    plugs = Counter(owners[address].id for link in piece.links for address in link.ports)
    items = {item.id: item for item in owners.values()}
    shared: dict[int, str] = {}
    for place, node in sketch.places:
        if place[0] == "0 V":
            item = items[str(place[1])]
            if item.plan.earth != "none" or plugs[item.id] >= _MANY_PLUGS:
                shared[node] = item.id
    return shared
