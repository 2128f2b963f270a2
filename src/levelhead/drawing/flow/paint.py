"""Boxes and leads of a flow drawing as text of an SVG, every word of a user escaped.

Plain strings: a drawing is made anew after each edit, and 60 boxes with 150 leads are 1,500
elements.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cache
from html import escape
from typing import Final

from levelhead.drawing.flow.layout import Layout, Spot
from levelhead.drawing.flow.model import Box, Chart, Lead, Point, Row, Side
from levelhead.drawing.flow.sizes import LINE, PAD, SMALL, TYPE, row_text
from levelhead.drawing.marks import mark_of

__all__ = ["painted"]

_MARK: Final = 16.0
_WORDS: Final = {"care": 2.6, "fails": 2.7, "harm": 3.1}  # times the type, in a wide bold face
_LONG: Final = 120.0  # a straight lead from here on is named at both ends
_SIDES: Final[tuple[Side, ...]] = ("left", "right")


def painted(chart: Chart, layout: Layout, *, is_pressed: bool = False) -> Iterator[str]:
    """Every lead, every box, then the counts of trunks.

    Parameters
    ----------
    is_pressed
        On a page each box and each lead is a button, with a name for those who do not see it.
    """
    brush = _Brush(chart, layout, is_pressed)
    for bundle in _bundles(chart, layout):
        paths = [way(layout.ways[lead.id]) for lead in bundle]
        yield from (f'<path d="{path}" class="halo"/>' for path in paths)
        yield from map(brush.lead, bundle, paths)
    yield from map(brush.box, chart.boxes.values())
    yield from _tags(chart.leads, layout)


def way(points: Sequence[Point]) -> str:
    """Corners of a line as a path."""
    return "M" + " L".join([f"{x:.6g} {y:.6g}" for x, y in points])


@dataclass(frozen=True, slots=True)
class _Brush:
    """What boxes and leads are painted with."""

    chart: Chart
    layout: Layout
    is_pressed: bool

    def lead(self, lead: Lead, line: str) -> str:
        """A line with its words; on a page with a broad grip that a finger finds."""
        classes = ["lead", lead.kind]
        classes += ["trunk"] if lead.count > 1 else []
        classes += ["return"] if lead.id in self.layout.returns else []
        links = " ".join(map(str, lead.links))
        grip = f'<path d="{line}" class="grip"/>' if self.is_pressed else ""
        words = _spoken(lead, self.chart) if self.is_pressed else ""
        button = self._button(f"lead={lead.id}", words)
        return (
            f'<g data-links="{links}"{button}><title>{escape(lead.hint)}</title>{grip}'
            f'<path d="{line}" class="{" ".join(classes)}"/></g>'
        )

    def box(self, box: Box) -> str:
        """Frame, head and sockets."""
        spot = self.layout.spots[box.id]
        size = spot.size
        button = self._button("", f"{box.title}{_verdict(box.mark)}")
        parts = [
            f'<g data-item="{escape(box.id)}"{button}><title>{escape(box.hint)}</title>',
            f'<rect x="{spot.x:.6g}" y="{spot.y:.6g}" ',
            f'width="{size.width:.6g}" height="{size.height:.6g}" class="box"/>',
            *_head(box, spot),
        ]
        for side in _SIDES:
            for number, row in enumerate(box.rows(side)):
                parts += _row(row, spot, side, spot.y + size.pin(number))
        return "".join((*parts, "</g>"))

    def _button(self, data: str, words: str) -> str:
        if not self.is_pressed:
            return ""
        name, _, value = data.partition("=")
        known = f' data-{name}="{escape(value)}"' if name else ""
        return f'{known} role="button" tabindex="-1" aria-label="{escape(words)}"'


# ---------------------------------------------------------------- leads


def _bundles(chart: Chart, layout: Layout) -> list[list[Lead]]:
    """Leads that leave one socket lie on one another; those that return are drawn on top."""
    found: dict[tuple[bool, tuple[str, int]], list[Lead]] = {}
    for lead in chart.leads:
        found.setdefault((lead.id in layout.returns, lead.start), []).append(lead)
    return [found[key] for key in sorted(found, key=lambda key: key[0])]


def _spoken(lead: Lead, chart: Chart) -> str:
    """A lead in words: from where to where, and what is found there."""
    one, other = chart.boxes[lead.from_box], chart.boxes[lead.to_box]
    cables = "Lead" if lead.count == 1 else f"{lead.count} leads"
    return f"{cables} from {one.title} to {other.title}{_verdict(lead.mark)}"


def _tags(leads: Sequence[Lead], layout: Layout) -> Iterator[str]:
    """Above the line how many cables lie in a trunk, or which one it is, there at both ends."""
    seen: set[tuple[tuple[str, int], str]] = set()  # leads of one plug are named once there
    for lead in leads:
        text = lead.tag or (f"×{lead.count}" if lead.count > 1 else "")
        way = layout.ways[lead.id]
        if text and (lead.start, text) not in seen:
            seen.add((lead.start, text))
            yield _words(text, way[0][0] + 5, way[0][1] - 5, 'class="quiet"')
        is_long = len(way) > 2 or way[-1][0] - way[0][0] > _LONG  # noqa: PLR2004 - it has a corner
        if lead.tag and is_long and (lead.end, text) not in seen:
            seen.add((lead.end, text))
            more = 'text-anchor="end" class="quiet"'
            yield _words(text, way[-1][0] - 5, way[-1][1] - 5, more)


def _verdict(mark: str | None) -> str:
    return "" if mark is None else f". {mark_of(mark).word}"


# ---------------------------------------------------------------- boxes


def _head(box: Box, spot: Spot) -> Iterator[str]:
    size = spot.size
    y = spot.y + PAD + TYPE - 3
    for class_, lines in (("title", size.title), ("quiet", size.notes)):
        for line in lines:
            yield _words(line, spot.x + PAD, y, f'class="{class_}"')
            y += LINE
    if box.mark is not None:
        word = mark_of(box.mark).word
        x = spot.x + size.width - PAD - _WORDS[box.mark] * TYPE
        text = _words(word, x, spot.y + PAD + TYPE - 3, 'class="title"')
        yield f'<g class="{box.mark}">{text}</g>'
        yield _shape(box.mark, x - _MARK - 5, spot.y + PAD)
    if not size.plain and (box.left or box.right):
        at = spot.y + size.head
        yield f'<path d="{way(((spot.x, at), (spot.x + size.width, at)))}" class="head"/>'


def _words(text: str, x: float, y: float, more: str) -> str:
    return f'<text x="{x:.6g}" y="{y:.6g}" {more}>{escape(text, quote=False)}</text>'


def _shape(mark: str, x: float, y: float) -> str:
    scale = _MARK / 24
    return (
        f'<g class="{mark}" transform="translate({x:.1f} {y:.1f}) scale({scale:.3f})">'
        f"{_outline(mark)}</g>"
    )


@cache
def _outline(mark: str) -> str:
    return "".join(map(str, mark_of(mark).shape))


def _row(row: Row, spot: Spot, side: Side, y: float) -> Iterator[str]:
    is_left = side == "left"
    edge = spot.x if is_left else spot.x + spot.size.width
    yield f'<circle cx="{edge:.6g}" cy="{y:.6g}" r="3.5" class="{_plug(row)}"/>'
    if spot.size.plain:
        return
    inward = 1 if is_left else -1
    text_at = edge + inward * PAD
    if row.mark is not None:
        yield _shape(row.mark, text_at if is_left else text_at - _MARK, y - _MARK / 2)
        text_at += inward * (_MARK + 4)
    anchor = "start" if is_left else "end"
    more = (
        f'text-anchor="{anchor}" class="{"free" if row.is_free else "row"}" '
        f'data-socket="{escape(row.address)}"'
    )
    yield _words(row_text(row), text_at, y + SMALL / 3, more)


def _plug(row: Row) -> str:
    return "free" if row.is_free else "plug"
