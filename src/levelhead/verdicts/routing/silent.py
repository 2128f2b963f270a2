"""Recorders with a plug in them that nothing comes by, although something could.

A loudspeaker that stays silent is heard to be silent; a recorder is found out when the evening is
over. What could come is what the ways show with every control up and every switch open.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from levelhead.chain.solution import Solution
from levelhead.verdicts.finding import Compared, Finding, Severity
from levelhead.verdicts.reach import Place
from levelhead.verdicts.reading import Reading
from levelhead.verdicts.routing.sends import recorders

__all__ = ["NO_SIGNAL", "SENTENCE", "check_recorders_have_a_signal", "ways_to"]

NO_SIGNAL = "routing.no-signal"
SENTENCE = (
    "{input} gets no signal: {who} could come there, and something on the way is turned down or "
    "switched away. In the room nobody notices that."
)


def check_recorders_have_a_signal(reading: Reading) -> Iterator[Finding]:
    """Plugged inputs of recorders: does anything come, if something plays that could?

    Judged once anything else is set: a loudspeaker plays, or another recorder gets something.
    """
    solution = reading.solution
    ends = list(recorders(reading))
    silent = [each for each in ends if not solution.nominal[each.number] > 0]
    plays = [each.number for each in ends if solution.nominal[each.number] > 0]
    heard = [number for number in reading.reach.loudspeakers if solution.nominal[number] > 0]
    if not silent or not (plays or heard):
        return
    told: set[str] = set()
    for end in silent:
        port = _plug_of(reading, end)
        who = _could_come(solution, end.number) if port is not None else ()
        if port is not None and who and port not in told:
            told.add(port)
            yield _silent(reading, end, port, who)


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
    before = np.zeros(len(wiring), dtype=bool)
    before[number] = True
    while True:
        found = before.copy()
        found[wiring.ways.source[before[wiring.ways.target]]] = True
        if (found == before).all():
            return before
        before = found


def _could_come(solution: Solution, number: int) -> tuple[str, ...]:
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


def _silent(reading: Reading, end: Place, port: str, who: tuple[str, ...]) -> Finding:
    names = who[0] if len(who) == 1 else f"{who[0]} and {len(who) - 1} more"
    return Finding(
        code=NO_SIGNAL,
        severity=Severity.CARE,
        where=reading.solution.graph.points[end.number].address,
        what=SENTENCE.format(input=reading.rig.ports[port].label, who=names),
        why=(
            Compared("signals that reach it", 0.0, 1.0, ""),
            Compared("signals that could", float(len(who)), None, ""),
        ),
        source="ways of the signals to the recorder, as everything stands and with all of it open",
        basis="common practice",
        ports=(port,),
    )
