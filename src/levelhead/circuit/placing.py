"""Drawings of pieces, placed by name: 128 equal channels are drawn once.

A piece of the same shape has the same islands but for its names and the lengths of its cables. The
elements of a placed island are made when somebody asks for them: the solver needs values only.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property, partial

import numpy as np
from numpy.typing import NDArray

from levelhead.circuit.islands import Island
from levelhead.circuit.lazily import Lazily
from levelhead.circuit.pieces import Piece
from levelhead.circuit.sketch import Element, Winding

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
        names = _Names.between(self.piece, piece)
        return tuple(names.items[item] for item in self.closed)

    def placed(self, piece: Piece) -> tuple[Island, ...]:
        """The islands of another piece of this shape."""
        if piece.names == self.piece.names and piece.lengths_m == self.piece.lengths_m:
            return self.islands
        names = _Names.between(self.piece, piece)
        lengths_m = None if piece.lengths_m == self.piece.lengths_m else np.array(piece.lengths_m)
        pairs = zip(self.islands, self._values, strict=True)
        return tuple(_placed(island, names, values, lengths_m) for island, values in pairs)

    @cached_property
    def _values(self) -> tuple[_Values, ...]:
        numbered = [
            (link.number, each.number) for link in self.piece.links for each in link.segments
        ]
        place = {name: row for row, name in enumerate(numbered)}
        return tuple(_Values.of(island, place) for island in self.islands)


@dataclass(frozen=True, slots=True, eq=False)
class _Values:
    """Values of the elements of an island: ``fixed + per_m * length[cable]``."""

    fixed: Real
    per_m: Real
    cable: NDArray[np.int64]

    @classmethod
    def of(cls, island: Island, place: Mapping[tuple[int, int], int]) -> _Values:
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
class _Names:
    """What the ports, items and links of one piece are called in another."""

    ports: Mapping[str, str]
    items: Mapping[str, str]
    links: Mapping[int, int]

    @classmethod
    def between(cls, one: Piece, other: Piece) -> _Names:
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


def _placed(island: Island, names: _Names, values: _Values, lengths_m: Real | None) -> Island:
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
        like=island,
        values=value,
    )


def _element(
    elements: Sequence[Element], names: _Names, value: Real | None, number: int
) -> Element:
    own = elements[number]
    now = own.value if value is None else float(value[number])
    return replace(own, tag=names.tag(own.tag), value=now)


def _winding(windings: Sequence[Winding], names: _Names, number: int) -> Winding:
    return replace(windings[number], tag=names.tag(windings[number].tag))
