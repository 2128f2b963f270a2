"""Console and amplifier lined up: both at their ceilings together, or the amplifier first.

The other way leaves amplifiers fully up and turns the console down by as much: as loud, and with
the noise of the console's output behind the master, and of the line, amplified by it.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from levelhead.chain.solution import Solution
from levelhead.chain.solve import solve
from levelhead.gear.book import GearBook
from levelhead.planning.gains.model.values import Model
from levelhead.planning.gains.planned.lineup import Lineup, LineupWay
from levelhead.planning.gains.wanted.ends import End
from levelhead.rig.build import build_rig
from levelhead.rig.settings import setting_text
from levelhead.show.edits import Set, apply

__all__ = ["lineups_of"]

Real = NDArray[np.float64]

_SAME_DB: Final = 0.05


@dataclass(frozen=True, slots=True)
class _Line:
    """An end with the attenuator before it, the console behind that, and the master of that."""

    end: End
    attenuator: int
    console: int
    amplifier: int
    master: int | None


def lineups_of(model: Model, settings: Real, after: Solution, book: GearBook) -> tuple[Lineup, ...]:
    """Every level control of loudspeakers behind a console, both ways; the first of them to end."""
    lines = _first_of_each(after, _lines(model, after))
    if not lines:
        return ()
    found = []
    for master in dict.fromkeys(line.master for line in lines):
        mine = [line for line in lines if line.master == master]
        edits = _edits(model, after, _full_up(model, settings, master, mine))
        show, _ = apply(after.rig.show, list(edits.values()))
        full = solve(build_rig(show, book, previous=after.rig), after)
        found += [_lineup(model, settings, line, (after, full), edits) for line in mine]
    return tuple(found)


def _lines(model: Model, after: Solution) -> Iterator[_Line]:
    for end in model.ends:
        line = _line(model, after, end)
        if line is not None:
            yield line


def _first_of_each(after: Solution, lines: Iterable[_Line]) -> list[_Line]:
    """Of loudspeakers behind one attenuator, fed by one console output, the first to end."""
    found: dict[tuple[int, int], _Line] = {}
    for line in lines:
        key = (line.attenuator, line.console)
        known = found.setdefault(key, line)
        if _headroom_db(after, line.amplifier) < _headroom_db(after, known.amplifier) - _SAME_DB:
            found[key] = line
    return list(found.values())


def _edits(model: Model, after: Solution, changed: Mapping[int, float]) -> dict[int, Set]:
    knobs, controls = model.knobs.knobs, after.rig.controls
    return {
        each: Set(knobs[each].control, setting_text(value, controls[knobs[each].control]))
        for each, value in changed.items()
    }


def _line(model: Model, after: Solution, end: End) -> _Line | None:
    """Back from an end: ceilings, the last knob, then the output that feeds its item.

    Where signals are mixed on the way (a powered mixer), there is nothing to line up.
    """
    if end.kind not in {"audience", "performers"}:
        return None
    point = after.number(end.address)
    knob, amplifier = None, point
    columns, arriving = after.graph.wiring.columns, _arriving(after)
    while (edge := after.strongest_edges.get(point)) is not None and arriving[point] == 1:
        if knob is None:
            amplifier = _nearer(after, amplifier, point)
            knob = model.knobs.by_number.get(int(columns.control[point]))
        elif edge.through is not None:
            return _Line(end, knob, edge.source, amplifier, _master(model, after, end, knob))
        point = edge.source
    return None


def _arriving(after: Solution) -> NDArray[np.int64]:
    """How many ways bring something to each point."""
    columns = after.graph.columns
    target = columns.target[after.nominal[columns.source] > 0]
    return np.bincount(target, minlength=len(after.nominal))


def _nearer(after: Solution, one: int, other: int) -> int:
    """The point with less headroom."""
    return min((one, other), key=lambda each: _headroom_db(after, each))


def _headroom_db(solution: Solution, point: int) -> float:
    levels = solution.levels(solution.graph.wiring.addresses[point])
    return math.inf if levels.headroom is None else levels.headroom


def _master(model: Model, after: Solution, end: End, attenuator: int) -> int | None:
    """The last knob before the attenuator that everything at the end passes."""
    passed = [
        level.slopes[0] != 0 for target, level in model.targets if target.end.point == end.point
    ]
    if not passed:
        return None
    common = np.logical_and.reduce(passed)
    depth = after.graph.order.depth
    numbers = {variable: number for number, variable in model.knobs.by_number.items()}
    columns = after.graph.wiring.columns
    found = []
    for variable in np.flatnonzero(common[: len(model.knobs.knobs)]).tolist():
        points = np.flatnonzero(columns.control == numbers[variable])
        is_free = not model.knobs.knobs[variable].is_locked
        if variable != attenuator and len(points) and is_free:
            found.append((int(depth[points].max()), variable))
    return max(found)[1] if found else None


def _full_up(
    model: Model, settings: Real, master: int | None, lines: Sequence[_Line]
) -> dict[int, float]:
    """Attenuators as far up as their master can go down instead, and the master."""
    knobs = model.knobs.knobs
    mine = {line.attenuator for line in lines}
    if master is None or any(knobs[each].is_locked for each in mine):
        return {}
    rooms = [knobs[each].high_db - float(settings[each]) for each in mine]
    by = min(*rooms, float(settings[master]) - knobs[master].low_db)
    if by <= 0:
        return {}
    changed = {each: round(float(settings[each]) + by, 1) for each in mine}
    return changed | {master: round(float(settings[master]) - by, 1)}


def _lineup(
    model: Model,
    settings: Real,
    line: _Line,
    solutions: tuple[Solution, Solution],
    edits: Mapping[int, Set],
) -> Lineup:
    after, full = solutions
    knob = model.knobs.knobs[line.attenuator]
    addresses = after.graph.wiring.addresses
    here = float(settings[line.attenuator])
    mine = [each for each in (line.attenuator, line.master) if each in edits]
    up_db = _set_db(edits[line.attenuator], here) if line.attenuator in edits else here
    text = setting_text(here, after.rig.controls[knob.control])
    return Lineup(
        console=addresses[line.console],
        amplifier=addresses[line.amplifier],
        control=knob.control,
        end=line.end.address,
        planned=_way(after, line, here, (Set(knob.control, text),)),
        full_up=_way(full, line, up_db, tuple(edits[each] for each in mine if each is not None)),
    )


def _set_db(edit: Set, otherwise: float) -> float:
    """The setting that an edit of a range makes. [dB]"""
    text = (edit.value or "").removesuffix(" dB")
    return otherwise if text in {"", "off"} else float(text)


def _way(
    solution: Solution, line: _Line, attenuator_db: float, edits: tuple[Set, ...]
) -> LineupWay:
    console = _headroom_db(solution, line.console)
    amplifier = _headroom_db(solution, line.amplifier)
    return LineupWay(
        edits=edits,
        attenuator_db=attenuator_db,
        reserve_db=min(console, amplifier),
        console_over_db=console - amplifier,
        noise_a=solution.levels(line.end.address).floor_a,
    )
