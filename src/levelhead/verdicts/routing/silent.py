"""Recorders with a plug in them that nothing comes by, although something could.

A loudspeaker that stays silent is heard to be silent; a recorder is found out when the evening is
over. What could come is what the ways show with every control up and every switch open. A rig where
nothing plays yet is judged only where somebody has set what shuts the way: all mutes in, all
faders down.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import numpy as np
from numpy.typing import NDArray

from levelhead.chain.solution import Solution
from levelhead.rig.model import Rig
from levelhead.verdicts.read.places import kept_while, open_ways
from levelhead.verdicts.read.reach import Place
from levelhead.verdicts.read.reading import Reading
from levelhead.verdicts.routing.sends import recorders
from levelhead.verdicts.routing.shut import shut_crossings
from levelhead.verdicts.told.finding import Compared, Finding, Severity
from levelhead.verdicts.told.words import control_words

__all__ = [
    "NO_SIGNAL",
    "SENTENCE",
    "check_recorders_have_a_signal",
    "could_come",
    "shut_by",
    "ways_to",
    "who_words",
]

NO_SIGNAL = "routing.no-signal"
SENTENCE = (
    "{input} gets no signal: {who} could come there, and something on the way is turned down or "
    "switched away. In the room nobody notices that."
)
SHUT_BY_HAND = (
    "{input} gets no signal: {who} could come there, and {control} shuts the way, as it stands. "
    "Nothing tells that the recording stays empty until it is played."
)


def _reads(reading: Reading) -> tuple[object, ...]:
    """Which ways are open, where anything sounds, and which controls somebody has set."""
    return *open_ways(reading), frozenset(reading.rig.show.settings)


@kept_while(_reads)
def check_recorders_have_a_signal(reading: Reading) -> Iterator[Finding]:
    """Plugged inputs of recorders: does anything come, if something plays that could?

    Judged once anything else is set: a loudspeaker plays, another recorder gets something, or a
    mute or a fader on the way has been shut.
    """
    solution = reading.solution
    ends = list(recorders(reading))
    silent = [each for each in ends if not solution.nominal[each.number] > 0]
    plays = [each.number for each in ends if solution.nominal[each.number] > 0]
    heard = [number for number in reading.reach.loudspeakers if solution.nominal[number] > 0]
    told: set[str] = set()
    for end in silent:
        port = _plug_of(reading, end)
        if port is None or port in told:
            continue
        who = could_come(solution, end.number)
        shut = None if plays or heard else _shut_by_hand(solution, end.number)
        if who and (plays or heard or shut):
            told.add(port)
            yield _silent(reading, end, port, who, shut)


def _shut_by_hand(solution: Solution, number: int) -> str | None:
    """The nearest control with a signal before it that somebody has set so that it shuts the way.

    A send that stands at off because nobody has touched it yet says nothing.
    """
    rig, before = solution.rig, ways_to(solution, number)
    wiring = solution.graph.wiring
    for way in np.flatnonzero(before[wiring.ways.source] & before[wiring.ways.target]).tolist():
        fader = wiring.on_way(way).control
        is_fed = solution.nominal[wiring.ways.source[way]] > 0
        if fader is not None and is_fed and _is_off(rig, fader) and fader in rig.show.settings:
            return fader
    for each in shut_crossings(solution):
        if before[each.target] and solution.nominal[each.source] > 0:
            for control in each.opened_by:
                if control in rig.show.settings:
                    return control
    return None


def shut_by(solution: Solution, number: int) -> tuple[str, ...]:
    """Controls with a signal before them that shut the ways to a silent point: at off, or panned.

    Whoever set them is not asked.
    """
    rig, before = solution.rig, ways_to(solution, number)
    wiring = solution.graph.wiring
    found: dict[str, None] = {}
    for way in np.flatnonzero(before[wiring.ways.source] & before[wiring.ways.target]).tolist():
        control = wiring.on_way(way).control
        if control is None or not solution.nominal[wiring.ways.source[way]] > 0:
            continue
        is_panned = rig.controls[control].kind == "pan"
        is_silent = not solution.nominal[wiring.ways.target[way]] > 0
        if _is_off(rig, control) or (is_panned and is_silent):
            found[control] = None
    for each in shut_crossings(solution):
        if before[each.target] and solution.nominal[each.source] > 0:
            found.update(dict.fromkeys(each.opened_by))
    return tuple(found)


def _is_off(rig: Rig, control: str) -> bool:
    return rig.controls[control].kind == "range" and math.isinf(rig.setting_db(control))


def _plug_of(reading: Reading, end: Place) -> str | None:
    """The plugged socket by which something would come to the end of a path."""
    for origin in end.lane.path.origins:
        if origin.port is not None:
            address = end.lane.port_of(origin.port)
            if reading.rig.ports[address].link is not None:
                return address
    return None


def ways_to(solution: Solution, number: int) -> NDArray[np.bool_]:
    """Points from which a point could be reached with every control up and every mute open."""
    wiring = solution.graph.wiring
    shut = list(shut_crossings(solution))
    source = np.append(wiring.ways.source, [each.source for each in shut]).astype(np.int64)
    target = np.append(wiring.ways.target, [each.target for each in shut]).astype(np.int64)
    before = np.zeros(len(wiring), dtype=bool)
    before[number] = True
    while True:
        found = before.copy()
        found[source[before[target]]] = True
        if (found == before).all():
            return before
        before = found


def could_come(solution: Solution, number: int) -> tuple[str, ...]:
    """Labels of the signals that play and have a way there, whatever stands on it."""
    graph, before = solution.graph, ways_to(solution, number)
    return tuple(
        dict.fromkeys(
            graph.components[each.component].label
            for each in graph.entries
            if before[each.point]
            and solution.nominal[each.point] > 0
            and graph.points[each.point].item not in solution.dead
        )
    )


def who_words(who: Sequence[str]) -> str:
    """The first of some signals, and how many more."""
    return who[0] if len(who) == 1 else f"{who[0]} and {len(who) - 1} more"


def _silent(
    reading: Reading, end: Place, port: str, who: tuple[str, ...], shut: str | None
) -> Finding:
    words = {"input": reading.rig.ports[port].label, "who": who_words(who)}
    what = SENTENCE.format(**words)
    if shut is not None:
        what = SHUT_BY_HAND.format(**words, control=control_words(reading.rig, shut))
    return Finding(
        code=NO_SIGNAL,
        severity=Severity.CARE,
        where=reading.solution.graph.points[end.number].address,
        what=what,
        why=(
            Compared("signals that reach it", 0.0, 1.0, ""),
            Compared("signals that could", float(len(who)), None, ""),
        ),
        source="ways of the signals to the recorder, as everything stands and with all of it open",
        basis="common practice",
        ports=(port,),
    )
