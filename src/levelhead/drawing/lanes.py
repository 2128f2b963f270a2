"""The lane of one point: noise from the left, the programme, the ceiling; and its scale.

Decibels have one length throughout a picture. Points that share a unit share a scale; where the
unit changes (sound, volts, digital) a new scale begins. What a picture looks like is told in
docs/visual-language.md; colours come from its style sheet, by class.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final

from markupsafe import Markup

from levelhead.chain.levels import PointLevels
from levelhead.drawing.figures import level_figure
from levelhead.drawing.svg import element, path

__all__ = [
    "FIGURES",
    "LANE",
    "TYPE",
    "Scale",
    "clips",
    "four_levels",
    "hatching",
    "lane",
    "room_words",
    "sign",
    "span_db",
    "tick_words",
    "ticks",
    "top_db",
    "words",
]

TYPE: Final = 15.0
LANE: Final = 26.0
FIGURES: Final = ("floor", "nominal", "peak", "ceiling")
MARGIN_DB: Final = 4.0  # room beyond the outermost figure of a scale
TICK_DB: Final = 20
LEAST_TICK: Final = 46.0  # between two numbers of a scale [drawing units]


@dataclass(frozen=True, slots=True)
class Scale:
    """Decibels of one unit laid on the lane; its right end is the same place for all units."""

    top_db: float
    per_db: float
    right: float

    def x(self, level_db: float) -> float:
        """Place of a level. [drawing units]"""
        return self.right - (self.top_db - level_db) * self.per_db


# ---------------------------------------------------------------- levels


def four_levels(
    point: PointLevels,
) -> tuple[float | None, float | None, float | None, float | None]:
    """As the columns of a picture, from left to right: see ``FIGURES``."""
    return point.floor, point.nominal, point.peak, point.ceiling


def clips(point: PointLevels) -> bool:
    """Whether the peak lies above the ceiling, by a tenth of a decibel or more."""
    return point.headroom is not None and round(point.headroom, 1) < 0


def room_words(point: PointLevels) -> str:
    """Headroom in words."""
    if point.peak is None:
        return "silent"
    if point.headroom is None:
        return "no ceiling here"
    if clips(point):
        return f"clips by {-point.headroom:.1f} dB"
    return f"headroom {abs(point.headroom):.1f} dB"


def top_db(points: Sequence[PointLevels]) -> float:
    """Right end of the scale of these points, which share a unit."""
    return max(_known(points)) + MARGIN_DB


def span_db(points: Sequence[PointLevels]) -> float:
    """Decibels that the scale of these points has to show."""
    return top_db(points) - min(_known(points)) + MARGIN_DB


def _known(points: Sequence[PointLevels]) -> list[float]:
    return [level for point in points for level in four_levels(point) if level is not None] or [0.0]


# ---------------------------------------------------------------- signs


def words(
    text: str, x: float, y: float, class_: str = "", anchor: str = "start", *, size: float = TYPE
) -> Markup:
    """A text, in the one size of the pictures if no other is wanted."""
    return element(
        "text", text, x=x, y=y, class_=f"words {class_}".strip(), text_anchor=anchor, font_size=size
    )


def hatching(name: str) -> Markup:
    """Noise is hatched, so that it shows in grey print too."""
    line = element("path", d="M0 6L6 0", class_="hatch")
    pattern = element("pattern", line, id=name, width=6, height=6, patternUnits="userSpaceOnUse")
    return element("defs", pattern)


def sign(name: str, x: float, y: float) -> Markup:
    """The sign of one level: hatched edge, disc, arrowhead, wall."""
    if name == "floor":
        return path([(x, y - 8), (x, y + 8)], class_="floor-edge")
    if name == "nominal":
        return element("circle", cx=x, cy=y, r=5.5, class_="nominal")
    if name == "peak":
        return path([(x - 8, y - 6), (x + 1, y), (x - 8, y + 6), (x - 8, y - 6)], class_="peak")
    return path([(x, y - LANE / 2), (x, y + LANE / 2)], class_="ceiling")


def ticks(scale: Scale, *, left: float, right: float) -> Iterator[tuple[int, float]]:
    """Round levels of a scale between two places, each with its place."""
    step = TICK_DB if TICK_DB * scale.per_db >= LEAST_TICK else 2 * TICK_DB
    level_db = math.floor(scale.top_db / step) * step
    while scale.x(level_db) > left:
        if scale.x(level_db) < right:
            yield level_db, scale.x(level_db)
        level_db -= step


def tick_words(level_db: int, unit: str) -> str:
    """A round level as it stands at its scale."""
    return level_figure(level_db, unit).removesuffix(".0")


def lane(
    point: PointLevels, scale: Scale, y: float, *, ends: tuple[float, float], hatch: str
) -> Markup:
    """The drawing proper: hatched noise, disc, bar to the arrowhead, wall.

    ``ends`` are left and right of the lane, ``hatch`` the name that ``hatching`` was given.
    """
    left, right = ends
    drawn = [path([(left, y), (right, y)], class_="lane")]
    if point.floor is not None:
        floor_x = max(left, scale.x(point.floor))
        box = {"x": left, "y": y - 8, "width": max(0.0, floor_x - left), "height": 16.0}
        drawn.append(element("rect", fill=f"url(#{hatch})", **box))
        drawn.append(sign("floor", floor_x, y))
    if point.ceiling is not None:
        drawn.append(sign("ceiling", scale.x(point.ceiling), y))
    if point.nominal is not None and point.peak is not None:
        drawn += _programme(point.nominal, point.peak, point.ceiling, scale=scale, y=y)
    return element("g", *drawn)


def _programme(
    nominal: float, peak: float, ceiling: float | None, *, scale: Scale, y: float
) -> list[Markup]:
    """From nominal to peak; what lies beyond the ceiling is drawn as lost."""
    start, tip = scale.x(nominal), scale.x(peak)
    wall = tip if ceiling is None else scale.x(ceiling)
    drawn = []
    if start < wall:
        drawn.append(path([(start, y), (min(tip, wall), y)], class_="programme"))
    if tip > wall:
        drawn.append(path([(max(start, wall), y), (tip, y)], class_="programme lost"))
    return [*drawn, sign("nominal", start, y), sign("peak", tip, y)]
