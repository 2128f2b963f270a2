"""The level picture of an open show: a way from its source to its end, live while a hand turns.

What is turned is tried on the solved state and told; nothing is written until the hand lets go.
Places on the lanes are worked out here, with one length of a decibel for all units and scales
that stand still, so that what moves on the page is a level.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import pairwise
from typing import Any, Final

import numpy as np

from levelhead.acoustics.heard.seat_points import seat_points
from levelhead.chain.best_ways import called, strongest_ways
from levelhead.chain.levels import PointLevels, decibels, levels_of
from levelhead.chain.solution import Solution
from levelhead.drawing.figures import level_figure
from levelhead.drawing.lanes import clips
from levelhead.gear.plan import ControlPlan
from levelhead.gear.positions import hand_words
from levelhead.gear.scales import SCALES
from levelhead.quantity.bands import band_labels
from levelhead.quantity.peaks import SINE_CREST_DB
from levelhead.rig.model import Rig
from levelhead.rig.naming import point_label
from levelhead.rig.settings import setting_text
from levelhead.show.addresses import item_of
from levelhead.show.edits import Edit, Set
from levelhead.web.live.looks import Look

__all__ = ["levels"]

Json = dict[str, Any]
Way = tuple[str, ...]
SPAN_DB: Final = 170.0  # of every scale
TOP_DB: Final[Mapping[str, float]] = {"dBu": 45.0, "dBFS": 5.0, "dB SPL": 145.0, "dB(A)": 145.0}
_SEATS: Final = 100  # of an area: they follow a hand
TICK_DB: Final = 20
OFF_DB: Final = -300.0  # where off stands among settings
STEP_DB: Final = 0.5
_PLACES: Final = 200  # of a control's travel at which it can be put
_RANGE: Final = "range"
_OPENED: Final = "opened"  # by its name in what looks keep


def levels(look: Look, source: str, goal: str, band: int | None, edits: Sequence[Edit]) -> Json:
    """Every point of a way with its levels, and the controls on it.

    Parameters
    ----------
    source, goal
        Id of who sounds, and the address where its way ends; the first source, and its strongest
        way, where there is none of that name. A source may also be an item that a way passes.
    band
        Of the 31 bands, from 0; all of them together without.
    edits
        Tried, not made: the answer is what they would do.

    Raises
    ------
    LevelheadError
        The edits do not fit.
    """
    now = look.tried(edits) if edits else look
    solution = now.solution
    opened = _opened(look)
    ways = opened.paths
    if not ways:
        return {"sources": [], "points": []}
    way = _chosen(opened, ways, source, goal)
    own = [each for each in ways if item_of(each[0]) == item_of(way[0])]
    controls = dict(_controls(opened, way))
    return {
        "sources": [
            {"id": item, "label": called(solution, item)}
            for item in dict.fromkeys(item_of(each[0]) for each in ways)
        ],
        "source": item_of(way[0]),
        "goals": [
            {"at": at, "label": _ended(solution, at)}
            for at in dict.fromkeys(each[-1] for each in own)
        ],
        "goal": way[-1],
        "bands": list(band_labels()),
        "band": band,
        "scales": {unit: _ticks(unit) for unit in TOP_DB},
        "points": [
            *(_point(solution, at, band, controls.get(at, ()), is_tried=bool(edits)) for at in way),
            *(_seats(solution, way) if band is None else ()),
        ],
    }


def _opened(look: Look) -> Solution:
    """The same with every fader up, so that one that is down leaves its way on the screen.

    Sends and switches stay: what goes nowhere by them has no way there.
    """
    known: tuple[Solution, Solution] | None = look.kept.get(_OPENED)
    if known is None or known[0] is not look.solution:
        up = [_up(look.solution.rig, each) for each in sorted(set(_down(look.solution.rig)))]
        known = (look.solution, look.tried(up).solution if up else look.solution)
        look.kept[_OPENED] = known
    return known[1]


def _down(rig: Rig) -> Iterator[str]:
    """Controls of stages that stand at off."""
    for item in rig.items.values():
        for block, path in item.paths():
            for stage in path.stages:
                if stage.control is not None:
                    control = rig.control_of(item, block, stage.control)
                    is_range = rig.controls[control].kind == _RANGE
                    if is_range and np.isinf(rig.setting_db(control)):
                        yield control


def _up(rig: Rig, control: str) -> Set:
    plan = rig.controls[control]
    return Set(control, setting_text(min(0.0, plan.high), plan))


def _ended(solution: Solution, address: str) -> str:
    """Where a way ends: a loudspeaker by its name, a socket with its strip."""
    name = called(solution, item_of(address))
    is_air = solution.point(address).unit == "Pa"
    return name if is_air else f"{name}, {point_label(address.partition('.')[2])}"


def _chosen(solution: Solution, ways: Sequence[Way], source: str, goal: str) -> Way:
    of_source = [each for each in ways if item_of(each[0]) == source]
    passing = [each for each in ways if any(item_of(at) == source for at in each)]
    found = of_source or passing or list(ways)
    to_goal = [each for each in found if each[-1] == goal]
    return (to_goal or list(strongest_ways(solution, found)))[0]


# ---------------------------------------------------------------- a point


def _seats(solution: Solution, way: Way) -> Iterator[Json]:
    """What the source brings to each area, behind a way that ends in the air of the hall."""
    areas = solution.rig.show.areas
    if areas and solution.point(way[-1]).unit == "Pa":
        for level in seat_points(solution, {item_of(way[0])}, most_seats=_SEATS):
            area = areas[level.at.partition(".")[2]]
            named = {"at": level.at, "item": "Seats", "point": area.label or area.id}
            yield named | _figures(level) | {"controls": []}


def _point(
    solution: Solution, at: str, band: int | None, controls: Sequence[str], *, is_tried: bool
) -> Json:
    level = _level(solution, at, band)
    item = item_of(at)
    return {
        "at": at,
        "item": called(solution, item),
        "point": point_label(at[len(item) + 1 :]),
        **_figures(level),
        "controls": [_control(solution.rig, each, is_tried=is_tried) for each in controls],
    }


def _figures(level: PointLevels) -> Json:
    """What is written of a point, and where it is on its lane."""
    return {
        "unit": level.unit,
        "floor": level_figure(level.floor, level.unit),
        "nominal": level_figure(level.nominal, level.unit),
        "peak": level_figure(level.peak, level.unit),
        "ceiling": level_figure(level.ceiling, level.unit),
        "room": _room(level),
        "clips": clips(level),
        "x": {
            name: _x(getattr(level, name), level.unit)
            for name in ("floor", "nominal", "peak", "ceiling")
        },
    }


def _level(solution: Solution, at: str, band: int | None) -> PointLevels:
    """Levels of a point, in all or in one band; of one band nobody knows a peak."""
    whole = solution.levels(at)
    if band is None:
        return whole
    row = solution.number(at)
    unit = solution.point(at).unit
    power = solution.power_at(at)[band], solution.carried.noise_total()[row, band]
    signal, noise = (float(np.sqrt(each)) for each in power)
    ceiling = float(solution.ceiling_by_band(at)[band])
    crest_db = SINE_CREST_DB
    found = levels_of(at, unit, (signal, ceiling, noise, noise), crest_db=crest_db)
    return PointLevels(
        at, found.unit, found.nominal, None, decibels(ceiling, unit), found.floor, None
    )


def _room(level: PointLevels) -> str:
    """Headroom as a figure, clipping in words."""
    if clips(level):
        return f"clips by {abs(level.headroom or 0.0):.1f}"
    return level_figure(level.headroom, "dB")


def _x(level_db: float | None, unit: str) -> float | None:
    """Place on the lane, from 0 (left) to 1."""
    if level_db is None:
        return None
    share = 1 - (TOP_DB[unit] - level_db) / SPAN_DB
    return round(min(max(share, 0.0), 1.0), 4)


def _ticks(unit: str) -> list[Json]:
    top = TOP_DB[unit]
    first = int(top // TICK_DB) * TICK_DB
    places = range(first, int(top - SPAN_DB), -2 * TICK_DB)
    return [
        {"x": _x(float(at), unit), "words": level_figure(float(at), unit).removesuffix(".0")}
        for at in places
    ]


# ---------------------------------------------------------------- controls


def _controls(solution: Solution, way: Way) -> Iterator[tuple[str, tuple[str, ...]]]:
    """Controls of a range at each point of a way: of the stage, and of the way into it."""
    rig = solution.rig
    last = ""
    for before, at in pairwise(("", *way)):
        named = [_crossing(solution, before, at) if before else None, solution.point(at).control]
        found = [
            each
            for each in named
            if each is not None and each != last and rig.controls[each].kind == _RANGE
        ]
        last = found[-1] if found else last
        if found:
            yield at, tuple(dict.fromkeys(found))


def _crossing(solution: Solution, before: str, at: str) -> str | None:
    """The control on the way between two points, such as a send."""
    columns = solution.graph.columns
    one, other = solution.number(before), solution.number(at)
    edges = np.flatnonzero((columns.source == one) & (columns.target == other))
    found = (solution.graph.edges[int(edge)].control for edge in edges)
    return next((each for each in found if each is not None), None)


def _control(rig: Rig, address: str, *, is_tried: bool) -> Json:
    plan = rig.controls[address]
    setting = rig.setting_db(address)
    stops = _stops(plan)
    nearest = min(range(len(stops)), key=lambda each: abs(_finite(stops[each]) - _finite(setting)))
    found: Json = {
        "at": address,
        "label": plan.label,
        "value": setting_text(setting, plan),
        "hand": hand_words(plan, setting),
        "now": nearest,
        "locked": address in rig.show.locks,
    }
    if not is_tried:  # while it is turned they stay as they are
        found["stops"] = [setting_text(each, plan) for each in stops]
    return found


def _finite(setting_db: float) -> float:
    return max(setting_db, OFF_DB)


def _stops(plan: ControlPlan) -> list[float]:
    """Settings that a hand can choose, even over the travel of the control, to half a decibel."""
    scale = SCALES[plan.scale]
    found = [
        scale.setting(place / _PLACES, low_db=plan.low, high_db=plan.high)
        for place in range(_PLACES + 1)
    ]
    halves = (each if np.isinf(each) else round(each / STEP_DB) * STEP_DB for each in found)
    return sorted(dict.fromkeys(min(max(each, plan.low), plan.high) for each in halves))
