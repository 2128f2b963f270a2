"""What hangs on an output does to it: voltage at its terminals, against what it is made for.

The reference of most outputs is to be open. A pickup or a crystal is made for a certain load and
lead (figures ``reference-load`` and ``reference-capacitance`` of its port), a headphone output for
the least load that it is rated for (``min-load``).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from levelhead.circuit.drawn.islands import Island, cut
from levelhead.circuit.drawn.pen import signals_of
from levelhead.circuit.drawn.sketch import Sketch
from levelhead.circuit.drawn.templates import draw_port
from levelhead.circuit.network import GROUND
from levelhead.circuit.solving.solve import solve_networks
from levelhead.circuit.solving.solved import Solved
from levelhead.rig.model import RigPort

__all__ = [
    "SHORTED",
    "Output",
    "address_of",
    "columns_of",
    "made_for_ohm",
    "reference_response",
    "shorted_legs",
    "terminal_response",
]

Complex = NDArray[np.complex128]
Output = tuple[str, str | None]
"""An output, and which of its signals."""

SHORTED: Final = 0.03  # 30 dB down at its own terminals: no load does that, only a piece of wire
_OWN_REACTANCE: Final = frozenset({"transformer-output", "pickup-output", "piezo-output"})


def made_for_ohm(port: RigPort) -> float | None:
    """Load that an output is made to work into; ``None`` for one that wants hardly any. [ohm]"""
    return port.plan.figure("reference-load") or port.plan.figure("min-load")


def address_of(output: Output) -> str:
    """Address at which an output's own voltage is sensed."""
    port, signal = output
    return port if signal is None else f"{port}.{signal}"


def columns_of(island: Island, output: Output) -> list[int]:
    """Emfs of an output within its island: a balanced one may have two."""
    return [
        number for number, each in enumerate(island.drives) if (each.port, each.signal) == output
    ]


def terminal_response(island: Island, solved: Solved, output: Output, at: str = "") -> Complex:
    """Voltage at an output's own terminals (or another sense) per volt of its signal, (bands,)."""
    row = island.sense_addresses.index(at or address_of(output))
    found = np.zeros(solved.transfer.shape[2], dtype=np.complex128)
    for column in columns_of(island, output):
        found += island.drives[column].weight * solved.transfer[row, column]
    return found


def shorted_legs(island: Island, solved: Solved, output: Output) -> list[int]:
    """Emfs of an output whose ends the wiring holds together: nothing of them comes out."""
    numbers = island.numbers
    columns = columns_of(island, output)
    found = []
    for column in columns:
        drive = island.drives[column]
        plus, minus = (
            numbers[each] if each != GROUND else GROUND for each in (drive.plus, drive.minus)
        )
        across = sum(
            (
                island.drives[other].weight
                * (solved.node_transfer[plus, other] - solved.node_transfer[minus, other])
                for other in columns
            ),
            np.zeros(solved.node_transfer.shape[2], dtype=np.complex128),
        )
        if float(np.abs(across).min()) < SHORTED * abs(drive.weight):
            found.append(column)
    return found


@dataclass(frozen=True, slots=True)
class _Alone:
    """An output by itself, on the load that it is made for."""

    island: Island
    output: Output


def reference_response(
    port: RigPort, signal: str | None, hz: NDArray[np.float64]
) -> Complex | None:
    """As ``terminal_response``, on the load that it is made for; ``None`` where that is none.

    An output without a reference load is made to be hardly loaded: open, it gives its whole emf.
    """
    alone = _alone(port, signal)
    if alone is None:
        return None
    (solved,) = solve_networks([alone.island.network()], hz)
    return terminal_response(alone.island, solved, alone.output)


def _alone(port: RigPort, signal: str | None) -> _Alone | None:
    load_ohm = made_for_ohm(port)
    if load_ohm is None and port.plan.circuit not in _OWN_REACTANCE:
        return None
    sketch, output = Sketch(), (port.address, signal)
    draw_port(sketch, port)
    pins = next(pins for name, pins in signals_of(port) if name == signal)
    plus, minus = (sketch.pin(port.address, pin) for pin in (pins.plus, pins.minus))
    if load_ohm is not None:
        sketch.resistor(plus, minus, load_ohm, tag="reference load", figure=None)
        lead_f = port.plan.figure("reference-capacitance") or 0.0
        sketch.capacitor(plus, minus, lead_f, tag="reference lead", figure=None)
    island = next(each for each in cut(sketch) if address_of(output) in each.senses)
    return _Alone(island, output)
