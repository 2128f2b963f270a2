"""Sound that gets lost by a side or a switch: one half of stereo, players that are muted."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Final

import numpy as np
from numpy.typing import NDArray

from levelhead.rig.model import Rig
from levelhead.verdicts.explain import PRACTICE, Explained, Threshold
from levelhead.verdicts.read.places import kept_while, open_ways
from levelhead.verdicts.read.reach import Place
from levelhead.verdicts.read.reading import Reading
from levelhead.verdicts.told.finding import Compared, Finding, Severity
from levelhead.verdicts.told.words import control_words, place_words

__all__ = [
    "EXPLAINED",
    "ONE_SIDE",
    "SENTENCES",
    "SHUT",
    "check_both_sides",
    "check_players_are_open",
]

ONE_SIDE, SHUT = "routing.one-side", "routing.shut"
LOST_DB: Final = 40.0  # crosstalk of an output, common practice: no more than that is no signal
_SIDES: Final = ("left", "right")

SENTENCES: Final = {
    ONE_SIDE: "The {lost} side of {who} is heard nowhere: it goes no further than {end}. It works "
    "for what is the same on both sides.",
    SHUT: "{who} plays, and nothing of it leaves: {switch} shuts it.",
}


# --- one side of stereo ---


def check_both_sides(reading: Reading) -> Iterator[Finding]:
    """Stereo that is plugged on both sides: do both come out of a loudspeaker?"""
    graph = reading.solution.graph
    heard = _heard(reading)
    names = {each.name: number for number, each in enumerate(graph.components)}
    for name, number in names.items():
        stem, _, side = name.rpartition("-")
        other = names.get(f"{stem}-right")
        if side == "left" and other is not None:
            yield from _half(reading, heard, (number, other))


def _heard(reading: Reading) -> NDArray[np.float64]:
    """Power of each signal at the loudspeaker where it is strongest, (signals,)."""
    carried = reading.solution.carried
    speaking = np.zeros(len(reading.solution.nominal), dtype=bool)
    speaking[list(reading.reach.loudspeakers)] = True
    rows = np.flatnonzero(speaking[carried.point] & (carried.component < carried.first_noise))
    heard = np.zeros(len(reading.solution.graph.components))
    np.maximum.at(heard, carried.component[rows], carried.power[rows].sum(axis=1))
    return heard


def _power(reading: Reading) -> Mapping[tuple[int, int], float]:
    """Power of each signal at each point, over all bands."""
    carried = reading.solution.carried
    found: dict[tuple[int, int], float] = {}
    total = carried.power.sum(axis=1)
    for point, component, power in zip(
        carried.point.tolist(), carried.component.tolist(), total.tolist(), strict=True
    ):
        if component < carried.first_noise:
            key = (point, component)
            found[key] = max(found.get(key, 0.0), power)
    return found


def _half(
    reading: Reading, by_signal: NDArray[np.float64], pair: tuple[int, int]
) -> Iterator[Finding]:
    heard = [float(by_signal[one]) for one in pair]
    least = max(heard) * 10 ** (-LOST_DB / 10)
    lost = [number for number, each in enumerate(heard) if each <= least]
    if max(heard) <= 0 or len(lost) != 1:
        return
    component, other = pair[lost[0]], pair[1 - lost[0]]
    end = _end(reading, _power(reading), component, other)
    if end is None:
        return
    points = reading.solution.graph.points
    yield Finding(
        code=ONE_SIDE,
        severity=Severity.CARE,
        where=points[end].address,
        what=SENTENCES[ONE_SIDE].format(
            lost=_SIDES[lost[0]],
            who=reading.solution.graph.components[component].label,
            end=place_words(points[end].label or points[end].address),
        ),
        why=(Compared("loudspeakers that this side comes out of", 0.0, 1.0, ""),),
        source="each side of the signal followed through everything that is plugged and turned up",
        basis="common practice",
    )


def _end(
    reading: Reading, power: Mapping[tuple[int, int], float], component: int, other: int
) -> int | None:
    """The last point that a side reaches; ``None`` if it never comes to a plug.

    A player of two sockets of which one is used is used so on purpose; a lead that leaves one side
    of a stereo socket behind mostly is not. Where it is far below the other side it only leaks.
    """
    graph = reading.solution.graph
    depth = graph.order.depth
    own = graph.components[component].origin
    leak = 10 ** (-LOST_DB / 10)
    reached = [
        point
        for (point, one), level in power.items()
        if one == component and level > leak * power.get((point, other), 0.0)
    ]
    away = [point for point in reached if graph.points[point].item != own]
    away = away or [point for point in reached if _is_at_a_plug(reading, point)]
    return max(away, key=lambda each: (int(depth[each]), -each), default=None)


def _is_at_a_plug(reading: Reading, point: int) -> bool:
    """Whether a point is one signal of a stereo socket with a plug in it."""
    port = reading.rig.ports.get(reading.solution.graph.points[point].address.rpartition(".")[0])
    return port is not None and port.link is not None and len(port.plan.signals) > 1


# --- muted players ---


@kept_while(open_ways)
def check_players_are_open(reading: Reading) -> Iterator[Finding]:
    """What plays and gets nothing from others: does a switch keep all of it inside?"""
    solution = reading.solution
    graph = solution.graph
    shut_stages = _shut_stages(reading)
    for item in dict.fromkeys(graph.points[entry.point].item for entry in graph.entries):
        if item in reading.rig.items and item not in solution.dead:
            shut = shut_stages.get(item)
            if shut is not None and _is_silent_outside(reading, item):
                yield _muted(reading, item, shut)


def _shut_stages(reading: Reading) -> Mapping[str, int]:
    """Of each item the first stage that a position of a switch shuts, with a signal before it."""
    is_shut = reading.solution.graph.wiring.columns.fixed_gain == 0
    found: dict[str, int] = {}
    for place in reading.reach.stages(lambda _: True):
        if is_shut[place.number] and _arrives(reading, place.number):
            found.setdefault(place.lane.item.id, place.number)
    return found


def _arrives(reading: Reading, number: int) -> bool:
    """Whether a signal stands before a stage."""
    ways = reading.solution.graph.wiring.ways
    before = ways.source[ways.target == number]
    return bool((reading.solution.nominal[before] > 0).any())


def _is_silent_outside(reading: Reading, item: str) -> bool:
    """Whether it has outputs in use, all of them silent, and nothing comes in."""
    solution = reading.solution
    ports = [each for each in reading.rig.ports.values() if each.item.id == item]
    plugged = [each for each in ports if each.link is not None]
    index = solution.graph.index
    sensed = [index[each.address] for each in plugged if each.address in index]
    return (
        any(each.plan.role == "out" for each in plugged)
        and not any(each.plan.role == "in" or each.plan.channels for each in plugged)
        and not any(solution.nominal[number] > 0 for number in sensed)
    )


def _muted(reading: Reading, item: str, number: int) -> Finding:
    point = reading.solution.graph.points[number]
    switch = switch_of(reading, point.address)
    words = control_words(reading.rig, switch) if switch else place_words(point.label)
    return Finding(
        code=SHUT,
        severity=Severity.FAILS,
        where=point.address,
        what=SENTENCES[SHUT].format(who=reading.rig.items[item].label, switch=words),
        why=(Compared("ways out that are open", 0.0, 1.0, ""),),
        source="gain of every stage between what plays and its outputs, as the switches stand",
        basis="definition",
        ports=reading.plugs(item),
    )


def switch_of(reading: Reading, address: str) -> str | None:
    """The switch that can shut a stage, by the stage's address."""
    place = reading.reach.places[reading.solution.graph.index[address]]
    return shut_by(reading.rig, silencing(reading.rig), place)


