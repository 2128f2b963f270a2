"""The same sound twice in one mix, one copy later than the other: a comb filter.

Held against each other are arrivals of one signal at a sum that come by different ways. What
passed an effect is another sound; later than an ear can fuse, it is an echo and no comb.
"""

from __future__ import annotations

import itertools
import math
from collections import defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import Final

import numpy as np
from numpy.typing import NDArray

from levelhead.quantity.formatting import format_level, format_si
from levelhead.verdicts.explain import PRACTICE, Explained, Threshold
from levelhead.verdicts.read.reading import Reading
from levelhead.verdicts.told.finding import Compared, Finding, Severity
from levelhead.verdicts.told.limit_state import ROUNDING, LimitState
from levelhead.verdicts.told.words import place_words

__all__ = ["COMB", "EXPLAINED", "NULL_CARE_DB", "NULL_FAILS_DB", "SENTENCES", "check_copies"]

COMB: Final = "routing.comb"
NULL_FAILS_DB: Final = 10.0  # half as loud there, ISO 532
NULL_CARE_DB: Final = 3.0  # heard as another tone, common practice
SHORTEST_S: Final = 25e-6  # first null above 20 kHz
LONGEST_S: Final = 30e-3  # beyond it is an echo: Haas 1951
_SILENT: Final = 1e-10

SENTENCES: Final[Mapping[Severity, str]] = {
    Severity.FAILS: "{who} comes twice to {where}, {apart} apart and nearly alike: it cancels at "
    "{null} and at every odd multiple of that.",
    Severity.CARE: "{who} comes twice to {where}, {apart} apart: {null} and its odd multiples fall "
    "by {depth}. It works while the second copy stays that much weaker.",
}

Complex = NDArray[np.complex128]


@dataclass(slots=True)
class _Arrival:
    """One signal at a sum with one delay: by which edges, and how much. [ns]"""

    delay_ns: int
    edges: set[int] = field(default_factory=set)
    amplitude: Complex | float = 0.0

    @property
    def rms(self) -> float:
        return math.sqrt(float((np.abs(self.amplitude) ** 2).sum()))


def check_copies(reading: Reading) -> Iterator[Finding]:
    """Sums at which one signal arrives with several delays."""
    graph = reading.solution.graph
    if not graph.columns.delay_ns.any():
        return
    arriving: dict[int, list[int]] = defaultdict(list)
    for number, target in enumerate(graph.columns.target.tolist()):
        if number not in graph.order.closing:  # what comes round is judged as a loop
            arriving[target].append(number)
    rows = _rows(reading)
    wet = reading.reach.onward(
        each.number for each in reading.reach.stages(lambda each: each.effect)
    )
    for target, edges in arriving.items():
        dry = [each for each in edges if int(graph.columns.source[each]) not in wet]
        if len(dry) > 1:
            worst = _worst(reading, dry, rows)
            if worst is not None and _goes_on(reading, target):
                yield _finding(reading, target, *worst)


def _rows(reading: Reading) -> Mapping[int, list[int]]:
    """Signals in the table of what is carried, by point."""
    carried = reading.solution.carried
    found: dict[int, list[int]] = defaultdict(list)
    for row in np.flatnonzero(carried.component < carried.first_noise).tolist():
        found[int(carried.point[row])].append(row)
    return found


def _worst(
    reading: Reading, edges: list[int], rows: Mapping[int, list[int]]
) -> tuple[int, _Arrival, _Arrival] | None:
    """The component with the two arrivals that cancel most, of those that matter."""
    found = []
    for component, by_delay in _arrivals(reading, edges, rows).items():
        for pair in itertools.combinations(by_delay.values(), 2):
            strong, weak = sorted(pair, key=lambda each: -each.rms)
            apart_s = abs(strong.delay_ns - weak.delay_ns) * 1e-9
            is_by_two_ways = strong.edges - weak.edges and weak.edges - strong.edges
            if is_by_two_ways and SHORTEST_S <= apart_s <= LONGEST_S and weak.rms > _SILENT:
                found.append((component, strong, weak))
    worst = max(found, key=lambda each: _depth_db(*each[1:]), default=None)
    return None if worst is None or _depth_db(*worst[1:]) < NULL_CARE_DB - ROUNDING else worst


def _arrivals(
    reading: Reading, edges: list[int], rows: Mapping[int, list[int]]
) -> Mapping[int, Mapping[int, _Arrival]]:
    """By component and delay, what some edges bring."""
    carried, columns = reading.solution.carried, reading.solution.graph.columns
    found: dict[int, dict[int, _Arrival]] = defaultdict(dict)
    for edge in edges:
        for row in rows.get(int(columns.source[edge]), ()):
            delay = int(carried.layout.delay_ns[row]) + int(columns.delay_ns[edge])
            by_delay = found[int(carried.component[row])]
            arrival = by_delay.setdefault(delay, _Arrival(delay))
            arrival.edges.add(edge)
            arrival.amplitude = arrival.amplitude + columns.gain[edge] * carried.amplitude[row]
    return found


def _depth_db(strong: _Arrival, weak: _Arrival) -> float:
    """How far the stronger copy falls where the weaker is against it. [dB]"""
    return -20 * math.log10(max(1 - weak.rms / strong.rms, 1e-3))


def _goes_on(reading: Reading, target: int) -> bool:
    """Whether a loudspeaker or a plugged socket gets it."""
    onward = reading.reach.onward([target])
    sockets = len(reading.solution.graph.wiring.sockets)
    return any(each < sockets or each in reading.reach.loudspeakers for each in onward)


def _finding(
    reading: Reading, target: int, component: int, strong: _Arrival, weak: _Arrival
) -> Finding:
    """Two copies of one signal at a point: how deep their comb is, and from where on."""
    graph = reading.solution.graph
    point = graph.points[target]
    apart_s = abs(strong.delay_ns - weak.delay_ns) * 1e-9
    depth_db, null_hz = _depth_db(strong, weak), 1 / (2 * apart_s)
    is_bad = depth_db > NULL_FAILS_DB - ROUNDING
    severity = Severity.FAILS if is_bad else Severity.CARE
    limit_db = NULL_FAILS_DB if is_bad else NULL_CARE_DB
    return Finding(
        code=COMB,
        severity=severity,
        where=point.address,
        what=SENTENCES[severity].format(
            who=graph.components[component].label,
            where=place_words(point.label or point.address),
            apart=f"{1000 * apart_s:.2g} ms",
            null=format_si(null_hz, "Hz"),
            depth=format_level(depth_db, "dB"),
        ),
        why=(
            Compared("fall where both copies are against each other", depth_db, limit_db, "dB"),
            Compared("time between the copies", 1000 * apart_s, None, "ms"),
            Compared("first null", null_hz, None, "Hz"),
        ),
        state=LimitState(limit_db - depth_db, "dB"),
        source="levels and delays of all ways of one signal to the sum; null at 1 / (2 x delay)",
        basis="comb filter of two copies (Everest, Master Handbook of Acoustics, ch. 10)",
    )


EXPLAINED: Final = (
    Explained(
        COMB,
        "Copies of one signal that reach a sum by ways of different delay: how far the stronger "
        "falls where they are against each other, and where that is.",
        (
            Threshold("fall from which it is care", NULL_CARE_DB, "dB", PRACTICE),
            Threshold("fall from which it fails", NULL_FAILS_DB, "dB", "ISO 532 (10 phon)"),
            Threshold("delay beyond which it is an echo", 1000 * LONGEST_S, "ms", "Haas 1951"),
        ),
        "Everest, Master Handbook of Acoustics, ch. 10",
    ),
)
