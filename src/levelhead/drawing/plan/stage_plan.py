"""The stage from above, for paper: gear and people where they stand, lines, mains drops, names.

The hall is at the top, right is right, as the places of a show are given. Symbols have one size
whatever the scale, so those that would cover each other are moved apart; a name stands where there
is room for it, with a thin line to its thing if that is not beside it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from html import escape
from typing import Final

from levelhead.drawing.diagram_style import PRINT
from levelhead.drawing.plan.stage_names import Area, Name, placed_names
from levelhead.drawing.plan.symbols import RULES, SYMBOLS
from levelhead.drawing.plan.symbols import SIZE as SYMBOL
from levelhead.drawing.plan.things import front_deg, people_on, things_on
from levelhead.exchange.sheet.pictured import Stage
from levelhead.rig.model import Rig

__all__ = ["CLASS", "stage_plan"]

CLASS: Final = "stage-plan"
SCALE: Final = 1.45  # of the symbols
APART: Final = SYMBOL * SCALE + 4
_EDGE: Final = (92.0, 58.0)  # beside and below what stands there, for names
_HEAD: Final = 26.0  # for the word at the hall's side
_LARGEST: Final = 150.0  # units a metre
_ROUNDS: Final = 60
_DROP: Final = "drop "
_RULES: Final = f"""\
{RULES}\
SCOPE text{{fill:var(--ink);font-size:13px;font-family:"IBM Plex Sans"}}
SCOPE .name{{font-weight:600}}
SCOPE .quiet{{fill:var(--quiet);font-size:12px}}
SCOPE text{{stroke:var(--ground);stroke-width:4;stroke-linejoin:round;paint-order:stroke}}
SCOPE .line{{stroke:var(--quiet);stroke-width:1;fill:none}}
SCOPE .mains{{stroke:var(--ink);stroke-width:1.2;stroke-dasharray:2 4;fill:none}}
SCOPE .leader{{stroke:var(--line);stroke-width:.8;fill:none}}
SCOPE .edge{{stroke:var(--ink);stroke-width:1.2;fill:none}}
"""

Point = tuple[float, float]


@dataclass(frozen=True, slots=True)
class _Spot:
    """A symbol where it is drawn. ``lines`` are its name and what is written under it."""

    id: str
    symbol: str
    at: Point
    turned_deg: float
    lines: tuple[str, ...]


def stage_plan(rig: Rig, stage: Stage, *, width: float, height: float) -> str:
    """The plan as SVG, of a width, and of a height at most. [drawing units: 0.25 mm]"""
    spots, size = _spots(rig, stage, width, height)
    places = {spot.id: spot.at for spot in spots}
    taken = [_around(spot.at) for spot in spots]
    names = placed_names([(spot.at, spot.lines) for spot in spots], taken, size)
    drawn = [
        *_hall(size),
        *_lines(stage, places),
        *(leader for name in names for leader in _leader(name)),
        *map(_symbol, spots),
        *(text for name in names for text in _name(name)),
    ]
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" class="{CLASS}" '
        f'viewBox="0 0 {size[0]:.6g} {size[1]:.6g}" width="{size[0]:.6g}" '
        f'height="{size[1]:.6g}"><style>{_style()}</style>{"".join(drawn)}</svg>'
    )


def _style() -> str:
    rules = _RULES.replace("SCOPE", f".{CLASS}")
    for name, colour in PRINT.items():
        rules = rules.replace(f"var(--{name})", colour)
    return rules


# ---------------------------------------------------------------- where everything stands


def _spots(
    rig: Rig, stage: Stage, width: float, height: float
) -> tuple[list[_Spot], tuple[float, float]]:
    """Symbols with their places, moved apart, and the size of the plan."""
    metres = dict(_metres(rig, stage))
    lows, highs = (
        [pick(at[axis] for at in metres.values()) for axis in (0, 1)] for pick in (min, max)
    )
    room = (width - 2 * _EDGE[0], height - 2 * _EDGE[1] - _HEAD)
    per_m = min(_LARGEST, *(room[axis] / max(highs[axis] - lows[axis], 1.0) for axis in (0, 1)))
    tall = min(height, (highs[1] - lows[1]) * per_m + 2 * _EDGE[1] + _HEAD)
    middle = [(low + high) / 2 for low, high in zip(lows, highs, strict=True)]
    points = {
        name: (
            width / 2 + (at[0] - middle[0]) * per_m,
            (tall + _HEAD) / 2 - (at[1] - middle[1]) * per_m,
        )
        for name, at in metres.items()
    }
    apart = _moved_apart(points, (width, tall))
    words = _words(rig, stage)
    spots = [
        _Spot(name, symbol, apart[name], turned, words.get(name, ()))
        for name, symbol, turned in _symbols(rig, stage)
    ]
    return spots, (width, tall)


def _metres(rig: Rig, stage: Stage) -> Iterator[tuple[str, Point]]:
    """Places of things, people and mains drops. [m: right, into the hall]"""
    places = {each.id: each.at for each in things_on(rig) if each.at is not None}
    for item in stage.items:
        yield item, (places[item][0], places[item][1])
    for person in people_on(rig):
        if person.heard_by in stage.items:
            yield person.id, person.at
    for name, items in stage.drops.items():
        ats = [places[item] for item in items]
        middle = (sum(at[0] for at in ats) / len(ats), sum(at[1] for at in ats) / len(ats))
        yield f"{_DROP}{name}", middle


def _symbols(rig: Rig, stage: Stage) -> Iterator[tuple[str, str, float]]:
    """Name, symbol and turn of everything, drops last."""
    for thing in things_on(rig):
        if thing.id in stage.items:
            turns = SYMBOLS[thing.symbol].turns
            yield thing.id, thing.symbol, front_deg(thing) if turns else 0.0
    for person in people_on(rig):
        if person.heard_by in stage.items:
            yield person.id, "performer", person.faces_deg
    for name in stage.drops:
        yield f"{_DROP}{name}", _DROP, 0.0


def _words(rig: Rig, stage: Stage) -> dict[str, tuple[str, ...]]:
    found = {item: (rig.items[item].label, *stage.words.get(item, ())) for item in stage.items}
    for person in people_on(rig):
        if person.called.casefold() not in rig.items[person.heard_by].label.casefold():
            found[person.id] = (person.called,)
    return found | {f"{_DROP}{name}": (f"Mains: {name}",) for name in stage.drops}


def _moved_apart(points: Mapping[str, Point], size: Point) -> dict[str, Point]:
    """Places no nearer to one another than a symbol is wide, as close to their own as that goes."""
    found = dict(points)
    names = list(found)
    for _ in range(_ROUNDS):
        moved = False
        for number, one in enumerate(names):
            for other in names[number + 1 :]:
                moved |= _push(found, one, other)
        if not moved:
            break
    low = (_EDGE[0] / 2, _EDGE[1] / 2 + _HEAD)
    return {
        name: (
            min(max(x, low[0]), size[0] - low[0]),
            min(max(y, low[1]), size[1] - _EDGE[1] / 2),
        )
        for name, (x, y) in found.items()
    }


def _push(found: dict[str, Point], one: str, other: str) -> bool:
    (x1, y1), (x2, y2) = found[one], found[other]
    away = ((x2 - x1) ** 2 + (y2 - y1) ** 2) ** 0.5
    if away >= APART - 0.5:
        return False
    along = ((x2 - x1) / away, (y2 - y1) / away) if away > 1 else (1.0, 0.0)
    by = (APART - away) / 2
    found[one] = (x1 - along[0] * by, y1 - along[1] * by)
    found[other] = (x2 + along[0] * by, y2 + along[1] * by)
    return True


def _around(at: Point) -> Area:
    half = SYMBOL * SCALE / 2
    return (at[0] - half, at[1] - half, at[0] + half, at[1] + half)


# ---------------------------------------------------------------- what is drawn


def _hall(size: Point) -> Iterator[str]:
    """An arrow into the hall, with its word."""
    x = size[0] / 2
    yield f'<path class="edge" d="M{x - 30:.6g} 22v-16m-4 6l4-6l4 6"/>'
    yield f'<text x="{x - 18:.6g}" y="19" class="name">Hall</text>'


def _lines(stage: Stage, places: Mapping[str, Point]) -> Iterator[str]:
    for one, other in stage.lines:
        (x1, y1), (x2, y2) = places[one], places[other]
        yield f'<path class="line" d="M{x1:.6g} {y1:.6g} L{x2:.6g} {y2:.6g}"/>'
    for name, items in stage.drops.items():
        x1, y1 = places[f"{_DROP}{name}"]
        for item in items:
            x2, y2 = places[item]
            yield f'<path class="mains" d="M{x1:.6g} {y1:.6g} L{x2:.6g} {y2:.6g}"/>'


def _symbol(spot: _Spot) -> str:
    x, y = spot.at
    turned = f" rotate({spot.turned_deg:.6g})" if spot.turned_deg else ""
    drawn = _OUTLET if spot.symbol == _DROP else SYMBOLS[spot.symbol].drawn
    return f'<g transform="translate({x:.6g} {y:.6g}){turned} scale({SCALE})">{drawn}</g>'


# a socket outlet from the front: a round well with two holes
_OUTLET: Final = (
    '<circle r="9" class="body"/><circle r="6" class="mark"/>'
    '<circle cx="-2.6" r="1.4" class="dot"/><circle cx="2.6" r="1.4" class="dot"/>'
)


def _leader(name: Name) -> Iterator[str]:
    if name.is_far:
        (x1, y1), (x2, y2) = name.of, name.joint
        yield f'<path class="leader" d="M{x1:.6g} {y1:.6g} L{x2:.6g} {y2:.6g}"/>'


def _name(name: Name) -> Iterator[str]:
    for number, (line, x, y) in enumerate(name.lines):
        class_ = "name" if number < name.heads else "quiet"
        yield (f'<text x="{x:.6g}" y="{y:.6g}" class="{class_}">{escape(line, quote=False)}</text>')
