"""Where signals can get from a point as everything stands, and who listens at its end."""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property

from levelhead.chain.graph.points import Point
from levelhead.chain.solution import Solution
from levelhead.chain.wired.lanes import Lane
from levelhead.gear.plan import StagePlan
from levelhead.rig.listeners import is_for_the_stage, listeners_of

__all__ = ["Place", "Reach", "is_for_the_stage", "listeners_of", "speaks"]


def speaks(point: Point) -> bool:
    """Whether a point is the output of a loudspeaker, or of what is worn at the ears."""
    return point.unit == "Pa" and point.control is None and "." in point.address


@dataclass(frozen=True, slots=True)
class Place:
    """A stage where it stands: its point, its path in the rig, its place there."""

    number: int
    lane: Lane
    column: int

    @property
    def stage(self) -> StagePlan:
        """The stage itself."""
        return self.lane.path.stages[self.column]


@dataclass(frozen=True, eq=False)
class Reach:
    """Ways of a solved rig that are open, with or without a signal on them."""

    solution: Solution

    def __repr__(self) -> str:
        return f"Reach({self.solution!r})"

    @cached_property
    def places(self) -> Mapping[int, Place]:
        """Every stage by the number of its point."""
        found = {}
        for bank in self.solution.graph.wiring.banks:
            for lane, numbers in zip(bank.lanes, bank.numbers.tolist(), strict=True):
                for column, number in enumerate(numbers):
                    found[number] = Place(number, lane, column)
        return found

    @cached_property
    def _onward(self) -> Mapping[int, list[int]]:
        return self._follow("source", "target")

    @cached_property
    def _back(self) -> Mapping[int, list[int]]:
        return self._follow("target", "source")

    def _follow(self, start: str, end: str) -> Mapping[int, list[int]]:
        columns = self.solution.graph.columns
        found: dict[int, list[int]] = {}
        starts, ends = getattr(columns, start).tolist(), getattr(columns, end).tolist()
        for one, other in zip(starts, ends, strict=True):
            found.setdefault(one, []).append(other)
        return found

    def onward(self, starts: Iterable[int], without: Collection[int] = ()) -> set[int]:
        """Points that are reached from some points, these among them."""
        return _spread(self._onward, starts, without)

    def back(self, ends: Iterable[int], without: Collection[int] = ()) -> set[int]:
        """Points from which some points are reached, these among them."""
        return _spread(self._back, ends, without)

    def way_to_nearest(self, start: int, holds: Callable[[Point], bool]) -> list[int]:
        """Points behind a point on the shortest way to one of which something holds.

        Where it holds of none, the way to the point that is furthest off.
        """
        came, ahead, last = {start: start}, deque([start]), start
        while ahead:
            last = ahead.popleft()
            if holds(self.solution.graph.points[last]):
                break
            for target in self._onward.get(last, ()):
                if target not in came:
                    came[target] = last
                    ahead.append(target)
        return _traced(came, last)

    def stages(self, holds: Callable[[StagePlan], bool]) -> Iterator[Place]:
        """Every stage of which something holds."""
        for bank in self.solution.graph.wiring.banks:
            if any(holds(stage) for stage in bank.path.stages):
                for number in bank.numbers.ravel().tolist():
                    if holds(self.places[number].stage):
                        yield self.places[number]

    @cached_property
    def loudspeakers(self) -> Mapping[int, Point]:
        """Outputs of loudspeakers, and of what is worn at the ears, by their points."""
        points = self.solution.graph.points
        last = (
            bank.numbers[:, -1] for bank in self.solution.graph.wiring.banks if bank.path.to_air
        )
        numbers = [number for column in last for number in column.tolist()]
        return {number: points[number] for number in sorted(numbers) if speaks(points[number])}


def _traced(came: Mapping[int, int], last: int) -> list[int]:
    """Steps up to the last, without the first, which came from itself."""
    found: list[int] = []
    while came[last] != last:
        found.append(last)
        last = came[last]
    return found[::-1]


def _spread(
    follow: Mapping[int, list[int]], starts: Iterable[int], without: Collection[int]
) -> set[int]:
    seen = {each for each in starts if each not in without}
    ahead = list(seen)
    while ahead:
        for other in follow.get(ahead.pop(), ()):
            if other not in seen and other not in without:
                seen.add(other)
                ahead.append(other)
    return seen
