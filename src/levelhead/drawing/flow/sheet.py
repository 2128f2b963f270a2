"""The flow drawing as SVG: alone, for the screen and for paper, or as part of a page."""

from __future__ import annotations

from html import escape

from levelhead.drawing.flow.layout import Layout
from levelhead.drawing.flow.legend import legend_of
from levelhead.drawing.flow.model import Chart
from levelhead.drawing.flow.paint import painted
from levelhead.drawing.flow.style import CLASS, VERDICT_COLOURS, standing_style

__all__ = ["CLASS", "VERDICT_COLOURS", "flow_on_page", "flow_sheet"]


def flow_sheet(chart: Chart, layout: Layout, *, title: str) -> str:
    """The drawing with its style sheet and what its lines mean.

    Parts carry ``data-item`` and ``data-links``.
    """
    legend = legend_of(chart, layout)
    tall = layout.height + legend.height
    return "".join(
        (
            f'<svg xmlns="http://www.w3.org/2000/svg" class="{CLASS}" {_view(layout, tall)} ',
            f'width="{layout.width:.0f}" height="{tall:.0f}" role="img" ',
            f'aria-label="{escape(title)}"><title>{escape(title)}</title>',
            f"<style>{standing_style()}</style>",
            *painted(chart, layout),
            *legend.parts,
            "</svg>",
        )
    )


def flow_on_page(chart: Chart, layout: Layout, *, title: str) -> str:
    """The drawing for a page that has the rules: every box and lead is a button of its own."""
    return "".join(
        (
            f'<svg xmlns="http://www.w3.org/2000/svg" class="{CLASS}" ',
            f'{_view(layout, layout.height)} role="group" aria-label="{escape(title)}">',
            *painted(chart, layout, is_pressed=True),
            "</svg>",
        )
    )


def _view(layout: Layout, height: float) -> str:
    return f'viewBox="0 0 {layout.width:.0f} {height:.0f}"'
