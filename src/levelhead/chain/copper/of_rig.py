"""The copper of a rig: its islands, solved for signals and phantom power, kept while it stays."""

from __future__ import annotations

import itertools
from collections.abc import Hashable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from levelhead.chain.copper.passages import PassageColumns, Passages, passages_of
from levelhead.circuit.direct.at_port import IslandDirect
from levelhead.circuit.direct.phantom import PhantomArrival
from levelhead.circuit.loads.loading import Output
from levelhead.circuit.placed.assembly import Drawing, Island, placed
from levelhead.circuit.placed.pieces import Piece, pieces_by_content
from levelhead.circuit.solving.refine import refined
from levelhead.circuit.solving.solve import solve_networks
from levelhead.circuit.solving.solved import Solved
from levelhead.quantity.bands import BANDS, mid_hz
from levelhead.rig.model import Rig

__all__ = ["Copper", "solve_copper"]


@dataclass(frozen=True, slots=True, eq=False)
class SolvedPiece:
    """A piece of the copper: its islands and what was found of them."""

    islands: tuple[Island, ...]
    keys: tuple[bytes, ...]  # of their networks
    solved: tuple[Solved, ...]
    passages: tuple[Passages, ...]
    phantom: tuple[PhantomArrival, ...]
    direct: tuple[IslandDirect, ...]

    def __repr__(self) -> str:
        return f"SolvedPiece({len(self.islands)} islands)"

    @classmethod
    def of(cls, rows: Sequence[tuple[Island, bytes, Solved, Passages]]) -> SolvedPiece:
        """Islands with what was found of each."""
        direct = tuple(IslandDirect(island) for island, *_ in rows)
        return cls(
            islands=tuple(island for island, *_ in rows),
            keys=tuple(key for _, key, *_ in rows),
            solved=tuple(solved for _, _, solved, _ in rows),
            passages=tuple(passages for *_, passages in rows),
            phantom=tuple(arrival for each in direct for arrival in each.arrivals),
            direct=direct,
        )

    @property
    def by_key(self) -> Iterator[tuple[bytes, Solved]]:
        """Solutions with the keys of their networks."""
        return zip(self.keys, self.solved, strict=True)


@dataclass(frozen=True, eq=False)
class Copper:
    """Islands of a rig with their solutions, and what phantom power arrives where.

    ``content`` are the pieces that were solved, ``closed_switches`` items whose battery a plug
    switches on.
    """

    rig: Rig
    content: Mapping[Hashable, Piece]
    pieces: Mapping[Hashable, SolvedPiece]
    drawings: Mapping[Hashable, Drawing]
    closed_switches: frozenset[str]

    def __repr__(self) -> str:
        return f"Copper({self.rig!r}, {len(self.pieces)} pieces)"

    @cached_property
    def islands(self) -> tuple[Island, ...]:
        """Passive networks between active stages."""
        return tuple(island for piece in self.pieces.values() for island in piece.islands)

    @cached_property
    def solved(self) -> tuple[Solved, ...]:
        """Solutions of the islands, in their order."""
        return tuple(solved for piece in self.pieces.values() for solved in piece.solved)

    @cached_property
    def passages(self) -> tuple[Passages, ...]:
        """What each island does to what crosses it."""
        return tuple(each for piece in self.pieces.values() for each in piece.passages)

    @cached_property
    def phantom(self) -> tuple[PhantomArrival, ...]:
        """What every phantom-powered item gets."""
        return tuple(arrival for piece in self.pieces.values() for arrival in piece.phantom)

    @cached_property
    def direct_at(self) -> Mapping[str, IslandDirect]:
        """The island of every plugged port, and of each of its signals, for direct current."""
        all_of_them = (each for piece in self.pieces.values() for each in piece.direct)
        return {address: each for each in all_of_them for address in each.island.pins}

    @cached_property
    def driven_from(self) -> Mapping[str, tuple[tuple[Island, Solved, Output], ...]]:
        """By port, the networks that an output there drives, each with the signal."""
        found: dict[str, tuple[tuple[Island, Solved, Output], ...]] = {}
        for island, solved in zip(self.islands, self.solved, strict=True):
            for output in dict.fromkeys((each.port, each.signal) for each in island.drives):
                found[output[0]] = (*found.get(output[0], ()), (island, solved, output))
        return found

    @cached_property
    def sensed_at(self) -> Mapping[str, tuple[tuple[Island, Solved], ...]]:
        """By address, the networks in which it is sensed, as solved."""
        found: dict[str, tuple[tuple[Island, Solved], ...]] = {}
        for pair in zip(self.islands, self.solved, strict=True):
            for address in dict.fromkeys(pair[0].senses):
                found[address] = (*found.get(address, ()), pair)
        return found

    def is_laid_like(self, other: Copper) -> bool:
        """Whether the same outputs drive and the same addresses are sensed, island by island."""
        if self is other:
            return True
        return [(each.senses, each.drivers) for each in self.passages] == [
            (each.senses, each.drivers) for each in other.passages
        ]

    @cached_property
    def columns(self) -> PassageColumns:
        """All passages as rows."""
        return PassageColumns.of(self.passages)

    @cached_property
    def thermal_v2_per_hz(self) -> NDArray[np.float64]:
        """Noise density of the resistances at every sense of every island, (senses, bands)."""
        found = [each.noise_v2_per_hz for each in self.solved]
        return np.concatenate(found) if found else np.zeros((0, BANDS))


