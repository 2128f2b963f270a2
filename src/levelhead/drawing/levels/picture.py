"""Levels along the way: one lane a point, from the noise on the left to the ceiling on the right.

For the page, in two widths. The figures stand under or beside each lane, so that nobody has to
measure.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby
from typing import Final

from markupsafe import Markup

from levelhead.chain.levels import PointLevels
from levelhead.drawing.figures import level_figure
from levelhead.drawing.lanes import (
    FIGURES,
    LANE,
    TYPE,
    Scale,
    clips,
    four_levels,
    hatching,
    lane,
    room_words,
    sign,
    span_db,
    tick_words,
    ticks,
    top_db,
    words,
)
from levelhead.drawing.levels.diagram import LEAST_SPAN_DB
from levelhead.drawing.svg import element, picture, wrapped

__all__ = ["NARROW", "WIDE", "level_picture"]

NARROW: Final = 360  # units; drawn one to one on a phone
WIDE: Final = 960
HEADS: Final = 46.0  # height of the column heads


@dataclass(frozen=True, slots=True)
class Layout:
    """Where things stand: stacked on a phone, side by side on a wide screen. [drawing units]"""

    width: float
    lane_left: float
    lane_right: float
    figure_right: tuple[float, float, float, float]
    label_width: float
    stacked: bool

    @property
    def hatch(self) -> str:
        """Name of the hatching; two widths stand on one page."""
        return f"noise-{self.width:.0f}"


def layout_for(width: int) -> Layout:
    """The layout of one width."""
    if width < WIDE:
        step = width / 4
        rights = (step - 12, 2 * step - 12, 3 * step - 12, 4 * step - 8)
        return Layout(width, 0, width, rights, width * 0.58, stacked=True)
    rights = (width - 246, width - 164, width - 82, width - 2)
    return Layout(width, 236, width - 320, rights, 220, stacked=False)


def level_picture(points: Sequence[PointLevels], *, width: int = NARROW) -> Markup:
    """Nominal, peak, ceiling and floor at every point."""
    layout = layout_for(width)
    stretches = [(unit, list(group)) for unit, group in groupby(points, key=lambda p: p.unit)]
    widest_db = max([LEAST_SPAN_DB, *(span_db(group) for _, group in stretches)])
    per_db = (layout.lane_right - layout.lane_left - 8) / widest_db
    drawn = [hatching(layout.hatch), _column_heads(layout)]
    y = HEADS
    for unit, group in stretches:
        scale = Scale(top_db(group), per_db, layout.lane_right - 4)
        drawn.append(_scale_head(unit, scale, layout, y))
        y += 30
        for point in group:
            row, y = _point(point, scale, layout, y)
            drawn.append(row)
    return picture(
        *drawn,
        width=layout.width,
        height=y,
        label=f"Levels at {len(points)} points; the table below holds the figures.",
        class_="levels",
    )


def _column_heads(layout: Layout) -> Markup:
    """The four words above their figures, each under the sign that stands for it in the lanes."""
    heads = []
    for name, right in zip(FIGURES, layout.figure_right, strict=True):
        heads += [sign(name, right - 12, 14), words(name, right, 42, "quiet", "end")]
    return element("g", *heads)


def _scale_head(unit: str, scale: Scale, layout: Layout, y: float) -> Markup:
    """The unit and the numbers of its scale."""
    first = layout.lane_left + (len(unit) * TYPE * 0.7 + 30 if layout.stacked else 14)
    numbers = (
        words(tick_words(level_db, unit), x, y + 20, "tick", "middle")
        for level_db, x in ticks(scale, left=first, right=layout.lane_right - 12)
    )
    return element("g", words(unit, 0.0, y + 20, "unit"), *numbers)


def _point(point: PointLevels, scale: Scale, layout: Layout, y: float) -> tuple[Markup, float]:
    """Label, lane and figures of one point, and where the next one starts."""
    lines = wrapped(point.at, width=layout.label_width, type_size=TYPE)
    label_height = 19.0 * len(lines)
    label = [words(line, 0, y + 16 + 19 * i, "at") for i, line in enumerate(lines)]
    over = "over" if clips(point) else ""
    if layout.stacked:
        room = words(room_words(point), layout.width, y + 16, over, "end")
        lane_y = y + label_height + 4 + LANE / 2
        figure_y = lane_y + LANE / 2 + 18
        end = figure_y + 18
    else:
        room = words(room_words(point), 0, y + 16 + label_height, over or "quiet")
        lane_y = y + 4 + LANE / 2
        figure_y = lane_y + 5
        end = y + label_height + 19 + 16
    figures = [
        words(level_figure(level, point.unit), right, figure_y, "figure", "end")
        for level, right in zip(four_levels(point), layout.figure_right, strict=True)
    ]
    ends = (layout.lane_left, layout.lane_right)
    drawn = lane(point, scale, lane_y, ends=ends, hatch=layout.hatch)
    return element("g", *label, room, drawn, *figures), end
