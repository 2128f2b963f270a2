"""Returns into their own sends: does what comes round to itself die away, colour, or howl?"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from typing import Final

import numpy as np

from levelhead.chain.carrying.loops import Round
from levelhead.chain.graph.points import Edge
from levelhead.quantity.formatting import format_level
from levelhead.verdicts.explain import PRACTICE, Explained, Threshold
from levelhead.verdicts.read.reach import Reach
from levelhead.verdicts.read.reading import Reading
from levelhead.verdicts.told.finding import Compared, Finding, Severity
from levelhead.verdicts.told.limit_state import ROUNDING, Doubt, LimitState
from levelhead.verdicts.told.words import control_words, gain_words, place_words

__all__ = [
    "EXPLAINED",
    "LOOP",
    "LOOP_CARE_DB",
    "LOOP_FAILS_DB",
    "SENTENCES",
    "added_db",
    "check_loops",
    "edges_within",
]

LOOP: Final = "routing.loop"
ADDED_CARE_DB: Final = 1.0  # what nobody would act on, common practice
ADDED_FAILS_DB: Final = 10.0  # twice as loud at some frequencies: 10 phon, ISO 532


def added_db(gain_db: float) -> float:
    """Most that a loop adds where its rounds are in step: the geometric series. [dB]

    >>> round(added_db(-10.0), 2)
    3.3
    """
    return -20 * math.log10(1 - 10 ** (gain_db / 20)) if gain_db < 0 else math.inf


def _gain_that_adds(added: float) -> float:
    return 20 * math.log10(1 - 10 ** (-added / 20))


LOOP_CARE_DB: Final = _gain_that_adds(ADDED_CARE_DB)
LOOP_FAILS_DB: Final = _gain_that_adds(ADDED_FAILS_DB)

SENTENCES: Final[Mapping[str, str]] = {
    "howls": "What leaves {where} comes round to it {gain} once round: it howls.",
    "rings": "What leaves {where} comes round to it {gain} once round: it adds up to {added} "
    "and rings.",
    "colours": "What leaves {where} comes round to it {gain} once round: that adds up to "
    "{added} at "
    "some frequencies. It works while {controls} stays; {room} more and it howls.",
}


def check_loops(reading: Reading) -> Iterator[Finding]:
    """Every loop by itself; loops that share points are one."""
    for each in reading.solution.rounds:
        if each.gain_db > LOOP_CARE_DB + ROUNDING:
            yield _finding(reading, each)


def _finding(reading: Reading, each: Round) -> Finding:
    """A loop with its gain once round, and what it adds to the signal."""
    solution = reading.solution
    edges = edges_within(reading.reach, each)
    point = solution.graph.points[int(solution.graph.columns.target[each.closing[0]])]
    is_bad = each.gain_db > LOOP_FAILS_DB - ROUNDING
    kind = "howls" if each.gain_db >= -ROUNDING else "rings" if is_bad else "colours"
    added = added_db(each.gain_db)
    controls = list(dict.fromkeys(edge.control for edge in edges if edge.control is not None))
    compared = [Compared("gain once round", each.gain_db, LOOP_FAILS_DB, "dB")]
    if math.isfinite(added):
        compared.append(Compared("most that it adds", added, ADDED_FAILS_DB, "dB"))
    return Finding(
        code=LOOP,
        severity=Severity.FAILS if is_bad else Severity.CARE,
        where=point.address,
        what=SENTENCES[kind].format(
            where=place_words(point.label or point.address),
            gain=f"at {format_level(each.gain_db, 'dB')}",
            added=format_level(added, "dB") if math.isfinite(added) else "",
            controls=control_words(reading.rig, controls[-1]) if controls else "it",
            room=format_level(-each.gain_db, "dB"),
        ),
        why=tuple(compared),
        state=LimitState(LOOP_FAILS_DB - each.gain_db, "dB", lambda: _doubts(reading, edges)),
        source="gain round the loop in the band where it is largest; 1 / (1 - gain) is what it "
        "adds",
        basis="geometric series; ISO 532 (10 phon are twice as loud)",
        ports=tuple(_plugs(reading, edges)),
    )


def edges_within(reach: Reach, each: Round) -> list[Edge]:
    """Edges from point to point of the same loop."""
    graph = reach.solution.graph
    columns = graph.columns
    targets = [int(columns.target[cut]) for cut in each.closing]
    inside = list(set().union(*(reach.onward([one]) & reach.back([one]) for one in targets)))
    numbers = np.flatnonzero(np.isin(columns.source, inside) & np.isin(columns.target, inside))
    return [graph.edges[number] for number in numbers.tolist()]


def _doubts(reading: Reading, edges: Sequence[Edge]) -> Iterator[Doubt]:
    points = reading.solution.graph.points
    for edge in edges:
        for figure in edge.figures:
            words = gain_words(points[edge.target].label, figure.unit)
            yield Doubt(words, "fact", figure, -1.0)


def _plugs(reading: Reading, edges: Sequence[Edge]) -> Iterator[str]:
    """Sockets that the loop passes, at both ends of their leads."""
    points = reading.solution.graph.points
    met = {points[edge.target].address for edge in edges}
    met |= {edge.through.port for edge in edges if edge.through is not None}
    for link in reading.rig.links:
        if any(
            port in met or any(f"{port}." == each[: len(port) + 1] for each in met)
            for port in link.ports
        ):
            yield from link.ports


EXPLAINED: Final = (
    Explained(
        LOOP,
        "Gain once round every return into its own send, in the band where it is largest, and the "
        "most that the rounds add where they are in step.",
        (
            Threshold("added at most: care", ADDED_CARE_DB, "dB", PRACTICE),
            Threshold("added at most: fails", ADDED_FAILS_DB, "dB", "ISO 532 (10 phon)"),
            Threshold("gain once round that howls", 0.0, "dB", "definition"),
        ),
        "geometric series",
    ),
)