def silencing(rig: Rig) -> Mapping[str, tuple[str, ...]]:
    """By item, its controls that shut stages in some position."""
    found: dict[str, tuple[str, ...]] = {}
    for control, plan in rig.controls.items():
        if plan.silences:
            item = control.partition(".")[0]
            found[item] = (*found.get(item, ()), control)
    return found


def shut_by(rig: Rig, silencing_of: Mapping[str, tuple[str, ...]], place: Place) -> str | None:
    """The first of some controls, by item, that shuts the stage at a place."""
    item, block = place.lane.item.id, place.lane.block
    bare = place.stage.of
    inside = {bare, f"{block.block}.{bare}", f"{block.name}.{bare}"}
    for control in silencing_of.get(item, ()):
        if inside & set(rig.controls[control].silences):
            owner = control.removeprefix(f"{item}.").rpartition(".")[0]
            if owner in ("", block.name):
                return control
    return None


EXPLAINED: Final = (
    Explained(
        ONE_SIDE,
        "Each side of stereo that leaves its player: does it come out of a loudspeaker as the "
        "other "
        "side does?",
        (Threshold("below the other side: lost", LOST_DB, "dB", PRACTICE),),
    ),
    Explained(SHUT, "Stages of a player that a switch shuts, with everything behind them silent."),
)
