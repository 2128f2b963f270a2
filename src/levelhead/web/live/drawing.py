"""The drawing of an open show, as its page shows it.

The order of boxes is kept from drawing to drawing, so that nobody gets lost when one cable is
added. A page that has the drawing already is told so and gets it once.
"""

from __future__ import annotations

from collections.abc import Sequence
from hashlib import blake2b
from typing import Any, Final

from levelhead.drawing.flow.chart import View, chart_of, foldable
from levelhead.drawing.flow.layout import Layout, layout_of
from levelhead.drawing.flow.model import Box, Chart, Lead
from levelhead.drawing.flow.sheet import flow_on_page
from levelhead.rig.model import Rig
from levelhead.web.live.looks import Look

__all__ = ["drawing"]

Json = dict[str, Any]
_MOST_KEPT: Final = 16  # drawings of one show: views, and what is folded in them
_LAYOUTS: Final = "layouts"  # by their name in what looks keep


def drawing(look: Look, view: View, fold: Sequence[str], has: str) -> Json:
    """The drawing with its boxes and leads as data, in the order of the signal.

    Parameters
    ----------
    fold
        Items before which all that feeds them alone is drawn as one box; others are left out.
    has
        Print of the drawing that the page has: then it gets the data without the drawing.
    """
    rig = look.solution.rig
    may_fold = foldable(rig)
    folded = [item for item in fold if item in may_fold]
    chart = chart_of(rig, look.marks, view, folded)
    layout = _laid_out(look, chart, (view, *sorted(folded)))
    svg = flow_on_page(chart, layout, title=f"{rig.show.name}: {view}")
    printed = blake2b(svg.encode(), digest_size=8).hexdigest()
    return {
        "print": printed,
        "svg": None if printed == has else svg,
        "boxes": [_box(chart.boxes[name]) for name in layout.order if name in chart.boxes],
        "leads": [_lead(lead, rig) for lead in chart.leads],
        "folded": folded,
        "foldable": [
            {"item": item, "label": rig.items[item].label, "count": count}
            for item, count in may_fold.items()
        ],
    }


def _laid_out(look: Look, chart: Chart, of: tuple[str, ...]) -> Layout:
    """Like the last drawing of this view; a new one like the whole drawing."""
    kept: dict[tuple[str, ...], Layout] = look.kept.setdefault(_LAYOUTS, {})
    before = kept.pop(of, None) or kept.get(of[:1])
    layout = layout_of(chart, before)
    kept[of] = layout
    while len(kept) > _MOST_KEPT:
        del kept[next(iter(kept))]
    return layout


def _box(box: Box) -> Json:
    return {
        "id": box.id,
        "title": box.title,
        "notes": list(box.notes),
        "mark": box.mark,
        "items": list(box.items),
        "sockets": {row.address: row.text for row in (*box.left, *box.right)},
    }


def _lead(lead: Lead, rig: Rig) -> Json:
    start, end = lead.id.split(">")[:2]
    return {
        "id": lead.id,
        "from": lead.from_box,
        "to": lead.to_box,
        "links": list(lead.links),
        "mark": lead.mark,
        "from_words": rig.ports[start].label,
        "to_words": rig.ports[end].label,
        "words": lead.hint,
    }
