"""Pieces of the copper as the ground network sees them: drawn one by one, kept while they stay."""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Iterator, Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from levelhead.circuit.ground.drawing import GroundDrawing, heard_at
from levelhead.circuit.ground.islands import GroundIsland, reduced
from levelhead.circuit.placed.pieces import Piece
from levelhead.rig.model import Node, RigPort

__all__ = ["GroundPiece", "ground_pieces"]


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


def ground_pieces(
    pieces: Iterable[Piece],
    inputs: Mapping[str, RigPort],
    hz: NDArray[np.float64],
    before: Iterable[GroundIsland],
) -> list[GroundPiece]:
    """Pieces drawn and solved; islands of equal content once, or taken from ``before``."""
    drawn = list(_drawn(pieces, inputs))
    islands = reduced([[each for each, _ in one.islands] for one in drawn], hz, before)
    return [
        GroundPiece(one.piece, one.items, found, one.places)
        for one, found in zip(drawn, islands, strict=True)
    ]


def _drawn(pieces: Iterable[Piece], inputs: Mapping[str, RigPort]) -> Iterator[GroundDrawing]:
    """Each piece drawn, those of one shape once."""
    known: dict[Hashable, GroundDrawing] = {}
    for piece in pieces:
        name = (piece.shape, heard_at(piece, inputs))
        if name not in known:
            known[name] = GroundDrawing.of(piece, inputs)
        yield known[name].placed(piece)
