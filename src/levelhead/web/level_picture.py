"""Levels along the way: one lane a point, from the noise on the left to the ceiling on the right.

Decibels have one length throughout the picture. Points that share a unit share a scale; where the
unit changes (sound, volts, digital) a new scale begins. The figures stand under or beside each
lane, so that nobody has to measure.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby
from typing import Any, Final, Self

from markupsafe import Markup

from levelhead.web.figures import level_figure
from levelhead.web.svg import element, path, picture, wrapped

NARROW: Final = 360  # units; drawn one to one on a phone
WIDE: Final = 960
TYPE: Final = 15.0
LANE: Final = 26.0
HEADS: Final = 46.0  # height of the column heads
MARGIN_DB: Final = 4.0  # room beyond the outermost figure of a scale
TICK_DB: Final = 20
LEAST_TICK: Final = 46.0  # between two numbers of a scale [drawing units]
LEAST_SPAN_DB: Final = 60.0  # a short scale would make small differences look large


@dataclass(frozen=True, slots=True)
class PointLevels:
    """Levels at one point, in its own unit; ``None`` is silence, or no such limit."""

    at: str
    unit: str
    nominal: float | None
    peak: float | None
    ceiling: float | None
    floor: float | None
    headroom: float | None

    @classmethod
    def from_json(cls, point: Mapping[str, Any]) -> Self:
        """One entry of ``levels.points``."""
        figures = ("nominal", "peak", "ceiling", "floor", "headroom")
        return cls(str(point["at"]), str(point["unit"]), *(point.get(name) for name in figures))

    @property
    def figures(self) -> tuple[float | None, float | None, float | None, float | None]:
        """As the columns of the picture, from left to right."""
        return self.floor, self.nominal, self.peak, self.ceiling

    @property
    def room(self) -> str:
        """Headroom in words."""
        if self.peak is None:
            return "silent"
        if self.headroom is None:
            return "no ceiling here"
        if self.headroom < 0:
            return f"clips by {-self.headroom:.1f} dB"
        return f"headroom {self.headroom:.1f} dB"


COLUMNS: Final = ("floor", "nominal", "peak", "ceiling")


@dataclass(frozen=True, slots=True)
class Layout:
    """Where things stand: stacked on a phone, side by side on a wide screen. [drawing units]"""

    width: float
    lane_left: float
    lane_right: float
    figure_right: tuple[float, float, float, float]
    label_width: float
    stacked: bool


def layout_for(width: int) -> Layout:
    """The layout of one width."""
    if width < WIDE:
        step = width / 4
        rights = (step - 12, 2 * step - 12, 3 * step - 12, 4 * step - 8)
        return Layout(width, 0, width, rights, width * 0.58, stacked=True)
    rights = (width - 246, width - 164, width - 82, width - 2)
    return Layout(width, 236, width - 320, rights, 220, stacked=False)


@dataclass(frozen=True, slots=True)
class Scale:
    """Decibels of one unit laid on the lane; its right end is the same place for all units."""

    top_db: float
    per_db: float
    right: float

    def x(self, level_db: float) -> float:
        """Place of a level. [drawing units]"""
        return self.right - (self.top_db - level_db) * self.per_db


def level_picture(points: Sequence[PointLevels], *, width: int = NARROW) -> Markup:
    """Nominal, peak, ceiling and floor at every point."""
    layout = layout_for(width)
    stretches = [(unit, list(group)) for unit, group in groupby(points, key=lambda p: p.unit)]
    span_db = max([LEAST_SPAN_DB, *(_span_db(group) for _, group in stretches)])
    per_db = (layout.lane_right - layout.lane_left - 8) / span_db
    drawn = [_hatching(width), _column_heads(layout)]
    y = HEADS
    for unit, group in stretches:
        scale = Scale(_top_db(group), per_db, layout.lane_right - 4)
        drawn.append(_scale_head(unit, scale, layout, y))
        y += 30
        for point in group:
            lane, y = _point(point, scale, layout, y)
            drawn.append(lane)
    return picture(
        *drawn,
        width=layout.width,
        height=y,
        label=f"Levels at {len(points)} points; the table below holds the figures.",
        class_="levels",
    )


def _known(points: Sequence[PointLevels]) -> list[float]:
    return [level for point in points for level in point.figures if level is not None] or [0.0]


def _top_db(points: Sequence[PointLevels]) -> float:
    return max(_known(points)) + MARGIN_DB


def _span_db(points: Sequence[PointLevels]) -> float:
    return _top_db(points) - min(_known(points)) + MARGIN_DB


def _hatching(width: int) -> Markup:
    """Noise is hatched, so that it shows in grey print too."""
    line = element("path", d="M0 6L6 0", class_="hatch")
    pattern = element(
        "pattern", line, id=f"noise-{width}", width=6, height=6, patternUnits="userSpaceOnUse"
    )
    return element("defs", pattern)


def _words(text: str, x: float, y: float, class_: str = "", anchor: str = "start") -> Markup:
    return element(
        "text", text, x=x, y=y, class_=f"words {class_}".strip(), text_anchor=anchor, font_size=TYPE
    )


def _column_heads(layout: Layout) -> Markup:
    """The four words above their figures, each under the sign that stands for it in the lanes."""
    heads = []
    for name, right in zip(COLUMNS, layout.figure_right, strict=True):
        heads += [_sign(name, right - 12, 14), _words(name, right, 42, "quiet", "end")]
    return element("g", *heads)


def _sign(name: str, x: float, y: float) -> Markup:
    """The sign of one level: hatched edge, disc, arrowhead, wall."""
    if name == "floor":
        return path([(x, y - 8), (x, y + 8)], class_="floor-edge")
    if name == "nominal":
        return element("circle", cx=x, cy=y, r=5.5, class_="nominal")
    if name == "peak":
        return path([(x - 8, y - 6), (x + 1, y), (x - 8, y + 6), (x - 8, y - 6)], class_="peak")
    return path([(x, y - LANE / 2), (x, y + LANE / 2)], class_="ceiling")


def _scale_head(unit: str, scale: Scale, layout: Layout, y: float) -> Markup:
    """The unit and the numbers of its scale."""
    unit_x = 0.0
    first = layout.lane_left + (len(unit) * TYPE * 0.7 + 30 if layout.stacked else 14)
    step = TICK_DB if TICK_DB * scale.per_db >= LEAST_TICK else 2 * TICK_DB
    top = math.floor(scale.top_db / step) * step
    ticks: list[Markup] = []
    level_db = top
    while scale.x(level_db) > first:
        if scale.x(level_db) < layout.lane_right - 12:
            ticks.append(_words(_tick(level_db, unit), scale.x(level_db), y + 20, "tick", "middle"))
        level_db -= step
    return element("g", _words(unit, unit_x, y + 20, "unit"), *ticks)


def _tick(level_db: int, unit: str) -> str:
    return level_figure(level_db, unit).removesuffix(".0")


def _point(point: PointLevels, scale: Scale, layout: Layout, y: float) -> tuple[Markup, float]:
    """Label, lane and figures of one point, and where the next one starts."""
    lines = wrapped(point.at, width=layout.label_width, type_size=TYPE)
    label_height = 19.0 * len(lines)
    label = [_words(line, 0, y + 16 + 19 * i, "at") for i, line in enumerate(lines)]
    over = "over" if point.headroom is not None and point.headroom < 0 else ""
    if layout.stacked:
        room = _words(point.room, layout.width, y + 16, over, "end")
        lane_y = y + label_height + 4 + LANE / 2
        figure_y = lane_y + LANE / 2 + 18
        end = figure_y + 18
    else:
        room = _words(point.room, 0, y + 16 + label_height, over or "quiet")
        lane_y = y + 4 + LANE / 2
        figure_y = lane_y + 5
        end = y + label_height + 19 + 16
    figures = [
        _words(level_figure(level, point.unit), right, figure_y, "figure", "end")
        for level, right in zip(point.figures, layout.figure_right, strict=True)
    ]
    lane = _lane(point, scale, layout, lane_y)
    return element("g", *label, room, lane, *figures), end


def _lane(point: PointLevels, scale: Scale, layout: Layout, y: float) -> Markup:
    """The drawing proper: hatched noise, disc, bar to the arrowhead, wall."""
    left, right = layout.lane_left, layout.lane_right
    drawn = [path([(left, y), (right, y)], class_="lane")]
    floor_x = None if point.floor is None else max(left, scale.x(point.floor))
    if floor_x is not None:
        box = {"x": left, "y": y - 8, "width": max(0.0, floor_x - left), "height": 16.0}
        drawn.append(element("rect", fill=f"url(#noise-{layout.width:.0f})", **box))
        drawn.append(_sign("floor", floor_x, y))
    if point.ceiling is not None:
        drawn.append(_sign("ceiling", scale.x(point.ceiling), y))
    if point.nominal is not None and point.peak is not None:
        drawn += _programme(point.nominal, point.peak, point.ceiling, scale=scale, y=y)
    return element("g", *drawn)


def _programme(
    nominal: float, peak: float, ceiling: float | None, *, scale: Scale, y: float
) -> list[Markup]:
    """From nominal to peak; what lies beyond the ceiling is drawn as lost."""
    start, tip = scale.x(nominal), scale.x(peak)
    wall = tip if ceiling is None else scale.x(ceiling)
    drawn = [path([(start, y), (min(tip, wall), y)], class_="programme")]
    if tip > wall:
        drawn.append(path([(max(start, wall), y), (tip, y)], class_="programme lost"))
    return [*drawn, _sign("nominal", start, y), _sign("peak", tip, y)]
