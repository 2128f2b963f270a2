"""Boxes and leads with their places: the whole drawing as figures, the same for the same chart."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

from levelhead.drawing.flow.columns import columns_of, returns_of
from levelhead.drawing.flow.model import Chart, Lead, Point, Side
from levelhead.drawing.flow.order import Layers, layers_of, ordered, passage
from levelhead.drawing.flow.places import heights_of, lowered
from levelhead.drawing.flow.routes import Bend, Tracks, tracks_of
from levelhead.drawing.flow.sizes import ROW, Size, size_of

__all__ = ["EDGE", "Layout", "Spot", "layout_of"]

EDGE: Final = 16.0
_STUB: Final = 30.0  # a lead runs level from its socket, with room for the number of its cables
_TRACK: Final = 11.0
_LANE: Final = 14.0
_TRIES: Final = 4  # to part leads that wait for one another


@dataclass(frozen=True, slots=True)
class Spot:
    """A box with its place."""

    x: float
    y: float
    size: Size


@dataclass(frozen=True, slots=True)
class Layout:
    """Places of all boxes and ways of all leads; ``order`` keeps the next drawing like this one."""

    spots: Mapping[str, Spot]
    ways: Mapping[str, tuple[Point, ...]]
    returns: frozenset[str]
    width: float
    height: float
    order: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class _Space:
    """Between two columns: from where to where, and the track of each lead in it."""

    left: float
    tracks: Mapping[str, int]

    def track(self, lead: str) -> float | None:
        """Where the lead turns; ``None`` if it runs straight on."""
        number = self.tracks.get(lead)
        return None if number is None else self.left + _STUB + (number + 0.5) * _TRACK


def layout_of(chart: Chart, before: Layout | None = None) -> Layout:
    """Lay a chart out; the order of an earlier drawing is kept where nothing asks for another."""
    returns = returns_of(chart)
    column = columns_of(chart, returns)
    kept = () if before is None else before.order
    layers = ordered(layers_of(chart, column, returns, kept), frozenset(kept))
    return _Ground(chart, layers, column, returns).layout()


class _Ground:
    """Heights first, then what runs through each space, then how wide the spaces are."""

    def __init__(
        self, chart: Chart, layers: Layers, column: Mapping[str, int], returns: frozenset[str]
    ) -> None:
        self.chart, self.layers, self.column, self.returns = chart, layers, column, returns
        self.sizes = {name: size_of(box) for name, box in chart.boxes.items()}
        self.pins = {
            (lead.id, box, side): self.sizes[box].pin(row)
            for lead in chart.leads
            for side, (box, row) in (("right", lead.start), ("left", lead.end))
        }
        self.tall = {name: size.height for name, size in self.sizes.items()}
        self.tops = heights_of(layers, self.tall, self.pins)
        self.bends: list[list[Bend]] = []
        self.tracks: list[Tracks] = []
        self._route()
        for _ in range(_TRIES):
            if not self._lower_circles():
                break
            self._route()
        self.spaces, self.lefts, self.width = self._across()

    def _route(self) -> None:
        """What runs through each space, and on which track, at the heights that boxes have."""
        self.lanes = self._lanes()
        self.levels = {
            lead.id: self._levels(lead) for lead in self.chart.leads if lead.id not in self.returns
        }
        before = dict(zip(map(tuple, self.bends), self.tracks, strict=True))
        self.bends = self._bends()
        self.tracks = [before.get(tuple(each)) or tracks_of(each) for each in self.bends]

    def _lower_circles(self) -> bool:
        """Move boxes half a row down where leads wait for one another; whether there were any."""
        goals = [
            (number, self._met(self.bends[number][tracks.circle].lead, number))
            for number, tracks in enumerate(self.tracks)
            if tracks.circle is not None and number < len(self.layers.columns)
        ]
        for number, name in goals:
            lowered(self.layers.columns[number], name, ROW / 2, self.tall, self.tops)
        return bool(goals)

    def _met(self, lead_id: str, column: int) -> str:
        """Box or passage to which a lead comes in a column."""
        lead = next(each for each in self.chart.leads if each.id == lead_id)
        ends = {self.column[each]: each for each in (lead.from_box, lead.to_box)}
        return ends.get(column) or passage(lead_id, column)

    def layout(self) -> Layout:
        """Everything with its place."""
        spots = {
            name: Spot(self.lefts[self.column[name]], EDGE + self.tops[name], size)
            for name, size in self.sizes.items()
        }
        ways = {lead.id: self._way(lead, spots) for lead in self.chart.leads}
        bottoms = [spot.y + spot.size.height for spot in spots.values()]
        height = max([*bottoms, *(EDGE + lane for lane in self.lanes.values())], default=0.0) + EDGE
        order = tuple(name for names in self.layers.columns for name in names)
        return Layout(spots, ways, self.returns, self.width, height, order)

    def _lanes(self) -> dict[str, float]:
        """Height of the lane of each return, below all boxes and passages."""
        bottom = max(
            (top + self.tall.get(name, 0.0) for name, top in self.tops.items()), default=0.0
        )
        back = [lead.id for lead in self.chart.leads if lead.id in self.returns]
        return {lead: bottom + (number + 1.5) * _LANE for number, lead in enumerate(back)}

    def _height(self, lead: str, name: str, side: Side) -> float:
        """Where a lead meets a box or a passage."""
        return self.tops[name] + self.pins.get((lead, name, side), 0.0)

    def _levels(self, lead: Lead) -> list[float]:
        """Heights at which a lead leaves its box, passes each column, and comes to its goal."""
        between = range(self.column[lead.from_box] + 1, self.column[lead.to_box])
        return [
            self._height(lead.id, lead.from_box, "right"),
            *(self.tops[passage(lead.id, number)] for number in between),
            self._height(lead.id, lead.to_box, "left"),
        ]

    def _bends(self) -> list[list[Bend]]:
        """What runs through each space; space 0 is left of the first column."""
        spaces: list[list[Bend]] = [[] for _ in range(len(self.layers.columns) + 1)]
        for lead in self.chart.leads:
            if lead.id not in self.returns:
                first = self.column[lead.from_box] + 1
                for number, (left, right) in enumerate(pairwise(self.levels[lead.id]), first):
                    spaces[number].append(Bend(lead.id, left, right))
        for lead in self.chart.leads:
            if lead.id in self.returns:
                out = self._height(lead.id, lead.from_box, "right")
                back = self._height(lead.id, lead.to_box, "left")
                lane = self.lanes[lead.id]
                spaces[self.column[lead.from_box] + 1].append(Bend(lead.id, out, None, lane))
                spaces[self.column[lead.to_box]].append(Bend(lead.id, None, back, lane))
        return spaces

    def _across(self) -> tuple[list[_Space], list[float], float]:
        """The spaces, the left edge of each column, and the width of it all."""
        x = EDGE
        spaces, lefts = [], []
        for number, (through, tracks) in enumerate(zip(self.bends, self.tracks, strict=True)):
            found = tracks.of
            spaces.append(_Space(x, {through[at].lead: track for at, track in found.items()}))
            if through or 0 < number < len(self.layers.columns):
                x += 2 * _STUB + (max(found.values(), default=-1) + 1) * _TRACK
            if number < len(self.layers.columns):
                lefts.append(x)
                names = self.layers.columns[number]
                x += max(
                    (self.sizes[each].width for each in names if each in self.sizes), default=0
                )
        return spaces, lefts, x + EDGE

    def _way(self, lead: Lead, spots: Mapping[str, Spot]) -> tuple[Point, ...]:
        """Corners of a lead from socket to socket."""
        one, other = spots[lead.from_box], spots[lead.to_box]
        start = (one.x + one.size.width, one.y + one.size.pin(lead.start[1]))
        end = (other.x, other.y + other.size.pin(lead.end[1]))
        if lead.id in self.returns:
            return (start, *self._around(lead, start, end), end)
        points = [start]
        arrivals = self.levels[lead.id][1:]
        for number, arrival in enumerate(arrivals, self.column[lead.from_box] + 1):
            turn = self.spaces[number].track(lead.id)
            if turn is not None:
                points += [(turn, points[-1][1]), (turn, EDGE + arrival)]
        return (*points, (end[0], points[-1][1]))

    def _around(self, lead: Lead, start: Point, end: Point) -> tuple[Point, ...]:
        """Corners of a return: down to its lane, below everything, up again."""
        out = self.spaces[self.column[lead.from_box] + 1].track(lead.id) or start[0]
        back = self.spaces[self.column[lead.to_box]].track(lead.id) or end[0]
        lane = EDGE + self.lanes[lead.id]
        return ((out, start[1]), (out, lane), (back, lane), (back, end[1]))
