"""How the gain through an island moves with each figure behind it, to first order.

The adjoint solution gives the change of a transfer with every part's value; weighted over the bands
by the power that passes, it is dB of level for each dB of the figure.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from levelhead.circuit.placed.assembly import Island
from levelhead.circuit.solving.solved import Solved
from levelhead.gear.figures import Figure

__all__ = ["WINDING_FIGURES", "Sensitivity", "island_sensitivities"]

Complex = NDArray[np.complex128]
Real = NDArray[np.float64]

WINDING_FIGURES: Final = ("ratio", "magnetising", "leakage", "primary", "secondary")
_NEGLIGIBLE: Final = 1e-6


class Sensitivity(NamedTuple):
    """Level (in dB) per dB of a figure; ``tag`` says where the figure stands."""

    tag: str
    figure: Figure
    slope: float


def island_sensitivities(
    island: Island, solved: Solved, address: str, drive: tuple[str, str | None], power: Real
) -> list[Sensitivity]:
    """Sensitivities of the level at a port to every figure of its island.

    Parameters
    ----------
    address
        The port whose voltage is sensed.
    drive
        Port and signal of the output that feeds it.
    power : float, (bands,)
        Power of the signal in each band, in any unit.
    """
    row = island.sense_addresses.index(address)
    columns = [
        number for number, each in enumerate(island.drives) if (each.port, each.signal) == drive
    ]
    weights = [island.drives[column].weight for column in columns]

    def total(part: Callable[[int], Complex]) -> Complex:
        return np.asarray(sum(w * part(c) for w, c in zip(weights, columns, strict=True)))

    transfer = total(lambda column: solved.transfer[row, column])
    passed = power * (transfer.real**2 + transfer.imag**2)
    if not passed.any():
        return []

    def mean(change: Complex) -> Real:
        """Mean over the power that passes of d ln|T|, for each figure."""
        relative = np.real(change / np.where(transfer == 0, 1.0, transfer))
        weighted: Real = (relative * passed).sum(axis=-1) / passed.sum()
        return weighted

    slopes = (
        mean(total(lambda column: solved.element_change(row, column))),
        mean(total(lambda column: solved.source_ohm_change(row, column))),
        mean(total(lambda column: solved.transformer_change(row, column))),
    )
    found = _summed(_named(island, *slopes))
    if address in island.rejections:
        common = total(lambda column: _let_through(island, solved, address, column))
        slope = -float(mean(common))  # it falls as the figure rises, dB by dB
        found.append(Sensitivity(f"{address}.cmrr", island.rejections[address], slope))
    return [each for each in found if abs(each.slope) > _NEGLIGIBLE]


def _let_through(island: Island, solved: Solved, address: str, column: int) -> Complex:
    """What a balanced input fails to reject of what both its pins share; (bands,). [V/V]"""
    weights = dict(island.senses[address])
    plus, minus, _ = island.pins[address]
    weights[plus] = weights.get(plus, 0.0) - 1.0  # what is left beside the difference
    weights[minus] = weights.get(minus, 0.0) + 1.0
    nodes = solved.node_transfer[:, column]
    return np.asarray(sum(each * nodes[island.numbers[node]] for node, each in weights.items()))


def _summed(found: Iterable[Sensitivity]) -> list[Sensitivity]:
    """One for each place of a figure: the two legs of an output move as one."""
    summed: dict[tuple[str, int], Sensitivity] = {}
    for each in found:
        key = (each.tag, id(each.figure))
        before = summed[key].slope if key in summed else 0.0
        summed[key] = each._replace(slope=before + each.slope)
    return list(summed.values())


def _named(island: Island, elements: Real, sources: Real, windings: Real) -> Iterator[Sensitivity]:
    """Slopes with the figures that they belong to; parts without a figure are sure."""
    for element, slope in zip(island.elements, elements, strict=True):
        if element.figure is not None:
            yield Sensitivity(element.tag, element.figure, float(slope))
    for drive, slope in zip(island.drives, sources, strict=True):
        if drive.figure is not None:
            yield Sensitivity(drive.tag, drive.figure, float(slope))
    for winding, row in zip(island.windings, windings, strict=True):
        for name, slope in zip(WINDING_FIGURES, row, strict=True):
            figure = winding.spread.get(name)
            if figure is not None:
                yield Sensitivity(f"{winding.tag}, {name}", figure, float(slope))
