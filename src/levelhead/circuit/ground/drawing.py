"""Drawings of the ground network, placed by name: equal channels are drawn once.

Pieces of one shape, of which the same sockets are listened to, differ in names and in the lengths
of their cables only (``circuit.placed.likeness``).
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

import numpy as np

from levelhead.circuit.drawn.islands import cut
from levelhead.circuit.ground.islands import Reduced
from levelhead.circuit.ground.sketch import draw_ground_of, shared_zeros
from levelhead.circuit.network import GROUND
from levelhead.circuit.placed.likeness import Names, Values, cables_of
from levelhead.circuit.placed.pieces import Piece
from levelhead.rig.model import Node, RigPort

__all__ = ["GroundDrawing", "heard_at"]


def heard_at(piece: Piece, inputs: Mapping[str, RigPort]) -> tuple[bool, ...]:
    """Whether the path of an item begins, or is resumed, at each port and signal of a piece."""
    return tuple(each in inputs for each in _addresses(piece))


def _addresses(piece: Piece) -> Iterator[str]:
    for port in piece.ports:
        yield port.address
        for name in port.plan.signals:
            yield f"{port.address}.{name}"


@dataclass(frozen=True, slots=True, eq=False)
class GroundDrawing:
    """A piece as the ground network sees it.

    Attributes
    ----------
    items
        Whose 0 V it touches.
    islands
        Its networks, each with the values of their elements by the lengths of cables.
    places
        Node of the sketch at each pin of each cable.
    """

    piece: Piece
    items: tuple[str, ...]
    islands: tuple[tuple[Reduced, Values], ...]
    places: Mapping[Node, int]

    def __repr__(self) -> str:
        return f"GroundDrawing({self.piece!r})"

    @classmethod
    def of(cls, piece: Piece, inputs: Mapping[str, RigPort]) -> GroundDrawing:
        """A piece drawn, and cut where 0 V of items that it shares with others join it."""
        sketch = draw_ground_of(piece, inputs)
        shared = shared_zeros(sketch, piece)
        rows = cables_of(piece)
        islands = cut(sketch, frozenset({GROUND, *shared}))
        return cls(
            piece=piece,
            items=tuple(shared.values()),
            islands=tuple((Reduced.of(each, shared), Values.of(each, rows)) for each in islands),
            places={place: node for place, node in sketch.places if place[0] == "cable"},
        )

    def placed(self, piece: Piece) -> GroundDrawing:
        """The same of another piece of this shape."""
        if piece.names == self.piece.names and piece.lengths_m == self.piece.lengths_m:
            return self
        names = Names.between(self.piece, piece)
        lengths_m = None if piece.lengths_m == self.piece.lengths_m else np.array(piece.lengths_m)
        return GroundDrawing(
            piece=piece,
            items=tuple(names.items[each] for each in self.items),
            islands=tuple(
                (each.placed(names, None if lengths_m is None else values.at(lengths_m)), values)
                for each, values in self.islands
            ),
            places={
                ("cable", names.links[int(number)], *rest): node
                for (_, number, *rest), node in self.places.items()
            },
        )
