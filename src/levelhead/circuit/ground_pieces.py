"""Pieces of the copper as the ground network sees them: drawn one by one, kept while they stay."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from levelhead.circuit.ground_islands import GroundIsland, reduced
from levelhead.circuit.ground_sketch import draw_ground_of, shared_zeros
from levelhead.circuit.islands import cut
from levelhead.circuit.network import GROUND
from levelhead.circuit.pieces import Piece
from levelhead.rig.model import Node, RigPort

__all__ = ["GroundPiece", "ground_pieces", "heard_at"]


@dataclass(frozen=True, slots=True, eq=False)
class GroundPiece:
    """Links that hang together, reduced to what they are between the 0 V of items.

    Attributes
    ----------
    piece
        The copper; held, so that its plans stay the objects that its content names.
    items
        Whose 0 V it touches.
    places
        Node of the sketch at each pin of each cable.
    """

    piece: Piece
    items: tuple[str, ...]
    islands: tuple[GroundIsland, ...]
    places: Mapping[Node, int]

    def __repr__(self) -> str:
        return f"GroundPiece({self.piece!r})"


def heard_at(piece: Piece, inputs: Mapping[str, RigPort]) -> tuple[str, ...]:
    """Addresses of a piece at which the path of an item begins or is resumed."""
    addresses = (
        address
        for port in piece.ports
        for address in (port.address, *(f"{port.address}.{name}" for name in port.plan.signals))
    )
    return tuple(each for each in addresses if each in inputs)


def ground_pieces(
    pieces: Iterable[Piece],
    inputs: Mapping[str, RigPort],
    hz: NDArray[np.float64],
    before: Iterable[GroundIsland],
) -> list[GroundPiece]:
    """Pieces drawn and solved; islands of equal content once, or taken from ``before``."""
    whole = list(pieces)
    sketches = [draw_ground_of(piece, inputs) for piece in whole]
    zeros = [shared_zeros(*each) for each in zip(sketches, whole, strict=True)]
    islands = [
        [(island, shared) for island in cut(sketch, frozenset({GROUND, *shared}))]
        for sketch, shared in zip(sketches, zeros, strict=True)
    ]
    rows = zip(whole, sketches, zeros, reduced(islands, hz, before), strict=True)
    return [
        GroundPiece(
            piece=piece,
            items=tuple(shared.values()),
            islands=found,
            places={place: node for place, node in sketch.places if place[0] == "cable"},
        )
        for piece, sketch, shared, found in rows
    ]
