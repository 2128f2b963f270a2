"""Pictures of a sheet, drawn for the room that a page has."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any, Final

from levelhead.acoustics.heard.heard import heard_by
from levelhead.drawing.flow.chart import View, chart_of
from levelhead.drawing.flow.layout import layout_of
from levelhead.drawing.flow.pages import flow_pages
from levelhead.drawing.levels.diagram import WIDTH, level_diagram
from levelhead.drawing.levels.panels import panel_of
from levelhead.drawing.plan.stage_plan import stage_plan
from levelhead.drawing.seats.seat_map import seat_map_svg
from levelhead.exchange.sheet.pictured import Pictured

__all__ = ["Room", "picture_content"]

STAGE_UNIT_MM: Final = 0.25
SEAT_UNIT_MM: Final = 0.26  # type of 11 pt
_ROW_MM: Final = 10.0  # of a table below a picture
_ABOVE_MM: Final = 8.0  # for the words over a picture
_NOTE_MM: Final = 15.0  # for the note of a sheet, in three lines at most


@dataclass(frozen=True, slots=True)
class Room:
    """What a page has for a picture. [mm]"""

    width_mm: float
    height_mm: float


@dataclass(frozen=True, slots=True)
class _Drawn:
    svg: str
    width_mm: float
    height_mm: float
    words: str


def picture_content(
    pictured: Pictured, room: Room, shown: Callable[[str], str], marked: Callable[[str], str]
) -> Iterator[dict[str, Any]]:
    """A picture as the page reads it, in as many parts as it takes.

    ``shown`` makes a text printable, ``marked`` the texts of a drawing.
    """
    for drawn in _DRAW[pictured.kind](pictured, room):
        yield {
            "svg": marked(drawn.svg),
            "width": drawn.width_mm,
            "height": drawn.height_mm,
            "words": shown(drawn.words),
        }


def _flow(pictured: Pictured, room: Room) -> Iterator[_Drawn]:
    view: View = "wiring" if pictured.kind == "wiring" else "flow"
    chart = chart_of(pictured.solution.rig, pictured.findings, view, is_brief=True)
    layout = layout_of(chart)
    if not chart.boxes:
        return
    size = (room.width_mm, room.height_mm - _ABOVE_MM - _NOTE_MM)
    for page in flow_pages(chart, layout, room_mm=size, title=pictured.words):
        yield _Drawn(page.svg, page.width_mm, page.height_mm, page.words)


def _levels(pictured: Pictured, room: Room) -> Iterator[_Drawn]:
    panel = panel_of(pictured.solution, pictured.way)
    svg = level_diagram([panel], title=pictured.words, is_paper=True)
    tall = float(svg.split('height="', 1)[1].split('"', 1)[0])
    per_unit = min(room.width_mm / WIDTH, (room.height_mm - _ABOVE_MM) / tall)
    yield _Drawn(svg, WIDTH * per_unit, tall * per_unit, pictured.words)


def _stage(pictured: Pictured, room: Room) -> Iterator[_Drawn]:
    svg = stage_plan(
        pictured.solution.rig,
        pictured.stage,
        width=room.width_mm / STAGE_UNIT_MM,
        height=(room.height_mm - _ABOVE_MM - _NOTE_MM) / STAGE_UNIT_MM,
    )
    tall = float(svg.split('height="', 1)[1].split('"', 1)[0])
    yield _Drawn(svg, room.width_mm, tall * STAGE_UNIT_MM, pictured.words)


def _seats(pictured: Pictured, room: Room) -> Iterator[_Drawn]:
    """The hall from above, so high that the rows of a few areas have room below."""
    heard = heard_by(pictured.solution)
    if not heard.areas:
        return
    least_mm = _ABOVE_MM + _NOTE_MM + _ROW_MM * (1 + len(heard.areas))
    size = (room.width_mm / SEAT_UNIT_MM, (room.height_mm - least_mm) / SEAT_UNIT_MM)
    show = pictured.solution.rig.show
    svg = seat_map_svg(heard, show, size=size, on_paper=True, is_alone=False)
    tall = float(svg.split('height="', 1)[1].split('"', 1)[0])
    yield _Drawn(svg, room.width_mm, tall * SEAT_UNIT_MM, pictured.words)


_DRAW: Final[Mapping[str, Callable[[Pictured, Room], Iterator[_Drawn]]]] = {
    "flow": _flow,
    "wiring": _flow,
    "levels": _levels,
    "stage": _stage,
    "seats": _seats,
}
