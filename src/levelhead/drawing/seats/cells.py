"""Seats seen from above as cells: a tone a step, lines between steps, numbers that can be read.

Darker is louder on paper, brighter on a dark screen. The stage is below, so that right is right
for who looks into the hall. The cells can lie under any plan whose places a :class:`Ground` tells.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from markupsafe import Markup
from numpy.typing import NDArray

from levelhead.acoustics.heard.heard import AreaHeard, Heard
from levelhead.drawing.ground import Box, Ground, box_of, touch
from levelhead.drawing.lanes import TYPE, words
from levelhead.drawing.seats.steps import Quantity, Steps, figure_of, steps_of, values_of
from levelhead.drawing.svg import element, path

__all__ = ["LINE", "NUMBER", "Corner", "seat_cells"]

LINE: Final = 21.0
NUMBER: Final = 2.6 * TYPE  # a number with air around it
Real = NDArray[np.float64]
Corner = tuple[int, int]


def seat_cells(
    heard: Heard,
    ground: Ground,
    *,
    quantity: Quantity = "level",
    steps: Steps | None = None,
    taken: Sequence[Box] = (),
) -> Markup:
    """Cells of all areas as one group, with lines between steps, and numbers where nothing stands.

    Its classes are ``s0`` to ``s5`` (see ``seat_map_style``), ``parts`` for the lines and
    ``words`` for the numbers.
    """
    scale = steps or steps_of(heard, quantity)
    areas = [
        _area(each, values_of(each, quantity), ground, (scale, taken), quantity)
        for each in heard.areas
    ]
    return element("g", *areas, class_="cells")


def _area(
    area: AreaHeard,
    values: Real,
    ground: Ground,
    drawn: tuple[Steps, Sequence[Box]],
    quantity: Quantity,
) -> Markup:
    """One area: tones, lines where a step ends, numbers as far apart as they can be read."""
    steps, taken = drawn
    if not values.size:
        return element("g")
    if len(values) == 1:
        return _place(area, float(values[0]), ground, steps, quantity)
    grid, size_m = _grid(area.seats.places_m, area)
    known = {cell: float(value) for cell, value in zip(grid, values, strict=True)}
    corner_m = area.seats.places_m[:, :2].min(0) - size_m / 2
    cells = _Cells(known, ground, corner_m, size_m)
    lines = [
        path([cells.at(*start), cells.at(*end)], class_="parts")
        for start, end in _edges(known, steps)
    ]
    tones = cells.tones(area.area.name, steps, quantity)
    return element("g", *tones, *lines, *cells.numbers(taken, quantity))


@dataclass(frozen=True, slots=True, eq=False)
class _Cells:
    """Values of an area by column and row, and where the drawing has each; rows count upwards."""

    known: Mapping[tuple[int, int], float]
    ground: Ground
    corner_m: Real
    size_m: Real

    @property
    def across(self) -> float:
        """Width of a cell in the drawing."""
        return float(self.size_m[0]) * self.ground.per_m

    @property
    def down(self) -> float:
        """Height of a cell in the drawing."""
        return float(self.size_m[1]) * self.ground.per_m

    def at(self, column: int, row: int) -> tuple[float, float]:
        """The lower left corner of a cell."""
        return (
            self.ground.x(float(self.corner_m[0] + column * self.size_m[0])),
            self.ground.y(float(self.corner_m[1] + row * self.size_m[1])),
        )

    def tones(self, name: str, steps: Steps, quantity: Quantity) -> Iterator[Markup]:
        """Each cell in the tone of its step, a little larger, so that no gap shows."""
        for cell, value in self.known.items():
            x, y = self.at(*cell)
            yield element(
                "rect",
                element("title", f"{name}: {figure_of(value, quantity)}"),
                x=x,
                y=y - self.down,
                width=self.across + 0.3,
                height=self.down + 0.3,
                shape_rendering="crispEdges",
                class_=f"s{steps.of(value)}",
            )

    def numbers(self, taken: Sequence[Box], quantity: Quantity) -> Iterator[Markup]:
        """Numbers in the middles of cells, in even steps, where nothing else stands."""
        for cell in self._numbered():
            left, bottom = self.at(*cell)
            x, y = left + self.across / 2, bottom - self.down / 2
            if not any(touch(each, box_of(x, y, NUMBER / 2, TYPE)) for each in taken):
                told = figure_of(self.known[cell], quantity)
                yield words(told, x, y + TYPE * 0.36, anchor="middle")

    def _numbered(self) -> list[tuple[int, int]]:
        """Cells as far apart as numbers can be read, as many left out on either side."""
        apart = (max(1, math.ceil(NUMBER / self.across)), max(1, math.ceil(LINE / self.down)))
        counts = [1 + max(cell[axis] for cell in self.known) for axis in (0, 1)]
        first = [(count - 1) % step // 2 for count, step in zip(counts, apart, strict=True)]
        return [
            cell
            for cell in self.known
            if cell[0] % apart[0] == first[0] and cell[1] % apart[1] == first[1]
        ]


def _place(
    area: AreaHeard, value: float, ground: Ground, steps: Steps, quantity: Quantity
) -> Markup:
    """One place: a disc with its number."""
    right_m, into_m = (float(each) for each in area.seats.places_m[0, :2])
    x, y = ground.x(right_m), ground.y(into_m)
    disc = {"cx": x, "cy": y, "r": NUMBER / 2}
    return element(
        "g",
        element("circle", element("title", area.area.name), **disc, class_=f"s{steps.of(value)}"),
        element("circle", **disc, class_="parts"),
        words(figure_of(value, quantity), x, y + TYPE * 0.36, anchor="middle"),
    )


def _grid(places_m: Real, area: AreaHeard) -> tuple[list[tuple[int, int]], Real]:
    """Column and row of each seat, and the size of a cell. [m]"""
    corners = np.array(area.area.corners_m)
    whole_m = corners.max(0) - corners.min(0)
    middles = [np.unique(places_m[:, axis].round(6)) for axis in (0, 1)]
    size_m = np.array([_step(middles[axis], float(whole_m[axis])) for axis in (0, 1)])
    numbers = np.rint((places_m[:, :2] - places_m[:, :2].min(0)) / size_m).astype(int)
    return [(int(column), int(row)) for column, row in numbers], size_m


def _step(middles_m: Real, whole_m: float) -> float:
    """Distance of neighbours in one direction, or all of it where there are none. [m]"""
    return float(np.diff(middles_m).min()) if middles_m.size > 1 else whole_m


def _edges(known: dict[Corner, float], steps: Steps) -> Iterator[tuple[Corner, Corner]]:
    """Sides of cells at which the step changes, or the area ends."""
    for (column, row), value in known.items():
        step = steps.of(value)
        sides = {
            (column - 1, row): ((column, row), (column, row + 1)),
            (column, row - 1): ((column, row), (column + 1, row)),
            (column + 1, row): ((column + 1, row), (column + 1, row + 1)),
            (column, row + 1): ((column, row + 1), (column + 1, row + 1)),
        }
        for other, side in sides.items():
            is_later = other > (column, row)
            if other not in known or (is_later and steps.of(known[other]) != step):
                yield side
