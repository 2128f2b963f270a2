"""Drawings of pieces, placed by name: 128 equal channels are drawn once.

A piece of the same shape has the same islands but for its names and the lengths of its cables. The
elements of a placed island are made when somebody asks for them: the solver needs values only.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property, partial

import numpy as np
from numpy.typing import NDArray

from levelhead.circuit.drawn.islands import Island
from levelhead.circuit.drawn.sketch import Element, Winding
from levelhead.circuit.lazily import Lazily
from levelhead.circuit.placed.likeness import Names, Values, cables_of
from levelhead.circuit.placed.pieces import Piece

__all__ = ["Drawing"]

Real = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Drawing:
    """Islands of a piece, for all pieces of its shape.

    ``closed`` are its items whose battery a plug switches on.
    """

    piece: Piece
    islands: tuple[Island, ...]
    closed: tuple[str, ...] = ()

    def __repr__(self) -> str:
        return f"Drawing({self.piece!r}, {len(self.islands)} islands)"

    def closed_in(self, piece: Piece) -> tuple[str, ...]:
        """The same of another piece of this shape."""
        names = Names.between(self.piece, piece)
        return tuple(names.items[item] for item in self.closed)

    def placed(self, piece: Piece) -> tuple[Island, ...]:
        """The islands of another piece of this shape."""
        if piece.names == self.piece.names and piece.lengths_m == self.piece.lengths_m:
            return self.islands
        names = Names.between(self.piece, piece)
        lengths_m = None if piece.lengths_m == self.piece.lengths_m else np.array(piece.lengths_m)
        pairs = zip(self.islands, self._values, strict=True)
        return tuple(_placed(island, names, values, lengths_m) for island, values in pairs)

    @cached_property
    def _values(self) -> tuple[Values, ...]:
        rows = cables_of(self.piece)
        return tuple(Values.of(island, rows) for island in self.islands)


def _placed(island: Island, names: Names, values: Values, lengths_m: Real | None) -> Island:
    value = None if lengths_m is None else values.at(lengths_m)
    return Island(
        elements=Lazily(len(island.elements), partial(_element, island.elements, names, value)),
        windings=Lazily(len(island.windings), partial(_winding, island.windings, names)),
        drives=[
            replace(each, port=names.ports[each.port], tag=names.tag(each.tag))
            for each in island.drives
        ],
        feeds=[replace(each, port=names.ports[each.port]) for each in island.feeds],
        loads=[
            replace(each, item=names.items[each.item], port=names.ports[each.port])
            for each in island.loads
        ],
        noises=island.noises,
        senses={names.sense(address): weights for address, weights in island.senses.items()},
        pins={names.sense(address): nodes for address, nodes in island.pins.items()},
        rejections={names.sense(each): cmrr for each, cmrr in island.rejections.items()},
        like=island,
        values=value,
    )


def _element(elements: Sequence[Element], names: Names, value: Real | None, number: int) -> Element:
    own = elements[number]
    now = own.value if value is None else float(value[number])
    return replace(own, tag=names.tag(own.tag), value=now)


def _winding(windings: Sequence[Winding], names: Names, number: int) -> Winding:
    return replace(windings[number], tag=names.tag(windings[number].tag))
