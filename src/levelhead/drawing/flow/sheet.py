"""The flow drawing as SVG: alone, for the screen and for paper, or as part of a page."""

from __future__ import annotations

from html import escape

from levelhead.drawing.flow.layout import Layout
from levelhead.drawing.flow.model import Chart
from levelhead.drawing.flow.paint import painted
from levelhead.drawing.flow.style import CLASS, VERDICT_COLOURS, standing_style

__all__ = ["CLASS", "VERDICT_COLOURS", "flow_on_page", "flow_sheet"]


def flow_sheet(chart: Chart, layout: Layout, *, title: str) -> str:
    """The whole drawing with its style sheet; parts carry ``data-item`` and ``data-links``."""
    return "".join(
        (
            f'<svg xmlns="http://www.w3.org/2000/svg" class="{CLASS}" {_view(layout)} ',
            f'width="{layout.width:.0f}" height="{layout.height:.0f}" role="img" ',
            f'aria-label="{escape(title)}"><title>{escape(title)}</title>',
            f"<style>{standing_style()}</style>",
            *painted(chart, layout),
            "</svg>",
        )
    )


def flow_on_page(chart: Chart, layout: Layout, *, title: str) -> str:
    """The drawing for a page that has the rules: every box and lead is a button of its own."""
    return "".join(
        (
            f'<svg xmlns="http://www.w3.org/2000/svg" class="{CLASS}" {_view(layout)} ',
            f'role="group" aria-label="{escape(title)}">',
            *painted(chart, layout, is_pressed=True),
            "</svg>",
        )
    )


def _view(layout: Layout) -> str:
    return f'viewBox="0 0 {layout.width:.0f} {layout.height:.0f}"'
