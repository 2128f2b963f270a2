"""``levelhead draw``: the rig as a drawing of its signal flow."""

from __future__ import annotations

from argparse import Namespace
from collections.abc import Collection

from levelhead.errors import PaperError
from levelhead.planning.trial import Trial

__all__ = ["draw_flow"]


def draw_flow(trial: Trial, arguments: Namespace) -> str:
    """Write the drawing of a judged show; says what was written.

    Raises
    ------
    PaperError
        A name that is no drawing, an item that is not there, or a place that cannot be written.
    """
    from levelhead.api import checked_place, write_whole
    from levelhead.drawing.flow.chart import View, chart_of
    from levelhead.drawing.flow.layout import layout_of
    from levelhead.drawing.flow.sheet import flow_sheet

    place = checked_place(arguments.output)
    rig = trial.solution.rig
    _refuse_strangers(arguments.fold, rig.items)
    view: View = "wiring" if arguments.wiring else "flow"
    chart = chart_of(rig, trial.judgement.findings, view, arguments.fold)
    title = f"{rig.show.name}, version {rig.show.version}: {view}"
    drawing = flow_sheet(chart, layout_of(chart), title=title)
    write_whole(place, drawing.encode(), remedy="Name another place with -o.")
    cables = sum(lead.count for lead in chart.leads)
    return f"{place}: {len(chart.boxes)} boxes, {cables} cables"


def _refuse_strangers(names: Collection[str], items: Collection[str]) -> None:
    for name in names:
        if name not in items:
            raise PaperError(
                f"the show has no item '{name}'",
                where="--fold",
                expected="an item of the show, such as the desk",
                remedy=f"Its items: {', '.join(items) or 'none'}.",
            )
