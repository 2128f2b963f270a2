"""A control as it stands and as it is planned: knob, fader or switch, for screen and paper.

One drawing serves light, dark and black-and-white print: it has one colour, that of the text around
it, and tells now from planned by shape. A ring is now, a disc is planned; where both are one, the
disc stands in the ring. The pointer, the cap or the filled box is where the control goes, or, where
nothing is planned, where it stands. A thin line leads from now to planned.
"""

from __future__ import annotations

import math
from typing import Final

from markupsafe import Markup

from levelhead.drawing.control_picture import degrees_from_top
from levelhead.drawing.svg import Value, element, path
from levelhead.gear.positions import Face

__all__ = ["SIZE", "control_drawing"]

SIZE: Final = 100.0
_CENTRE: Final = 50.0
_DIAL: Final = 27.0  # radii of a knob [drawing units]
_TICK: Final = (30.0, 34.0)
_LONG_TICK: Final = (30.0, 37.0)  # of 0 dB
_ORBIT: Final = 43.5  # of ring and disc
_RING: Final = 5.2
_DISC: Final = 3.0
_TRACK: Final = (46.0, 8.0, 92.0)  # of a fader: across, top, bottom
_BESIDE: Final = 74.0  # where ring and disc of a fader stand
_CAP: Final = (15.0, 6.0)  # half of its width and height
_INK: Final = "currentColor"
_CLOSE: Final = 0.012  # travel: now and planned are one place


def control_drawing(face: Face, *, label: str) -> Markup:
    """Draw a control; ``label`` is what a screen reader says instead.

    Examples
    --------
    >>> from levelhead.gear.positions import Face
    >>> text = control_drawing(Face("knob", 0.3, 0.6), label="gain: now 18 dB, plan 36 dB")
    >>> text.count('class="now"'), text.count('class="planned"'), "#" in text.replace("#xD", "")
    (1, 1, False)
    """
    draw = {"knob": _knob, "fader": _fader, "switch": _switch}[face.shape]
    return element(
        "svg",
        *draw(face),
        xmlns="http://www.w3.org/2000/svg",
        class_="control-drawing",
        viewBox=f"0 0 {SIZE:g} {SIZE:g}",
        role="img",
        aria_label=label,
        focusable="false",
        fill="none",
        stroke=_INK,
        stroke_linecap="round",
    )


def _standing(face: Face) -> float | None:
    return face.now if face.planned is None else face.planned


def _is_one(face: Face) -> bool:
    return (
        face.now is not None
        and face.planned is not None
        and (abs(face.now - face.planned) < _CLOSE)
    )


def _ring(x: float, y: float) -> Markup:
    return element("circle", class_="now", cx=x, cy=y, r=_RING, stroke_width=2.2)


def _disc(x: float, y: float) -> Markup:
    return element("circle", class_="planned", cx=x, cy=y, r=_DISC, fill=_INK, stroke="none")


def _marks_of(face: Face, places: dict[str, tuple[float, float] | None]) -> list[Markup]:
    """Ring and disc at their places; a disc that stands in its ring is one sign."""
    now, planned = places["now"], places["planned"]
    if _is_one(face):
        now = planned
    drawn = [_ring(*now)] if now is not None else []
    return drawn + ([_disc(*planned)] if planned is not None else [])


# ---------------------------------------------------------------- knob


def _at(travel: float, radius: float) -> tuple[float, float]:
    turn = math.radians(degrees_from_top(travel))
    return _CENTRE + radius * math.sin(turn), _CENTRE - radius * math.cos(turn)


def _knob(face: Face) -> list[Markup]:
    drawn = [element("circle", cx=_CENTRE, cy=_CENTRE, r=_DIAL, stroke_width=2.2)]
    drawn += [_knob_tick(place, is_zero=said in {"0", "C"}) for place, said in face.marks]
    standing = _standing(face)
    if standing is not None:
        tip = [_at(standing, 6.0), _at(standing, _DIAL - 2.5)]
        drawn.append(path(tip, class_="pointer", stroke_width=6.5))
    if face.now is not None and face.planned is not None and not _is_one(face):
        drawn.append(_arc(face.now, face.planned))
    places = {
        name: None if travel is None else _at(travel, _ORBIT)
        for name, travel in (("now", face.now), ("planned", face.planned))
    }
    return drawn + _marks_of(face, places)


