"""What a level diagram shows: a panel for each way, with the points that say something new."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Final

from levelhead.chain.best_ways import called, strongest_ways, ways_through
from levelhead.chain.levels import PointLevels
from levelhead.chain.solution import Solution
from levelhead.drawing.lanes import four_levels
from levelhead.rig.naming import point_label
from levelhead.show.addresses import item_of

__all__ = ["SEATS", "Panel", "panel_of", "panels_of"]

SEATS: Final = "areas"  # in the place of an item
ENOUGH: Final = 400  # seats of an area: more change no mean
ALIKE_DB: Final = 0.25  # points of one wire: the second says nothing new


@dataclass(frozen=True, slots=True)
class Panel:
    """One way to draw: what it is called, its points, and what people call the items.

    ``left_out`` are points that repeat the one before, ``others`` counts further ways of the
    same source, ``seats`` what it brings to where people listen, behind a loudspeaker.
    """

    title: str
    points: tuple[PointLevels, ...]
    item_labels: Mapping[str, str]
    left_out: tuple[str, ...] = ()
    others: int = 0
    seats: tuple[PointLevels, ...] = ()

    def local(self, at: str) -> str:
        """A point within its item, in words; an area by its own name."""
        item, _, local = at.partition(".")
        return local if item == SEATS else point_label(local)

    def place(self, at: str) -> str:
        """A point with its item, in words: ``Desk, st1, input left``."""
        return f"{self.item_labels[item_of(at)]}, {self.local(at)}"

    @property
    def drawn(self) -> tuple[PointLevels, ...]:
        """All that has a lane: the points, then the seats."""
        return (*self.points, *self.seats)

    @property
    def tightest(self) -> PointLevels | None:
        """The point with the least headroom."""
        known = [each for each in self.points if each.headroom is not None]
        return min(known, key=lambda each: each.headroom or 0.0, default=None)

    @property
    def noisiest(self) -> PointLevels | None:
        """The point where the signal stands least above the noise; the last, where some tie."""
        known = [each for each in reversed(self.points) if each.signal_over_noise is not None]
        return min(known, key=lambda each: round(each.signal_over_noise or 0.0, 1), default=None)


def panels_of(solution: Solution, through: Sequence[str] = ()) -> tuple[Panel, ...]:
    """The strongest way of each source among those that pass every point of ``through``."""
    ways = ways_through(solution, through)
    return tuple(
        panel_of(
            solution, way, others=sum(item_of(each[0]) == item_of(way[0]) for each in ways) - 1
        )
        for way in strongest_ways(solution, ways)
    )


def panel_of(solution: Solution, way: Sequence[str], *, others: int = 0) -> Panel:
    """One way, with the points that say something new."""
    points = [solution.levels(address) for address in way]
    shown = tuple(_worth_showing(points))
    items = dict.fromkeys(item_of(address) for address in way)
    labels = {item: called(solution, item) for item in items} | {SEATS: "Seats"}
    ends = [item_of(way[0]), item_of(way[-1])]
    return Panel(
        title=" to ".join(dict.fromkeys(_named(labels[item], item) for item in ends)),
        points=shown,
        item_labels=labels,
        left_out=tuple(each.at for each in points if each not in shown),
        others=others,
        seats=tuple(_seats(solution, way)),
    )


def _seats(solution: Solution, way: Sequence[str]) -> Iterator[PointLevels]:
    """Areas by the names that people know, behind a way that ends in the air of the hall."""
    areas = solution.rig.show.areas
    if not areas or solution.point(way[-1]).unit != "Pa":
        return
    from levelhead.acoustics.heard.seat_points import seat_points  # loaded for shows with a place

    for point in seat_points(solution, {item_of(way[0])}, most_seats=ENOUGH):
        area = areas[point.at.partition(".")[2]]
        yield replace(point, at=f"{SEATS}.{area.label or area.id}")


def _named(label: str, item: str) -> str:
    return label if label == item else f"{label} ({item})"


def _worth_showing(points: Sequence[PointLevels]) -> Iterator[PointLevels]:
    """Points that say something new, and the last."""
    before: PointLevels | None = None
    for point in points:
        if before is None or point is points[-1] or not _is_alike(point, before):
            yield point
            before = point


def _is_alike(point: PointLevels, before: PointLevels) -> bool:
    pairs = zip(four_levels(point), four_levels(before), strict=True)
    return point.unit == before.unit and all(
        one == other or (one is not None and other is not None and abs(one - other) < ALIKE_DB)
        for one, other in pairs
    )
