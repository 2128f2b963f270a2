"""A cable with its pins drawn: which pin goes to which, and what is left open."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby
from typing import Final, Literal, NamedTuple

from markupsafe import Markup

from levelhead.drawing.svg import WIDEST_LETTER, element, path, picture

WIDTH: Final = 340.0
STEP: Final = 40.0  # from pin to pin
BETWEEN: Final = 14.0  # besides, between two plugs of one side
TOP: Final = 22.0
TYPE: Final = 17.0
PLUG: Final = 20.0  # half the width of a plug's body
GAP: Final = 8.0  # between a plug and the names of its pins
SHORTEST_NAME: Final = 3  # letters that have room: "1+" is wider than two mean letters
HALO: Final = (0.3, 0.7)  # of the slanted part of a wire
REACH: Final = 46.0  # of an open conductor, from its pin

Pair = tuple[str | None, str | None]
Side = Literal["left", "right"]


class Pin(NamedTuple):
    """One pin and the side where it is drawn; ``end`` tells the plugs of a Y lead apart."""

    side: Side
    end: str
    name: str


@dataclass(frozen=True, slots=True)
class Spot:
    """Where a pin is drawn and what stands beside it."""

    pin: Pin
    x: float
    y: float
    words: str

    @property
    def inward(self) -> float:
        """Direction of the other side."""
        return 1.0 if self.pin.side == "left" else -1.0


Spots = dict[Pin, Spot]


def cable_picture(pairs: Sequence[Pair]) -> Markup:
    """Draw each joined pair as a line from the plug at the source to those at the other side.

    Parameters
    ----------
    pairs : sequence of (str or None, str or None)
        Pin at the source and pin at the other side, with the name of its end before it where
        there are several: ``left tip``. ``None`` is an end that joins nothing.
    """
    joined = [(_pin(near, "left"), _pin(far, "right")) for near, far in pairs]
    pins = list(dict.fromkeys(pin for pair in joined for pin in pair if pin is not None))
    left = _column([pin for pin in pins if pin.side == "left"], "left")
    right = _column([pin for pin in pins if pin.side == "right"], "right")
    height = max(_height(left), _height(right), 2 * TOP)
    spots = _centred(left, height) | _centred(right, height)
    return picture(
        *(_wire(near, far, spots) for near, far in joined),
        *(_plug(list(plug)) for _, plug in groupby(spots.values(), key=_plug_of)),
        width=WIDTH,
        height=height,
        label="; ".join(_said(near, far, spots) for near, far in joined) or "No pin is joined",
        class_="cable",
    )


# ---------------------------------------------------------------- where things stand


def _pin(text: str | None, side: Side) -> Pin | None:
    """A pin of one side; ``left tip`` is the tip of the plug that is called left."""
    if text is None:
        return None
    end, _, name = text.rpartition(" ")
    return Pin(side, end, name)


def _column(pins: Sequence[Pin], side: Side) -> list[Spot]:
    """The pins of one side from the top: plug by plug, numbered pins by number."""
    ends = list(dict.fromkeys(pin.end for pin in pins))
    ordered = sorted(pins, key=lambda pin: (ends.index(pin.end), _number_of(pin.name)))
    words = [f"{pin.end} {pin.name}" if len(ends) > 1 else pin.name for pin in ordered]
    longest = max([SHORTEST_NAME, *(len(word) for word in words)])
    margin = PLUG + GAP + 2 + min(longest * TYPE * WIDEST_LETTER, WIDTH / 3)
    x = margin if side == "left" else WIDTH - margin
    return [
        Spot(pin, x, TOP + STEP * place + BETWEEN * ends.index(pin.end), word)
        for place, (pin, word) in enumerate(zip(ordered, words, strict=True))
    ]


def _number_of(name: str) -> int:
    digits = "".join(letter for letter in name if letter in "0123456789")
    return int(digits) if digits else 0


def _height(column: Sequence[Spot]) -> float:
    return column[-1].y + TOP if column else 0.0


def _centred(column: Sequence[Spot], height: float) -> Spots:
    """The shorter side stands in the middle of the longer one."""
    down = (height - _height(column)) / 2
    return {spot.pin: Spot(spot.pin, spot.x, spot.y + down, spot.words) for spot in column}


# ---------------------------------------------------------------- what is drawn


def _plug_of(spot: Spot) -> tuple[Side, str]:
    return spot.pin.side, spot.pin.end


def _plug(spots: Sequence[Spot]) -> Markup:
    """The body of one plug and its pins, with their names outside."""
    x, top, bottom = spots[0].x, spots[0].y - TOP + 4, spots[-1].y + TOP - 4
    body = element(
        "rect", x=x - PLUG, y=top, width=2 * PLUG, height=bottom - top, rx=8.0, class_="plug"
    )
    anchor = "end" if spots[0].pin.side == "left" else "start"
    drawn = [body]
    for spot in spots:
        words_x = x - spot.inward * (PLUG + GAP)
        drawn += [
            element("circle", cx=x, cy=spot.y, r=7.0, class_="pin"),
            element(
                "text", spot.words, x=words_x, y=spot.y + 6, text_anchor=anchor, font_size=TYPE
            ),
        ]
    return element("g", *drawn)


def _wire(near: Pin | None, far: Pin | None, spots: Spots) -> Markup:
    """One conductor, with a halo so that a crossing reads as one."""
    if near is None or far is None:
        lone = near or far
        return element("g") if lone is None else _open_end(spots[lone])
    start, stop = spots[near], spots[far]
    first, second = (spot.x + spot.inward * (PLUG + 12) for spot in (start, stop))
    points = [(start.x, start.y), (first, start.y), (second, stop.y), (stop.x, stop.y)]
    return element("g", _halo(points[1], points[2]), path(points, class_="wire"))


def _halo(start: tuple[float, float], stop: tuple[float, float]) -> Markup:
    """A gap in what lies below, but not where wires part from a common pin."""
    (x0, y0), (x1, y1) = start, stop
    points = [(x0 + (x1 - x0) * part, y0 + (y1 - y0) * part) for part in HALO]
    return path(points, class_="halo")


def _open_end(spot: Spot) -> Markup:
    """A conductor that ends in the air."""
    end = spot.x + spot.inward * REACH
    return element(
        "g",
        path([(spot.x, spot.y), (end, spot.y)], class_="wire open"),
        path([(end, spot.y - 8), (end, spot.y + 8)], class_="wire"),
    )


def _said(near: Pin | None, far: Pin | None, spots: Spots) -> str:
    """One pair in words."""
    if near is None or far is None:
        lone = near or far
        return f"pin {spots[lone].words} open" if lone else "nothing"
    return f"pin {spots[near].words} to pin {spots[far].words}"