def solve_copper(rig: Rig, previous: Copper | None = None) -> Copper:
    """Solve the pieces of a rig; what has been drawn, named or solved before is taken from there.

    A piece is taken whole when plans, lengths and names are those of before; drawn anew when its
    shape is new; and its islands are solved when no island of the same figures has been.
    """
    if previous is not None and is_same_copper(rig, previous.rig):
        return previous
    known = {} if previous is None else previous.pieces
    drawings = {} if previous is None else dict(previous.drawings)
    pieces = pieces_by_content(rig)
    fresh = {key: placed(piece, drawings) for key, piece in pieces.items() if key not in known}
    solved = _solved(fresh, known.values() if fresh else ())
    found = {key: known[key] if key in known else solved[key] for key in pieces}
    used = {piece.shape for piece in pieces.values()}
    drawn = {shape: drawings[shape] for shape in used if shape in drawings}
    closed = (item for each in pieces.values() for item in drawn[each.shape].closed_in(each))
    return Copper(rig, pieces, found, drawn, frozenset(closed))


def is_same_copper(one: Rig, other: Rig) -> bool:
    """Whether two rigs have the same gear, with its switches alike, and the same links."""
    return one.show.links == other.show.links and is_same_gear(one, other)


def is_same_gear(one: Rig, other: Rig) -> bool:
    """Whether two rigs have the same items by the same names, with their switches alike.

    Figures of a type as it stands are planned once, so that equal plans are the same object.
    """
    if list(one.items) != list(other.items):
        return False
    pairs = zip(one.items.values(), other.items.values(), strict=True)
    return all(
        mine is theirs or (mine.plan is theirs.plan and mine.label == theirs.label)
        for mine, theirs in pairs
    )


def _solved(
    pieces: Mapping[Hashable, Sequence[Island]], before: Iterable[SolvedPiece]
) -> dict[Hashable, SolvedPiece]:
    """Pieces with their islands solved; islands of equal content once."""
    islands = [island for piece in pieces.values() for island in piece]
    networks = [island.network() for island in islands]
    keys = [network.key for network in networks]
    known = {key: solved for piece in before for key, solved in piece.by_key}
    fresh = {key: net for key, net in zip(keys, networks, strict=True) if key not in known}
    known |= zip(fresh, refined(solve_networks(list(fresh.values()), mid_hz())), strict=True)
    solved = [known[key] for key in keys]
    rest = iter(zip(islands, keys, solved, passages_of(islands, solved), strict=True))
    return {
        name: SolvedPiece.of(list(itertools.islice(rest, len(piece))))
        for name, piece in pieces.items()
    }
