"""The seats map: areas, walls and loudspeakers from above, with what the tones mean and a scale.

Nothing hangs on a colour: lines part the steps and numbers stand in the cells.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import Final

import numpy as np
from markupsafe import Markup
from numpy.typing import NDArray

from levelhead.acoustics.heard.heard import Heard
from levelhead.drawing.ground import Box, Ground, box_of, touch
from levelhead.drawing.lanes import TYPE, words
from levelhead.drawing.seats.cells import LINE, seat_cells
from levelhead.drawing.seats.steps import Quantity, Steps, figure_of, steps_of, values_of
from levelhead.drawing.seats.style import CLASS, seat_map_style
from levelhead.drawing.svg import WIDEST_LETTER, element, path, wrapped
from levelhead.show.model import Show

__all__ = ["ground_of", "seat_map_svg"]

EDGE: Final = 16.0
LEAST_STAGE_M: Final = 2.0  # a shallower one has no room for its word
BOX: Final = 13.0  # half a loudspeaker
FARTHEST: Final = 8  # lines from a loudspeaker to its name
SLIM: Final = 0.65  # half its back against that, so that one sees where it looks
Real = NDArray[np.float64]


def ground_of(
    heard: Heard,
    show: Show,
    *,
    left: float,
    top: float,
    width: float,
    height: float = math.inf,
) -> Ground:
    """Metres that hold walls, loudspeakers and seats, in the middle of a width of the drawing."""
    low, high = _extent(heard, show)
    wide_m, deep_m = (max(float(each), 1.0) for each in high - low)
    per_m = min(width / wide_m, height / deep_m)
    return Ground(
        left=left + (width - per_m * wide_m) / 2,
        top=top,
        per_m=per_m,
        right_m=float(low[0]),
        into_m=float(high[1]),
    )


def _extent(heard: Heard, show: Show) -> tuple[Real, Real]:
    """Ends of all that is drawn, with half a metre around. [m]"""
    corners = () if show.room is None else show.room.corners
    points = [*corners, *(tuple(box.at_m[:2]) for box in heard.boxes)]
    points += [tuple(corner) for area in heard.areas for corner in area.area.corners_m]
    every = np.array(points or [(0.0, 0.0)], dtype=np.float64).reshape(-1, 2)
    return every.min(0) - 0.5, every.max(0) + 0.5


def seat_map_svg(
    heard: Heard,
    show: Show,
    *,
    size: tuple[float, float] = (760.0, math.inf),
    quantity: Quantity = "level",
    on_paper: bool = False,
    is_alone: bool = True,
) -> str:
    """The seats map: areas, walls, loudspeakers, what the tones mean, and a scale of metres.

    Parameters
    ----------
    size : (float, float)
        Its width, of which the hall takes all, and its greatest height: a deep hall is drawn
        narrower. [drawing units]
    quantity : "level" or "speech"
        A-weighted level, or the speech transmission index of the voices.
    on_paper : bool
        Black, grey and white, for programs that know neither screens nor variables of style sheets.
    is_alone : bool
        With a title and a line an area; without, both stand beside it.
    """
    width, height = size
    title = f"{show.name}: {_TITLES[quantity]}"
    lines = wrapped(title, width=width - 2 * EDGE, type_size=20.0) if is_alone else []
    drawn = [
        words(each, EDGE, EDGE + 20 + 26 * i, "title", size=20.0) for i, each in enumerate(lines)
    ]
    top = EDGE + 26 * len(lines) + 12
    steps = steps_of(heard, quantity)
    legend, below = _legend(steps, quantity, width, top)
    under = 30 + EDGE + (26 + LINE * len(heard.areas) if is_alone else 0)
    ground = ground_of(
        heard,
        show,
        left=EDGE,
        top=below + 12,
        width=width - 2 * EDGE,
        height=max(height - below - 12 - under, 200.0),
    )
    end = ground.y(float(_extent(heard, show)[0][1]))
    drawn += [
        *legend,
        *_hall(heard, show, ground, (EDGE, below + 12, width - EDGE, end), quantity, steps),
        *_scale(ground, end + 16),
        *(_areas_told(heard, quantity, end + 56) if is_alone else ()),
    ]
    style = element("style", Markup(seat_map_style(on_paper=on_paper)))  # noqa: S704 - our own rules
    return _svg(title, (width, end + under), [style], drawn)


def _hall(
    heard: Heard,
    show: Show,
    ground: Ground,
    frame: Box,
    quantity: Quantity,
    steps: Steps,
) -> Iterator[Markup]:
    """Seats, walls, loudspeakers, and the names of areas where they cover nothing."""
    low, high = _extent(heard, show)
    names = list(_names(heard, ground, frame))
    taken = [area for _, area in names]
    yield seat_cells(heard, ground, quantity=quantity, steps=steps, taken=taken)
    yield from _walls(show, ground, (float(low[0]), float(high[0])), taken)
    yield from _boxes(heard, ground)
    yield from (name for name, _ in names)


def _svg(
    title: str, size: tuple[float, float], rules: Sequence[Markup], drawn: Sequence[Markup]
) -> str:
    """The picture around what is drawn, named for those who hear it read."""
    width, height = size
    return str(
        element(
            "svg",
            element("title", title),
            *rules,
            element("rect", width=width, height=height, class_="ground"),
            *drawn,
            xmlns="http://www.w3.org/2000/svg",
            class_=CLASS,
            viewBox=f"0 0 {width:g} {height:g}",
            width=f"{width:g}",
            height=f"{height:g}",
            role="img",
            aria_label=f"{title}; the table holds the figures",
        )
    )


_TITLES: Final[dict[Quantity, str]] = {
    "level": "level at the seats, dB(A)",
    "speech": "speech transmission index at the seats",
}
_UNITS: Final[dict[Quantity, str]] = {"level": " dB(A)", "speech": ""}
_RATED: Final = ("bad", "poor", "fair", "good", "excellent")


def _legend(
    steps: Steps, quantity: Quantity, width: float, top: float
) -> tuple[list[Markup], float]:
    """What each tone means, and where the next thing may begin."""
    drawn: list[Markup] = []
    x, y = EDGE, top
    for number, text in enumerate(_ranges(steps, quantity)):
        wide = 22 + 8 + len(text) * WIDEST_LETTER * TYPE + 14
        if x + wide > width - EDGE:
            x, y = EDGE, y + LINE + 4
        drawn += [
            element("rect", x=x, y=y, width=22.0, height=16.0, class_=f"s{number}"),
            element("rect", x=x, y=y, width=22.0, height=16.0, class_="parts"),
            words(text, x + 30, y + 13),
        ]
        x += wide
    return drawn, y + LINE


def _ranges(steps: Steps, quantity: Quantity) -> Iterator[str]:
    """Words for each step: ``below 84``, ``84 to 87``, ``87 and more dB(A)``."""
    limits = [f"{each:g}" for each in steps.limits]
    rated = [f"{name}, " for name in _RATED] if quantity == "speech" else [""] * (len(limits) + 1)
    if not limits:
        yield "all alike"
        return
    yield f"{rated[0]}below {limits[0]}{_UNITS[quantity]}"
    for number in range(1, len(limits)):
        yield f"{rated[number]}{limits[number - 1]} to {limits[number]}"
    yield f"{rated[len(limits)]}{limits[-1]} and more"


def _walls(
    show: Show, ground: Ground, ends_m: tuple[float, float], taken: Sequence[Box]
) -> Iterator[Markup]:
    """Walls as far as they are known, and the edge of the stage."""
    corners = () if show.room is None else show.room.corners
    if corners:
        points = [(ground.x(right), ground.y(into)) for right, into in (*corners, corners[0])]
        yield path(points, class_="wall")
    left, right = (min(c[0] for c in corners), max(c[0] for c in corners)) if corners else ends_m
    y = ground.y(0.0)
    yield path([(ground.x(left), y), (ground.x(right), y)], class_="stage")
    deep_m = -min((c[1] for c in corners), default=0.0)
    if deep_m > LEAST_STAGE_M:
        x, y = ground.x((left + right) / 2), ground.y(-deep_m / 2)
        word = box_of(x, y - TYPE * 0.36, _half("stage"), TYPE)
        if not any(touch(each, word) for each in taken):
            yield words("stage", x, y, "quiet halo", "middle")


def _boxes(heard: Heard, ground: Ground) -> Iterator[Markup]:
    """Loudspeakers: a solid wedge that points to where each looks."""
    for box in heard.boxes:
        x, y = ground.x(float(box.at_m[0])), ground.y(float(box.at_m[1]))
        yield element("path", d=_wedge(x, y, box.axis), class_="box halo")


def _names(heard: Heard, ground: Ground, frame: Box) -> Iterator[tuple[Markup, Box]]:
    """Names of loudspeakers with their boxes; one for which there is no room is left out."""
    places = {
        box.name: (ground.x(float(box.at_m[0])), ground.y(float(box.at_m[1])))
        for box in heard.boxes
    }
    taken = [box_of(x, y, BOX, 2 * BOX) for x, y in places.values()]
    for name, (x, y) in places.items():
        area = _free(x, y, _half(name), taken, frame)
        if area is not None:
            taken.append(area)
            middle, line = (area[0] + area[2]) / 2, area[3] - TYPE * 0.14
            yield words(name, middle, line, "item halo", "middle"), area


def _half(text: str) -> float:
    """Half of how wide a word is."""
    return len(text) * WIDEST_LETTER * TYPE / 2


def _free(x: float, y: float, half: float, taken: Sequence[Box], frame: Box) -> Box | None:
    """The nearest box for a name that covers nothing: above, under, beside, then lines farther."""
    middle = min(max(x, frame[0] + half), frame[2] - half)
    for far in range(FARTHEST):
        up, down = BOX + 5 + TYPE / 2 + far * LINE, BOX + 3 + TYPE / 2 + far * LINE
        aside = BOX + 5 + half + far * LINE
        for at in ((middle, y - up), (middle, y + down), (x + aside, y), (x - aside, y)):
            area = box_of(*at, half, TYPE)
            if _is_within(area, frame) and not any(touch(each, area) for each in taken):
                return area
    return None


def _is_within(area: Box, frame: Box) -> bool:
    return area[0] >= frame[0] - 1 and area[2] <= frame[2] + 1 and area[1] >= frame[1] - LINE


def _wedge(x: float, y: float, axis: Sequence[float] | Real) -> str:
    """A triangle with its point ahead; one that looks down is seen from above as a square."""
    right, into = float(axis[0]), -float(axis[1])  # up is into the hall
    long = math.hypot(right, into)
    if long < 1e-6:  # noqa: PLR2004 - straight down or up
        return f"M{x - 8:.1f} {y - 8:.1f}h16v16h-16z"
    u, v = right / long * BOX, into / long * BOX
    a, b = u * SLIM, v * SLIM
    corners = ((x + u, y + v), (x - u - b, y - v + a), (x - u + b, y - v - a))
    return "M" + " L".join(f"{a:.1f} {b:.1f}" for a, b in corners) + "z"


def _scale(ground: Ground, y: float) -> Iterator[Markup]:
    """A rule of whole metres."""
    metres = next((m for m in (1, 2, 5, 10, 20, 50) if m * ground.per_m >= 70), 50)  # noqa: PLR2004
    x = EDGE
    end = x + metres * ground.per_m
    yield path(
        [(x, y - 5), (x, y + 5), (x, y), (end, y), (end, y - 5), (end, y + 5)], class_="rule"
    )
    yield words(f"{metres} m", end + 8, y + 5)


def _areas_told(heard: Heard, quantity: Quantity, y: float) -> Iterator[Markup]:
    """A line an area: its mean and its ends."""
    for number, area in enumerate(heard.areas):
        values = values_of(area, quantity)
        if not values.size:
            continue
        low, high = (figure_of(float(each), quantity) for each in (values.min(), values.max()))
        mean = area.level_db if quantity == "level" else float(np.median(values))
        said = f"{area.area.name}: {figure_of(mean, quantity)}{_UNITS[quantity]}"
        ends = f", from {low} to {high}" if len(values) > 1 else ""
        yield words(said + ends, EDGE, y + LINE * number)
