"""What differs between two pieces of one shape: names, and the values that cables' lengths make."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from levelhead.circuit.drawn.islands import Island
from levelhead.circuit.placed.pieces import Piece

__all__ = ["Names", "Values", "cables_of"]

Real = NDArray[np.float64]


def cables_of(piece: Piece) -> dict[tuple[int, int], int]:
    """Row of each cable among the lengths of a piece, by the numbers of its link and segment."""
    numbered = [(link.number, each.number) for link in piece.links for each in link.segments]
    return {name: row for row, name in enumerate(numbered)}


@dataclass(frozen=True, slots=True, eq=False)
class Values:
    """Values of the elements of an island: ``fixed + per_m * length[cable]``."""

    fixed: Real
    per_m: Real
    cable: NDArray[np.int64]

    @classmethod
    def of(cls, island: Island, place: Mapping[tuple[int, int], int]) -> Values:
        """Those of an island; ``place`` is the row of each cable (``cables_of``)."""
        rows = [
            (element.value, 0.0, 0)
            if (part := element.stretch) is None
            else (part.fixed, part.per_m, place[part.link, part.segment])
            for element in island.elements
        ]
        fixed, per_m, cable = np.array(rows, dtype=np.float64).reshape(-1, 3).T
        return cls(fixed, per_m, cable.astype(np.int64))

    def at(self, lengths_m: Real) -> Real:
        """Values with cables of these lengths."""
        return self.fixed + self.per_m * lengths_m[self.cable]


@dataclass(frozen=True, slots=True)
class Names:
    """What the ports, items and links of one piece are called in another."""

    ports: Mapping[str, str]
    items: Mapping[str, str]
    links: Mapping[int, int]

    @classmethod
    def between(cls, one: Piece, other: Piece) -> Names:
        """What the other piece calls the parts of the one."""
        ports = list(zip(one.ports, other.ports, strict=True))
        return cls(
            {mine.address: theirs.address for mine, theirs in ports},
            {mine.item.id: theirs.item.id for mine, theirs in ports},
            {a.number: b.number for a, b in zip(one.links, other.links, strict=True)},
        )

    def sense(self, address: str) -> str:
        """A port, or one signal of it."""
        if address in self.ports:
            return self.ports[address]
        port, _, signal = address.rpartition(".")
        return f"{self.ports[port]}.{signal}"

    def tag(self, tag: str) -> str:
        """A tag of a cable (``link 3, ...``), a port (``desk.ch1.mic.ground``) or an item."""
        head, _, rest = tag.partition(", ")
        if head.startswith("link "):
            return f"link {self.links[int(head[5:])]}, {rest}"
        port, _, figure = tag.rpartition(".")
        if port in self.ports:
            return f"{self.ports[port]}.{figure}"
        item, _, part = tag.partition(".")
        return f"{self.items[item]}.{part}"
