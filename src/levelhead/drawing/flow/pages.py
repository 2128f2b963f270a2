"""The flow drawing over as many pages as legible type takes: every box stands whole on one.

Where a lead leaves a page at its right edge its goal is named there, and where it comes in at the
left edge of the next one its beginning; so nobody has to paste sheets together.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from html import escape
from itertools import pairwise
from typing import Final

from levelhead.drawing.flow.layout import Layout
from levelhead.drawing.flow.model import Chart, Lead, Point
from levelhead.drawing.flow.paint import painted
from levelhead.drawing.flow.style import CLASS, paper_style

__all__ = ["FlowPage", "flow_pages"]

SMALLEST_MM: Final = 2.12 / 15  # a unit of the drawing: small type of 15 units is 6 pt
_SPARES_A_PAGE: Final = 0.92  # so much smaller it may get where all stands on one page by that
LARGEST_MM: Final = 0.26  # small type of 11 pt: larger helps nobody
_MARGIN: Final = 168.0  # for the names at a cut, in units of the drawing
_NAME: Final = 14.0  # their type
_LETTERS: Final = 20
_LEVEL: Final = 29.0  # a lead runs level so far before it comes to a box, with its number there
_AROUND: Final = 9.0  # free above and below what is drawn
_TEXT: Final = re.compile(r'<text x="([-\d.]+)" y="([-\d.]+)"[^>]*>[^<]*</text>')
_CLOSE: Final = 15.0  # names nearer than this would touch


@dataclass(frozen=True, slots=True)
class FlowPage:
    """A page of the drawing: SVG for paper, its size, and what a screen reader says instead."""

    svg: str
    width_mm: float
    height_mm: float
    words: str


@dataclass(frozen=True, slots=True)
class _Cut:
    """A part of the drawing; ``names`` stand beside it where something was cut at a side."""

    left: float
    top: float
    right: float
    bottom: float
    is_first: bool
    is_last: bool


def flow_pages(
    chart: Chart, layout: Layout, *, room_mm: tuple[float, float], title: str
) -> tuple[FlowPage, ...]:
    """The whole drawing on one page if its type stays legible, else in parts.

    Parameters
    ----------
    room_mm
        Width and height that a page has for it.
    """
    fits_mm = min(room_mm[0] / layout.width, room_mm[1] / layout.height)
    least_mm = fits_mm if fits_mm >= SMALLEST_MM * _SPARES_A_PAGE else SMALLEST_MM
    scale_mm = min(max(fits_mm, least_mm), LARGEST_MM)
    room = (room_mm[0] / scale_mm, room_mm[1] / scale_mm)
    cuts = [*_cuts(layout, room)]
    return tuple(
        _page(cut, chart, layout, scale_mm, _called(title, number, len(cuts)))
        for number, cut in enumerate(cuts, start=1)
    )


def _called(title: str, number: int, count: int) -> str:
    return title if count == 1 else f"{title}, part {number} of {count}"


# ---------------------------------------------------------------- where to cut


def _cuts(layout: Layout, room: tuple[float, float]) -> Iterator[_Cut]:
    """Strips of whole columns, each strip in pieces that cut no box."""
    if layout.width <= room[0] + 1 and layout.height <= room[1] + 1:
        yield _Cut(0, 0, layout.width, layout.height, is_first=True, is_last=True)
        return
    edges = _strips(layout, room[0])
    for left, right in pairwise(edges):
        for top, bottom in _heights(layout, left, right, room[1]):
            if not any(_inside(layout, left, right, top, bottom)):
                continue
            yield _Cut(left, top, right, bottom, left == edges[0], right == edges[-1])


def _strips(layout: Layout, width: float) -> list[float]:
    """Where the drawing is cut from left to right: before columns, where leads run level."""
    before = sorted({spot.x - _LEVEL for spot in layout.spots.values()})[1:]
    edges = [0.0]
    while layout.width - edges[-1] > width - _names_before(edges[-1]):
        room = width - _names_before(edges[-1]) - _MARGIN
        within = [at for at in before if edges[-1] < at <= edges[-1] + room]
        beyond = [at for at in before if at > edges[-1]]
        if not beyond:
            break
        edges.append(within[-1] if within else beyond[0])
    return [*edges, layout.width]


def _names_before(left: float) -> float:
    return _MARGIN if left > 0 else 0.0


def _inside(
    layout: Layout, left: float, right: float, top: float, bottom: float
) -> Iterator[tuple[float, float]]:
    """Upper and lower ends of all that is drawn in a part."""
    for spot in layout.spots.values():
        if left <= spot.x < right and spot.y < bottom and spot.y + spot.size.height > top:
            yield spot.y, spot.y + spot.size.height
    for way in layout.ways.values():
        for (x1, y1), (x2, y2) in pairwise(way):
            low, high = min(y1, y2), max(y1, y2)
            if min(x1, x2) < right and max(x1, x2) > left and low < bottom and high > top:
                yield low, high


def _heights(
    layout: Layout, left: float, right: float, height: float
) -> Iterator[tuple[float, float]]:
    """Parts of a strip from top to bottom; a box that is cut comes again, whole, on the next."""
    ends = [*_inside(layout, left, right, 0.0, layout.height)]
    top = max(min((each for each, _ in ends), default=0.0) - _AROUND, 0.0)
    last = min(max((each for _, each in ends), default=0.0) + _AROUND, layout.height)
    boxes = [
        (spot.y, spot.y + spot.size.height)
        for spot in layout.spots.values()
        if left <= spot.x < right
    ]
    while last - top > height:
        yield top, top + height
        cut = [upper for upper, lower in boxes if upper < top + height < lower]
        again = min((upper - _AROUND for upper in cut), default=top + height)
        top = again if again > top else top + height
    yield top, last


# ---------------------------------------------------------------- a page


def _page(cut: _Cut, chart: Chart, layout: Layout, scale_mm: float, words: str) -> FlowPage:
    drawn = _within(cut, "".join(painted(_part(cut, chart, layout), layout)))
    before = 0.0 if cut.is_first else _MARGIN
    behind = 0.0 if cut.is_last else _MARGIN
    width, height = cut.right - cut.left + before + behind, cut.bottom - cut.top
    names = [
        *(() if cut.is_first else _names(cut.left, cut, chart, layout, is_before=True)),
        *(() if cut.is_last else _names(cut.right, cut, chart, layout, is_before=False)),
    ]
    svg = (
        f'<svg xmlns="http://www.w3.org/2000/svg" class="{CLASS}" '
        f'viewBox="{cut.left - before:.6g} {cut.top:.6g} {width:.6g} {height:.6g}" '
        f'width="{width:.6g}" height="{height:.6g}"><style>{paper_style()}</style>'
        f'<clipPath id="part"><rect x="{cut.left:.6g}" y="{cut.top:.6g}" '
        f'width="{cut.right - cut.left:.6g}" height="{height:.6g}"/></clipPath>'
        f'<g clip-path="url(#part)">{drawn}</g>{"".join(names)}</svg>'
    )
    return FlowPage(svg, width * scale_mm, height * scale_mm, words)


def _part(cut: _Cut, chart: Chart, layout: Layout) -> Chart:
    """Boxes and leads that reach into a part."""
    boxes = {
        name: box for name, box in chart.boxes.items() if _reaches(cut, _corners(layout, name))
    }
    leads = (
        lead
        for lead in chart.leads
        if any(_reaches(cut, pair) for pair in pairwise(layout.ways[lead.id]))
    )
    return Chart(boxes, tuple(leads))


def _corners(layout: Layout, name: str) -> tuple[Point, Point]:
    spot = layout.spots[name]
    return (spot.x, spot.y), (spot.x + spot.size.width, spot.y + spot.size.height)


def _reaches(cut: _Cut, ends: tuple[Point, Point]) -> bool:
    (x1, y1), (x2, y2) = ends
    across = min(x1, x2) < cut.right and max(x1, x2) > cut.left
    return across and min(y1, y2) < cut.bottom and max(y1, y2) > cut.top


def _within(cut: _Cut, drawn: str) -> str:
    """Without words that stand outside: a search through the paper would find them there."""

    def kept(text: re.Match[str]) -> str:
        x, y = float(text[1]), float(text[2])
        return text[0] if cut.left <= x <= cut.right and cut.top <= y <= cut.bottom else ""

    return _TEXT.sub(kept, drawn)


def _names(x: float, cut: _Cut, chart: Chart, layout: Layout, *, is_before: bool) -> Iterator[str]:
    """What each lead that is cut at ``x`` comes from, or goes to."""
    at: dict[float, list[str]] = {}
    for lead in chart.leads:
        for y in _crossings(lead, layout, x):
            if cut.top <= y <= cut.bottom:
                box = chart.boxes[_end(lead, layout, is_before=is_before)]
                at.setdefault(round(y, 1), []).append(box.title)
    word, anchor, from_edge = ("from", "end", -6) if is_before else ("to", "start", 6)
    last = -_CLOSE
    for y in sorted(at):
        if y - last < _CLOSE:
            continue
        last = y
        text = _shortened(f"{word} {', '.join(dict.fromkeys(at[y]))}")
        yield (
            f'<text x="{x + from_edge:.6g}" y="{y + _NAME / 3:.6g}" text-anchor="{anchor}" '
            f'class="quiet">{escape(text, quote=False)}</text>'
        )


def _end(lead: Lead, layout: Layout, *, is_before: bool) -> str:
    """The box on the other side of a cut; a return runs the other way."""
    is_back = lead.id in layout.returns
    return lead.from_box if is_before != is_back else lead.to_box


def _crossings(lead: Lead, layout: Layout, x: float) -> Iterator[float]:
    for (x1, y1), (x2, y2) in pairwise(layout.ways[lead.id]):
        if y1 == y2 and min(x1, x2) < x < max(x1, x2):
            yield y1


def _shortened(text: str) -> str:
    return text if len(text) <= _LETTERS else f"{text[: _LETTERS - 1]}\N{HORIZONTAL ELLIPSIS}"
