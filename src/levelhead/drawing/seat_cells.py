"""Seats seen from above as cells: a tone a step, lines between steps, numbers that can be read.

Darker is louder on paper, brighter on a dark screen. The stage is below, so that right is right
for who looks into the hall. The cells can lie under any plan whose places a :class:`Ground` tells.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final, Literal, TypeAlias

import numpy as np
from markupsafe import Markup
from numpy.typing import NDArray

from levelhead.acoustics.heard import AreaHeard, Heard
from levelhead.acoustics.speech import RATINGS
from levelhead.drawing.diagram_style import DARK, LIGHT, PRINT
from levelhead.drawing.figures import level_figure
from levelhead.drawing.lanes import TYPE, words
from levelhead.drawing.svg import element, path

__all__ = [
    "CLASS",
    "STEPS",
    "Box",
    "Ground",
    "Quantity",
    "Steps",
    "box_of",
    "figure_of",
    "seat_cells",
    "seat_map_style",
    "steps_of",
    "steps_over",
    "touch",
    "values_of",
]

Quantity = Literal["level", "speech"]
"""Level in dB(A), or the speech transmission index."""

CLASS: Final = "seat-map"
STEPS: Final = {  # from least to most: on light, on dark, on paper; text on each has 7 or more
    "light": ("#f4f8f9", "#dae7eb", "#c2d7de", "#abc8d2", "#96b9c7", "#80acbc"),
    "dark": ("#121619", "#1b262c", "#22333b", "#293f48", "#2f4a55", "#355562"),
    "print": ("#fafafa", "#e9e9e9", "#d9d9d9", "#cacaca", "#bbbbbb", "#aeaeae"),
}
STEP_DB: Final = (2.0, 3.0, 5.0, 10.0, 20.0)  # the first with which six steps reach
LINE: Final = 21.0
NUMBER: Final = 2.6 * TYPE  # a number with air around it
_RULES: Final = """\
SCOPE text{fill:var(--ink);font-size:15px;font-variant-numeric:tabular-nums}
SCOPE .title{font-weight:600;font-size:20px}
SCOPE .item{font-weight:600}
SCOPE .ground{fill:var(--ground)}
SCOPE .quiet{fill:var(--quiet)}
SCOPE .wall{fill:none;stroke:var(--ink);stroke-width:3;stroke-linejoin:miter}
SCOPE .stage{stroke:var(--ink);stroke-width:1.4;stroke-dasharray:9 5}
SCOPE .parts{fill:none;stroke:var(--ink);stroke-width:1.4}
SCOPE .rule{fill:none;stroke:var(--ink);stroke-width:1.6}
SCOPE .box{fill:var(--ink)}
SCOPE .halo{stroke:var(--ground);stroke-width:5;stroke-linejoin:round;paint-order:stroke}
"""

Real = NDArray[np.float64]


Box: TypeAlias = tuple[float, float, float, float]
"""Left, top, right and bottom of words or symbols. [drawing units]"""


def box_of(x: float, y: float, half: float, tall: float) -> Box:
    """The box around a middle, so wide to each side and so tall."""
    return x - half, y - tall / 2, x + half, y + tall / 2


def touch(one: Box, other: Box) -> bool:
    """Whether two boxes have a part in common."""
    across = one[0] < other[2] and other[0] < one[2]
    return across and one[1] < other[3] and other[1] < one[3]


@dataclass(frozen=True, slots=True, kw_only=True)
class Ground:
    """Metres of the hall on a drawing: to the right, and into the hall, which is up.

    So right is right for who looks into the hall. ``right_m`` is at ``left``, ``into_m`` at
    ``top``.
    """

    left: float
    top: float
    per_m: float
    right_m: float
    into_m: float

    def x(self, right_m: float) -> float:
        """How far right a place is. [drawing units]"""
        return self.left + (right_m - self.right_m) * self.per_m

    def y(self, into_m: float) -> float:
        """How far down a place is. [drawing units]"""
        return self.top + (self.into_m - into_m) * self.per_m


@dataclass(frozen=True, slots=True)
class Steps:
    """Numbers at which one tone ends and the next begins, from least to most."""

    limits: tuple[float, ...]

    def of(self, value: float) -> int:
        """Which step a number is in, from 0."""
        return sum(value >= limit for limit in self.limits)


# ---------------------------------------------------------------- what is shown


def values_of(area: AreaHeard, quantity: Quantity) -> Real:
    """What stands in the cells of an area, (seats,), rounded as it is printed.

    There is nothing for speech where there is no voice.
    """
    if quantity == "level":
        return area.seats.a_weighted_db.round()
    return np.empty(0) if area.speech is None else area.speech.sti.round(2)


def steps_of(heard: Heard, quantity: Quantity = "level") -> Steps:
    """Steps that hold for all areas: the ratings of speech, or even numbers of decibels."""
    return steps_over(
        [values_of(each, quantity) for each in heard.areas], is_speech=quantity == "speech"
    )


def steps_over(values: Sequence[Real], *, is_speech: bool = False) -> Steps:
    """Steps for the values of several areas, in dB, or of the speech transmission index."""
    if is_speech:
        return Steps(tuple(limit for limit, _ in RATINGS))
    every = np.concatenate([[0.0], *values])[1:]
    every = every[np.isfinite(every)]
    if not every.size:
        return Steps(())
    low, high = float(every.min()), float(every.max())
    most = len(STEPS["light"])
    step = next(
        (s for s in STEP_DB if math.floor(high / s) - math.floor(low / s) < most), STEP_DB[-1]
    )
    first, last = math.floor(low / step), math.floor(high / step)
    return Steps(
        tuple(step * number for number in range(max(first, last - most + 1) + 1, last + 1))
    )


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
    across, down = (float(each) * ground.per_m for each in size_m)

    def at(column: int, row: int) -> tuple[float, float]:
        return (
            ground.x(float(corner_m[0] + column * size_m[0])),
            ground.y(float(corner_m[1] + row * size_m[1])),
        )

    tones = [
        element(
            "rect",
            *([element("title", f"{area.area.name}: {figure_of(value, quantity)}")]),
            x=at(*cell)[0],
            y=at(*cell)[1] - down,
            width=across + 0.3,
            height=down + 0.3,
            shape_rendering="crispEdges",
            class_=f"s{steps.of(value)}",
        )
        for cell, value in known.items()
    ]
    lines = [path([at(*start), at(*end)], class_="parts") for start, end in _edges(known, steps)]
    apart = (max(1, math.ceil(NUMBER / across)), max(1, math.ceil(LINE / down)))
    counts = [1 + max(cell[axis] for cell in known) for axis in (0, 1)]
    first = [(count - 1) % step // 2 for count, step in zip(counts, apart, strict=True)]
    middles = {
        cell: (at(*cell)[0] + across / 2, at(*cell)[1] - down / 2)
        for cell in known
        if cell[0] % apart[0] == first[0] and cell[1] % apart[1] == first[1]
    }
    numbers = [
        words(figure_of(known[cell], quantity), x, y + TYPE * 0.36, anchor="middle")
        for cell, (x, y) in middles.items()
        if not any(touch(each, box_of(x, y, NUMBER / 2, TYPE)) for each in taken)
    ]
    return element("g", *tones, *lines, *numbers)


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


Corner = tuple[int, int]


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


def figure_of(value: float, quantity: Quantity) -> str:
    """A number in a cell: whole decibels, hundredths of the index."""
    return f"{value:.2f}" if quantity == "speech" else level_figure(round(value), "dB(A)")[:-2]


# ---------------------------------------------------------------- colours


def seat_map_style(class_: str = CLASS, *, on_paper: bool = False) -> str:
    """Rules for a drawing of this class: colours of docs/visual-language.md, tones of the cells."""
    scope = f".{class_}"
    faces = 'font-family:system-ui,"IBM Plex Sans",sans-serif'
    tones = "".join(f"{scope} .s{number}{{fill:var(--s{number})}}\n" for number in range(6))
    rules = f"{_RULES.replace('SCOPE', scope)}{tones}"
    if on_paper:
        for name, colour in _colours("print").items():
            rules = rules.replace(f"var(--{name})", colour)
        return f"{scope}{{{faces}}}\n{rules}"
    return (
        f"{scope}{{{faces};{_variables('light')}}}\n{rules}"
        f"@media (prefers-color-scheme:dark){{{scope}{{{_variables('dark')}}}}}\n"
        f"@media print{{{scope}{{{_variables('print')}}}}}\n"
    )


def _colours(scheme: str) -> dict[str, str]:
    """All colours of a scheme by name."""
    palette = {"light": LIGHT, "dark": DARK, "print": PRINT}[scheme]
    return {**palette, **{f"s{number}": tone for number, tone in enumerate(STEPS[scheme])}}


def _variables(scheme: str) -> str:
    return ";".join(f"--{name}:{colour}" for name, colour in _colours(scheme).items())
