"""Where a knob or a fader goes: the control with its pointer at its place of travel."""

from __future__ import annotations

import math
from typing import Final

from markupsafe import Markup

from levelhead.drawing.svg import element, path, picture

SIZE: Final = 180.0
CENTRE: Final = 90.0
SWEEP_DEGREES: Final = 300.0  # from 7 o'clock to 5 o'clock, common practice for panel knobs
DIAL: Final = 70.0
MARKS: Final = 11
TRACK: Final = (60.0, 14.0, 150.0)  # of a fader: across, top, bottom [drawing units]


def degrees_from_top(travel: float) -> float:
    """Angle of the pointer, clockwise from straight up, for 0..1 of its travel.

    Examples
    --------
    >>> degrees_from_top(0.5), degrees_from_top(0.9)
    (0.0, 120.0)
    """
    return (min(max(travel, 0.0), 1.0) - 0.5) * SWEEP_DEGREES


def knob_picture(travel: float, *, label: str) -> Markup:
    """Draw the dial; the part of the travel up to the pointer is filled."""
    start, turn = degrees_from_top(0.0), degrees_from_top(travel)
    return picture(
        *(_dial_mark(degrees_from_top(place / (MARKS - 1))) for place in range(MARKS)),
        _arc(start, degrees_from_top(1.0), class_="travel"),
        _arc(start, turn, class_="turned"),
        element("circle", cx=CENTRE, cy=CENTRE, r=DIAL - 16, class_="cap"),
        path([_place(turn, 14), _place(turn, DIAL - 14)], class_="pointer"),
        width=SIZE,
        height=SIZE - 14,
        label=label,
        class_="control-picture",
    )


def fader_picture(travel: float, *, label: str) -> Markup:
    """Draw the track; the part below the cap is filled."""
    x, top, bottom = TRACK
    y = bottom - min(max(travel, 0.0), 1.0) * (bottom - top)
    marks = (bottom - (bottom - top) * place / (MARKS - 1) for place in range(MARKS))
    return picture(
        *(path([(x - 30, mark), (x - 18, mark)], class_="mark") for mark in marks),
        path([(x, bottom), (x, top)], class_="travel"),
        path([(x, bottom), (x, y)], class_="turned"),
        element("rect", x=x - 16, y=y - 11, width=32, height=22, rx=3, class_="cap"),
        path([(x - 16, y), (x + 16, y)], class_="pointer"),
        width=2 * x,
        height=bottom + 16,
        label=label,
        class_="control-picture",
    )


def _place(degrees: float, radius: float) -> tuple[float, float]:
    turn = math.radians(degrees)
    return CENTRE + radius * math.sin(turn), CENTRE - radius * math.cos(turn)


def _dial_mark(degrees: float) -> Markup:
    return path([_place(degrees, DIAL + 6), _place(degrees, DIAL + 14)], class_="mark")


def _arc(start: float, stop: float, *, class_: str) -> Markup:
    """An arc as short straight steps: no flags to get wrong."""
    steps = max(2, math.ceil(abs(stop - start) / 3))
    turns = (start + (stop - start) * index / steps for index in range(steps + 1))
    return path([_place(turn, DIAL) for turn in turns], class_=class_)
