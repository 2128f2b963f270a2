"""Ways: the paths of each signal, from where it enters to where it ends."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from levelhead.chain.as_set.graph import Graph
from levelhead.chain.graph.points import Edge
from levelhead.rig.model import Rig

__all__ = ["Strongest", "signal_ways"]

Whole = NDArray[np.int64]
_MOST_KNOWN: Final = 4  # of a wiring: as it stands, and as trials turn it


class Strongest(Mapping[int, Edge]):
    """By the number of each point, the edge that brings it most; made when asked for."""

    def __init__(self, number: Whole, edges: Sequence[Edge]) -> None:
        self._number: list[int] = number.tolist()  # of the edge; below zero where nothing arrives
        self._edges = edges

    def __getitem__(self, point: int) -> Edge:
        number = self._number[point] if 0 <= point < len(self._number) else -1
        if number < 0:
            raise KeyError(point)
        return self._edges[number]

    def __iter__(self) -> Iterator[int]:
        return (point for point, number in enumerate(self._number) if number >= 0)

    def __len__(self) -> int:
        return sum(number >= 0 for number in self._number)


def signal_ways(rig: Rig, graph: Graph, edges: Whole) -> tuple[tuple[str, ...], ...]:
    """Addresses along every way of ``edges``, which stand strongest first at each point.

    They are found once for a wiring and the edges that carry, whatever the gains.
    """
    columns = graph.columns
    at_source = edges[np.argsort(columns.source[edges], kind="stable")]
    known, key = graph.wiring.known_paths, graph.live[at_source].tobytes()
    if key not in known:
        if len(known) >= _MOST_KNOWN:
            del known[next(iter(known))]
        known[key] = tuple(_signal_ways(rig, graph, at_source))
    return known[key]


def _signal_ways(rig: Rig, graph: Graph, edges: Whole) -> Iterator[tuple[str, ...]]:
    columns = graph.columns
    follow: dict[int, list[tuple[int, bool]]] = {}
    through = graph.is_through[edges].tolist()
    ends = zip(columns.source[edges].tolist(), columns.target[edges].tolist(), through, strict=True)
    for source, target, is_through in ends:
        follow.setdefault(source, []).append((target, is_through))
    finder = _Finder(rig, graph, follow)
    found: dict[tuple[str, ...], None] = {}
    for start in _starts(rig, graph):
        for way in finder.ways_from(start, frozenset()):
            found[finder.addresses(way)] = None
    return (way for way in found if len(way) > 1)


def _starts(rig: Rig, graph: Graph) -> list[int]:
    """Points where signals enter: of items in their order, then of sources in the air."""
    rank = {item: number for number, item in enumerate(rig.items)}
    starts = dict.fromkeys(entry.point for entry in graph.entries)
    return sorted(starts, key=lambda point: rank.get(graph.points[point].item, len(rank)))


@dataclass(frozen=True, slots=True)
class _Finder:
    """``follow``: points that each point leads to, with whether an island lies between."""

    rig: Rig
    graph: Graph
    follow: Mapping[int, Sequence[tuple[int, bool]]]

    def ways_from(self, point: int, seen: frozenset[int]) -> Iterator[tuple[int, ...]]:
        """Ways on from a point; a port beside the way (an output's own socket) is part of it."""
        beside, onward = self._split(point)
        lead = (point, *beside) if onward else (point,)
        ends = onward or beside
        if not ends:
            yield lead
        for target in ends:
            if target not in seen:
                for rest in self.ways_from(target, seen | {point}):
                    yield (*lead, *rest)

    def _split(self, point: int) -> tuple[list[int], list[int]]:
        """Points that only show what passes here, and those from which it goes on."""
        beside, onward = [], []
        for target, is_through in self.follow.get(point, ()):
            if target in self.follow or not is_through:
                onward.append(target)
            elif not self._is_through_socket(target):
                beside.append(target)
        return beside, onward

    def _is_through_socket(self, point: int) -> bool:
        """Whether the point is a through socket: the same copper as another port."""
        port = self.rig.ports.get(self.graph.wiring.addresses[point])
        return port is not None and port.plan.joined is not None

    def addresses(self, way: Sequence[int]) -> tuple[str, ...]:
        """Addresses along a way, without hidden points."""
        addresses = self.graph.wiring.addresses
        return tuple(addresses[number] for number in way if not addresses[number].startswith("~"))
