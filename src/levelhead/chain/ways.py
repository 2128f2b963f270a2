"""Ways: the paths of each signal, from where it enters to where it ends."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from levelhead.chain.graph import Edge, Graph
from levelhead.rig.model import Rig

__all__ = ["signal_ways"]


def signal_ways(rig: Rig, graph: Graph, edges: Sequence[Edge]) -> tuple[tuple[str, ...], ...]:
    """Addresses along every way of ``edges``, which stand strongest first at each point."""
    follow: dict[int, list[Edge]] = {}
    for edge in edges:
        follow.setdefault(edge.source, []).append(edge)
    finder = _Finder(rig, graph, follow)
    found: dict[tuple[str, ...], None] = {}
    for start in dict.fromkeys(entry.point for entry in graph.entries):
        for way in finder.ways_from(start, frozenset()):
            found[finder.addresses(way)] = None
    return tuple(way for way in found if len(way) > 1)


@dataclass(frozen=True, slots=True)
class _Finder:
    rig: Rig
    graph: Graph
    follow: Mapping[int, Sequence[Edge]]

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
        for edge in self.follow.get(point, ()):
            if edge.target in self.follow or edge.through is None:
                onward.append(edge.target)
            elif not self._is_through_socket(edge.target):
                beside.append(edge.target)
        return beside, onward

    def _is_through_socket(self, point: int) -> bool:
        """Whether the point is a through socket: the same copper as another port."""
        port = self.rig.ports.get(self.graph.points[point].address)
        return port is not None and port.plan.joined is not None

    def addresses(self, way: Sequence[int]) -> tuple[str, ...]:
        """Addresses along a way, without hidden points."""
        points = (self.graph.points[number] for number in way)
        return tuple(point.address for point in points if not point.is_hidden)
