"""Level diagrams: the way of a signal from its source to the loudspeaker, on a sheet of its own.

A panel a way, one under the other; a lane a point, as in the picture on the page. Where the unit
changes the scale ends with a broken rule and a new one begins: no axis runs through sound, volts
and full scale. One length of a decibel, and one scale a unit, hold for all panels.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from itertools import groupby, pairwise
from typing import Final

from markupsafe import Markup

from levelhead.chain.best_ways import called, silent_sources
from levelhead.chain.levels import PointLevels
from levelhead.chain.solution import Solution
from levelhead.drawing.diagram_style import paper_style, style_sheet
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
    sign,
    span_db,
    tick_words,
    ticks,
    top_db,
    words,
)
from levelhead.drawing.levels.panels import Panel, panels_of
from levelhead.drawing.svg import WIDEST_LETTER, element, path, wrapped
from levelhead.show.addresses import item_of
from levelhead.show.fingerprint import fingerprint

__all__ = ["CLASS", "WIDTH", "level_diagram", "level_diagram_of"]

CLASS: Final = "level-diagram"
WIDTH: Final = 1110.0
EDGE: Final = 14.0  # free all round
LINE: Final = 20.0  # from text to text
TITLE: Final = 20.0  # type size
LABELS: Final = 216.0  # width of the names of points
LANE_LEFT: Final = EDGE + LABELS + 14
LANE_RIGHT: Final = 620.0
COLUMNS: Final = (690.0, 764.0, 836.0, 908.0, 996.0, WIDTH - EDGE)  # right edges of the figures
HEADS: Final = ("headroom", "over noise")  # after the four levels
LEAST_SPAN_DB: Final = 60.0  # a short scale would make small differences look large
_HATCH: Final = "level-diagram-noise"


# ---------------------------------------------------------------- from a solution


def level_diagram_of(solution: Solution, through: Sequence[str] = ()) -> str:
    """The level diagram of a solved show, as SVG that stands alone.

    Parameters
    ----------
    through
        Addresses (or their beginnings) that every way drawn has to pass. Of each source the way is
        drawn on which it arrives strongest.

    Raises
    ------
    SolveError
        An address that no point has.
    """
    show = solution.rig.show
    panels = panels_of(solution, through)
    date = f", {show.date}" if show.date else ""
    head = f"version {show.version}{date}, fingerprint {fingerprint(show)}"
    silent = () if through else tuple(called(solution, each) for each in silent_sources(solution))
    return level_diagram(panels, title=show.name, head=head, silent=silent)


# ---------------------------------------------------------------- the sheet


@dataclass(slots=True)
class _Pen:
    """What is drawn so far, and how far down."""

    y: float
    drawn: list[Markup] = field(default_factory=list)

    def text(self, text: str, class_: str = "", *, size: float = TYPE) -> None:
        """A text over the whole width, in as many lines as it takes."""
        for each in wrapped(text, width=WIDTH - 2 * EDGE, type_size=size):
            self.drawn.append(words(each, EDGE, self.y + size, class_, size=size))
            self.y += size + LINE - TYPE


def level_diagram(
    panels: Sequence[Panel],
    *,
    title: str,
    head: str = "",
    silent: Sequence[str] = (),
    is_paper: bool = False,
) -> str:
    """Panels one under the other, with a title and what the signs mean.

    Parameters
    ----------
    head
        A line under the title.
    silent
        What people call sources that get nowhere; they are named.
    is_paper
        Black on white, for a sheet that has its own head: the ways alone.
    """
    pen = _Pen(EDGE)
    if not is_paper:
        pen.text(f"{title}: levels from source to loudspeaker", "title", size=TITLE)
    if head:
        pen.text(head, "quiet")
    for unreached in silent:
        pen.text(f"{unreached}: no signal gets through, so nothing is drawn.", "over")
    if not panels:
        pen.text("No way carries a signal here.")
    scales = _scales(panels)
    for panel in panels:
        _draw_panel(pen, panel, scales)
    pen.y += 10
    pen.text(
        "Behind a sum stand the levels of all that is mixed there, at a loudspeaker those 1 m "
        "away. Headroom is ceiling less peak; over noise is nominal less the "
        "A-weighted floor; both in dB, the least in a frame.",
        "quiet",
    )
    style = paper_style(CLASS) if is_paper else style_sheet(CLASS)
    return _sheet(pen, f"{title}: level diagrams of {len(panels)} ways", style)


def _sheet(pen: _Pen, label: str, style: str) -> str:
    """The whole drawing, with its style sheet in it."""
    height = pen.y + EDGE
    return str(
        element(
            "svg",
            element("title", label),
            element("style", Markup(style)),  # noqa: S704 - no text of users in it
            hatching(_HATCH),
            element("rect", width=WIDTH, height=height, class_="ground"),
            *pen.drawn,
            xmlns="http://www.w3.org/2000/svg",
            class_=CLASS,
            width=WIDTH,
            height=height,
            viewBox=f"0 0 {WIDTH:g} {height:g}",
            role="img",
        )
        + "\n"
    )


def _scales(panels: Sequence[Panel]) -> dict[str, Scale]:
    """The scale of each unit; all end at the same place and have the same decibels."""
    by_unit: dict[str, list[PointLevels]] = {}
    for panel in panels:
        for point in panel.drawn:
            by_unit.setdefault(point.unit, []).append(point)
    widest_db = max([LEAST_SPAN_DB, *(span_db(points) for points in by_unit.values())])
    per_db = (LANE_RIGHT - LANE_LEFT - 8) / widest_db
    return {unit: Scale(top_db(points), per_db, LANE_RIGHT - 4) for unit, points in by_unit.items()}


# ---------------------------------------------------------------- a panel


def _draw_panel(pen: _Pen, panel: Panel, scales: dict[str, Scale]) -> None:
    pen.y += 12
    pen.drawn.append(path([(EDGE, pen.y), (WIDTH - EDGE, pen.y)], class_="rule"))
    pen.y += 4
    pen.text(panel.title, "item")
    pen.text(_summary(panel), "quiet")
    _draw_column_heads(pen)
    before: PointLevels | None = None
    for unit, group in groupby(panel.drawn, key=lambda point: point.unit):
        points = list(group)
        _draw_scale_head(pen, unit, scales[unit], before, points[0])
        _draw_stretch(pen, panel, points, scales[unit], before)
        before = points[-1]
    if panel.left_out:
        pen.y += 4
        named = "; ".join(map(panel.place, panel.left_out))
        pen.text(f"As the point before: {named}.", "quiet")


def _summary(panel: Panel) -> str:
    """The tightest points in words, and what else there is of this source."""
    said = []
    tight, noisy = panel.tightest, panel.noisiest
    if tight is not None and tight.headroom is not None:
        room = f"{abs(tight.headroom):.1f} dB"
        said.append(
            f"Clips by {room} at {panel.place(tight.at)}."
            if clips(tight)
            else f"Least headroom: {room}, at {panel.place(tight.at)}."
        )
    if noisy is not None and noisy.signal_over_noise is not None:
        said.append(
            f"Least over noise: {noisy.signal_over_noise:.1f} dB, at {panel.place(noisy.at)}."
        )
    if panel.others:
        ways = "1 other is" if panel.others == 1 else f"{panel.others} others are"
        said.append(f"Its strongest way; {ways} not drawn.")
    return " ".join(said)


def _draw_column_heads(pen: _Pen) -> None:
    """The words above the figures, the four levels under the sign that stands for them."""
    pen.y += 2
    for name, right in zip(FIGURES, COLUMNS, strict=False):
        pen.drawn.append(sign(name, right - 12, pen.y + 14))
    for name, right in zip((*FIGURES, *HEADS), COLUMNS, strict=True):
        pen.drawn.append(words(name, right, pen.y + 44, "quiet", "end"))
    pen.y += 30  # the head of the first scale stands beside the words


def _draw_scale_head(
    pen: _Pen, unit: str, scale: Scale, before: PointLevels | None, first: PointLevels
) -> None:
    """The unit with the numbers of its scale; where a scale ends before it, the step is marked."""
    if before is not None:
        pen.y += 6
        pen.drawn.append(_broken_rule(pen.y))
        step = f"{_written(before)} become {_written(first)}"
        pen.drawn.append(words(step, LANE_LEFT, pen.y + 22, "quiet"))
        pen.drawn.append(words(f"new scale: {unit}", EDGE, pen.y + 22, "unit"))
        pen.y += 26
    else:
        pen.drawn.append(words(unit, EDGE, pen.y + 14, "unit"))
    for level_db, x in ticks(scale, left=LANE_LEFT + 12, right=LANE_RIGHT - 12):
        pen.drawn.append(words(tick_words(level_db, unit), x, pen.y + 14, "tick", "middle"))
    pen.y += 20


def _written(point: PointLevels) -> str:
    return f"{level_figure(point.nominal, point.unit)} {point.unit}"


def _broken_rule(y: float) -> Markup:
    """A rule with two gaps and a kink: here one scale ends and another begins."""
    middle = (LANE_LEFT + LANE_RIGHT) / 2
    kink = [(middle - 12, y), (middle - 4, y - 6), (middle + 4, y + 6), (middle + 12, y)]
    return path([(EDGE, y), *kink, (WIDTH - EDGE, y)], class_="step")


def _draw_stretch(
    pen: _Pen,
    panel: Panel,
    points: Sequence[PointLevels],
    scale: Scale,
    before: PointLevels | None,
) -> None:
    """Points that share a scale: names, lanes, figures; lanes are joined from point to point."""
    top = pen.y
    item = None if before is None else item_of(before.at)
    rows: list[tuple[float, PointLevels]] = []
    drawn: list[Markup] = []
    for point in points:
        if item_of(point.at) != item:
            item = item_of(point.at)
            drawn += _label(pen, panel.item_labels[item], "item")
        rows.append((pen.y + LANE / 2, point))
        drawn += _row(pen, panel, point, scale)
    grid = (
        path([(x, top), (x, pen.y)], class_="grid")
        for _, x in ticks(scale, left=LANE_LEFT + 12, right=LANE_RIGHT - 12)
    )
    pen.drawn += [*grid, *_threads(rows, scale), *drawn]


def _label(pen: _Pen, text: str, class_: str) -> list[Markup]:
    """A name in the column of names, in as many lines as it takes."""
    lines = wrapped(text, width=LABELS, type_size=TYPE)
    top = pen.y + 16
    pen.y += LINE * len(lines) + 1
    return [words(line, EDGE, top + LINE * n, class_) for n, line in enumerate(lines)]


def _row(pen: _Pen, panel: Panel, point: PointLevels, scale: Scale) -> list[Markup]:
    y = pen.y + LANE / 2
    local = panel.local(point.at)
    lines = wrapped(local, width=LABELS - 12, type_size=TYPE)
    label = [words(line, EDGE + 12, y + 5 + 19 * n) for n, line in enumerate(lines)]
    pen.y += max(LANE, 19.0 * len(lines) + 7)
    drawn = lane(point, scale, y, ends=(LANE_LEFT, LANE_RIGHT), hatch=_HATCH)
    return [*label, drawn, *_figures(panel, point, y)]


def _figures(panel: Panel, point: PointLevels, y: float) -> list[Markup]:
    """The four levels, headroom and signal over noise; the least of these in a frame."""
    drawn = [
        words(level_figure(level, point.unit), right, y + 5, "figure", "end")
        for level, right in zip(four_levels(point), COLUMNS, strict=False)
    ]
    last = zip(
        (point.headroom, point.signal_over_noise),
        COLUMNS[len(FIGURES) :],
        (point is panel.tightest, point is panel.noisiest),
        ("over" if clips(point) else "", ""),
        strict=True,
    )
    for value, right, is_least, over in last:
        text = level_figure(value, "dB")
        drawn.append(words(text, right, y + 5, f"figure {over}".strip(), "end"))
        if is_least:
            drawn.append(_frame(text, right, y))
    return drawn


def _frame(text: str, right: float, y: float) -> Markup:
    width = len(text) * TYPE * WIDEST_LETTER + 14
    left = right + 6 - width
    return element("rect", x=left, y=y - 11, width=width, height=22.0, rx=3.0, class_="least")


def _threads(rows: Sequence[tuple[float, PointLevels]], scale: Scale) -> Iterator[Markup]:
    """Nominal joined to nominal, ceiling to ceiling, so that gain and loss show as a slope."""
    for (y, point), (next_y, following) in pairwise(rows):
        pairs = ((point.nominal, following.nominal, 5.5), (point.ceiling, following.ceiling, 13.0))
        for level, next_level, half in pairs:
            if level is not None and next_level is not None:
                start, stop = (scale.x(level), y + half), (scale.x(next_level), next_y - half)
                yield path([start, stop], class_="thread")
