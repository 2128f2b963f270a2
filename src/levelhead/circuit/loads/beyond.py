"""What hangs on a socket from outside: everything of its island but what is within its own item."""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import NDArray

from levelhead.circuit.drawn.islands import Island
from levelhead.circuit.network import GROUND, Kind, NetworkBuilder
from levelhead.circuit.solving.solve import solve_networks
from levelhead.rig.model import RigPort

__all__ = ["beyond_ohm"]

_TRY_OHM: Final = 1.0  # the source by which it is measured stands behind this
_LEAK_OHM: Final = 1e6
_NO_COPPER: Final = 1e-4  # of the resistance of a cable


def beyond_ohm(
    island: Island, port: RigPort, hz: NDArray[np.float64], *, with_leads: bool = True
) -> NDArray[np.complex128]:
    """Impedance between the pins of a plugged port, its own item taken away; (bands,). [ohm]

    Without leads the copper of cables counts as nothing: what is rated hangs there alone. Emfs of
    other outputs are silent, their impedances stay. By Ohm's law: volts of a trial source over its
    current. Nothing plugged is some 10 Mohm and more, not infinite.
    """
    asked = (port.address, with_leads, hz.tobytes())
    if asked not in island.tried:
        island.tried[asked] = _beyond_ohm(island, port, hz, with_leads=with_leads)
    return island.tried[asked]


def _beyond_ohm(
    island: Island, port: RigPort, hz: NDArray[np.float64], *, with_leads: bool
) -> NDArray[np.complex128]:
    plus, minus, _ = island.pins[port.address]
    own = f"{port.item.id}."
    builder, at = NetworkBuilder(), island.numbers
    for _ in range(len(at) - 1):
        builder.node()
    builder.source(at[plus], at[minus], _TRY_OHM)
    for winding in island.windings:
        if not winding.tag.startswith(own):
            one, two, three, four = (at[node] for node in winding.nodes)
            builder.transformer((one, two), (three, four), winding.figures)
    for element in island.elements:
        if not element.tag.startswith(own):
            draw = {
                Kind.RESISTOR: builder.resistor,
                Kind.CAPACITOR: builder.capacitor,
                Kind.INDUCTOR: builder.inductor,
            }[element.kind]
            is_copper = element.stretch is not None and element.kind is Kind.RESISTOR
            share = _NO_COPPER if is_copper and not with_leads else 1.0
            draw(at[element.a], at[element.b], element.value * share)
    for drive in island.drives:
        if not drive.tag.startswith(own):
            builder.resistor(at[drive.plus], at[drive.minus], drive.ohm)
    if minus != GROUND:  # something has to hold what floats
        builder.resistor(at[minus], GROUND, _LEAK_OHM)
    (solved,) = solve_networks([builder.build()], hz)
    impedance: NDArray[np.complex128] = 1 / solved.source_current[0, 0] - _TRY_OHM
    return impedance