def _knob_tick(travel: float, *, is_zero: bool) -> Markup:
    inner, outer = _LONG_TICK if is_zero else _TICK
    width: Value = 3.2 if is_zero else 1.5
    return path([_at(travel, inner), _at(travel, outer)], class_="tick", stroke_width=width)


def _arc(start: float, stop: float) -> Markup:
    """From ring to disc, outside both: short straight steps, no flags to get wrong."""
    clear = _RING / (math.radians(300.0) * _ORBIT)  # travel that the ring covers
    sign = math.copysign(1.0, stop - start)
    first, last = start + sign * clear, stop - sign * clear * _DISC / _RING
    if (last - first) * sign <= 0:
        return Markup("")
    steps = max(2, math.ceil(abs(last - first) * 100))
    places = [first + (last - first) * index / steps for index in range(steps + 1)]
    return path([_at(each, _ORBIT) for each in places], class_="way", stroke_width=1.4)


# ---------------------------------------------------------------- fader


def _height(travel: float) -> float:
    _, top, bottom = _TRACK
    return bottom - min(max(travel, 0.0), 1.0) * (bottom - top)


def _fader(face: Face) -> list[Markup]:
    x, top, bottom = _TRACK
    drawn = [path([(x, top), (x, bottom)], class_="track", stroke_width=2.2)]
    drawn += [_fader_tick(place, is_zero=said == "0") for place, said in face.marks]
    standing = _standing(face)
    if standing is not None:
        drawn += _cap(x, _height(standing))
    if face.now is not None and face.planned is not None and not _is_one(face):
        ends = [(_BESIDE, _height(face.now)), (_BESIDE, _height(face.planned))]
        drawn += _between(ends)
    places = {
        name: None if travel is None else (_BESIDE, _height(travel))
        for name, travel in (("now", face.now), ("planned", face.planned))
    }
    return drawn + _marks_of(face, places)


def _fader_tick(travel: float, *, is_zero: bool) -> Markup:
    left, width = (14.0, 3.2) if is_zero else (20.0, 1.5)
    y = _height(travel)
    return path([(left, y), (26.0, y)], class_="tick", stroke_width=width)


def _cap(x: float, y: float) -> list[Markup]:
    """Two bars with a gap, which is the line that a hand sets to the mark."""
    half, high = _CAP
    return [
        element(
            "rect", class_="pointer", x=x - half, y=each, width=2 * half, height=high - 1.2,
            fill=_INK, stroke="none",
        )
        for each in (y - high, y + 1.2)
    ]  # fmt: skip


def _between(ends: list[tuple[float, float]]) -> list[Markup]:
    (x, start), (_, stop) = ends
    sign = math.copysign(1.0, stop - start)
    first, last = start + sign * _RING, stop - sign * _DISC
    if (last - first) * sign <= 0:
        return []
    return [path([(x, first), (x, last)], class_="way", stroke_width=1.4)]


# ---------------------------------------------------------------- switch


def _switch(face: Face) -> list[Markup]:
    """A box for each position, in a row; the filled one is where it goes."""
    count = max(len(face.marks), 1)
    side = min(26.0, 84.0 / count)
    left = (SIZE - side * count) / 2
    standing = _standing(face)
    drawn = [
        element(
            "rect", class_="position", x=left + side * number + 2, y=_CENTRE - side / 2,
            width=side - 4, height=side - 4, stroke_width=2.2,
            fill=_INK if standing == number else "none",
        )
        for number in range(count)
    ]  # fmt: skip
    places = {
        name: None if each is None else (left + side * (each + 0.5), _CENTRE + side / 2 + 10)
        for name, each in (("now", face.now), ("planned", face.planned))
    }
    return drawn + _marks_of(face, places)
