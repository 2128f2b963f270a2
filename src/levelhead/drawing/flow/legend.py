"""What the lines of a drawing mean, below it: only those that are in it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from levelhead.drawing.flow.layout import EDGE, Layout
from levelhead.drawing.flow.model import Chart
from levelhead.drawing.flow.sizes import SMALL
from levelhead.drawing.svg import WIDEST_LETTER

__all__ = ["Legend", "legend_of"]

_SAMPLE = 40.0  # of a line
_GAP = 9.0  # from a sample to its words
_APART = 27.0  # from one to the next
_ROW = 24.0


@dataclass(frozen=True, slots=True)
class Legend:
    """Its parts as text of an SVG, and how high it is."""

    parts: tuple[str, ...]
    height: float


def legend_of(chart: Chart, layout: Layout) -> Legend:
    """The legend of a drawing, as wide as that; nothing where every line is a signal lead."""
    lines = [*_lines(chart, layout)]
    if len(lines) < 2:  # noqa: PLR2004 - one kind needs no telling apart
        return Legend((), 0.0)
    parts, x, y = [], EDGE, layout.height + _ROW / 2
    for sample, words in lines:
        wide = _SAMPLE + _GAP + len(words) * WIDEST_LETTER * SMALL
        if x > EDGE and x + wide > layout.width - EDGE:
            x, y = EDGE, y + _ROW
        parts.append(_sample(sample, x, y))
        at = x + _SAMPLE + _GAP
        parts.append(f'<text x="{at:.6g}" y="{y + SMALL / 3:.6g}" class="quiet">{words}</text>')
        x += wide + _APART
    return Legend(tuple(parts), y + _ROW - layout.height)


def _lines(chart: Chart, layout: Layout) -> Iterator[tuple[str, str]]:
    """Classes of each kind of line with its words."""
    kinds = {lead.kind for lead in chart.leads}
    if chart.leads:
        yield "lead", "signal"
    if any(lead.count > 1 for lead in chart.leads):
        yield "lead trunk", "several cables"
    if "loudspeaker" in kinds:
        yield "lead loudspeaker", "loudspeaker"
    if "digital" in kinds:
        yield "lead digital", "digital"
    if layout.returns:
        yield "lead return", "back to before"
    rows = (row for box in chart.boxes.values() for row in (*box.left, *box.right))
    if any(row.is_free for row in rows):
        yield "free", "free socket"


def _sample(kind: str, x: float, y: float) -> str:
    if kind == "free":
        return f'<circle cx="{x + _SAMPLE - 5:.6g}" cy="{y:.6g}" r="3.5" class="free"/>'
    return f'<path d="M{x:.6g} {y:.6g} L{x + _SAMPLE:.6g} {y:.6g}" class="{kind}"/>'
