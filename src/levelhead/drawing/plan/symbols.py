"""Symbols of things seen from above, for every plan: on the page, on the stage plan, under a map.

A symbol fills a square of 24 units round its own middle; what it has as a front points up, so that
turning it by an angle turns it there. It has no colours of its own, but classes for the style sheet
of the drawing: ``body`` (the ground, outlined), ``front`` (a thick stroke where sound leaves or
enters), ``mark`` (a thin stroke), ``dot`` (solid). Told apart by outline alone, in grey print too.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from markupsafe import Markup

from levelhead.drawing.svg import element
from levelhead.rig.listeners import is_for_the_stage
from levelhead.rig.model import Rig

__all__ = ["RULES", "SIZE", "SYMBOLS", "PlanSymbol", "symbol_of"]

SIZE: Final = 24.0
ALL_AROUND_DEG: Final = 360.0

RULES: Final = """\
SCOPE .body{fill:var(--ground);stroke:var(--ink);stroke-width:1.6;stroke-linejoin:round}
SCOPE .front{fill:none;stroke:var(--ink);stroke-width:4}
SCOPE .mark{fill:none;stroke:var(--ink);stroke-width:1.4}
SCOPE .dot{fill:var(--ink)}
"""
"""Rules of the classes, for a style sheet with the colours ``--ground`` and ``--ink``."""


@dataclass(frozen=True, slots=True)
class PlanSymbol:
    """The look of one kind of thing. ``turns`` if it has a front; ``word`` is what it is."""

    word: str
    shapes: tuple[Markup, ...]
    turns: bool = False

    @property
    def drawn(self) -> Markup:
        """All of it, to be put into a group that is moved and turned."""
        return Markup("").join(self.shapes)


def _body(outline: str) -> Markup:
    return element("path", d=outline, class_="body")


def _front(line: str) -> Markup:
    return element("path", d=line, class_="front")


def _mark(line: str) -> Markup:
    return element("path", d=line, class_="mark")


def _disc(radius: float, name: str, y: float = 0.0) -> Markup:
    return element("circle", cx=0, cy=y, r=radius, class_=name)


SYMBOLS: Final[Mapping[str, PlanSymbol]] = {
    # a box that narrows to the back, its grille in front
    "loudspeaker": PlanSymbol(
        "loudspeaker", (_body("M-10-8h20l-4 17h-12z"), _front("M-11-9h22")), turns=True
    ),
    # broad and flat, its slope drawn as a second line behind the front
    "wedge": PlanSymbol(
        "wedge", (_body("M-11-6h22l-3 12h-16z"), _mark("M-9 1h18"), _front("M-12-7h24")), turns=True
    ),
    "subwoofer": PlanSymbol(
        "subwoofer", (_body("M-10-10h20v20h-20z"), _disc(5.5, "mark"), _front("M-11-10h22"))
    ),
    # IEC 60617: a circle with a line where sound enters
    "microphone": PlanSymbol("microphone", (_disc(6, "body"), _front("M-7-7.5h14")), turns=True),
    # a head over shoulders
    "performer": PlanSymbol(
        "performer",
        (
            _body("M-11 2c0-6 22-6 22 0s-22 6-22 0z"),
            _disc(4.5, "body", -1.0),
            _mark("M-1.5-5l1.5-2.5l1.5 2.5"),
        ),
        turns=True,
    ),
    "instrument": PlanSymbol(
        "instrument", (_body("M-11-4h22v9h-22z"), _mark("M-6-4v5M0-4v5M6-4v5"))
    ),
    "desk": PlanSymbol(
        "desk",
        (_body("M-12-7h24v14h-24z"), _mark("M-7-4v9M-2-4v9M3-4v9M8-4v9M-9-1h4M-4 2h4M1-2h4M6 3h4")),
    ),
    "rack": PlanSymbol("rack", (_body("M-8-9h16v18h-16z"), _mark("M-8-3h16M-8 3h16"))),
    "player": PlanSymbol(
        "player", (_body("M-9-6h18v12h-18z"), element("path", d="M-3-4l7 4l-7 4z", class_="dot"))
    ),
    "box": PlanSymbol("box", (_body("M-5-5h10v10h-10z"), _disc(1.8, "dot"))),
    "seat": PlanSymbol("place to listen", (_disc(6, "body"), _disc(2, "dot"))),
}
"""Symbols by kind."""

_BY_KIND: Final[Mapping[str, str]] = {
    "microphone": "microphone",
    "instrument": "instrument",
    "mixer": "desk",
    "amplifier": "rack",
    "processor": "rack",
    "player": "player",
}


def symbol_of(rig: Rig, item: str) -> str:
    """Which of ``SYMBOLS`` an item has; what is worn or has no kind of its own is a box."""
    plan = rig.items[item].plan
    if plan.kind != "loudspeaker":
        return _BY_KIND.get(plan.kind, "box")
    if plan.is_worn:
        return "box"
    if plan.coverage_deg is not None and min(plan.coverage_deg) >= ALL_AROUND_DEG:
        return "subwoofer"
    return "wedge" if is_for_the_stage(rig, item) else "loudspeaker"
