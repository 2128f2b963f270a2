"""Copies of one sound that meet upside down: stereo into a balanced input, a flipped side in a sum.

At every place where ways of one signal meet, their sum with sign is held against the largest of
them alone. What comes out of two loudspeakers, or stands on the two sides of an input, does not
meet there but later: of those the sign against each other is read.
"""

from __future__ import annotations

import itertools
import math
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Final

import numpy as np
from numpy.typing import NDArray

from levelhead.chain.graph.points import UNITS
from levelhead.quantity.formatting import format_level
from levelhead.verdicts.explain import PRACTICE, Explained, Threshold
from levelhead.verdicts.read.doubts import strongest_way
from levelhead.verdicts.read.kept import Note
from levelhead.verdicts.read.places import plugged
from levelhead.verdicts.read.reading import Reading
from levelhead.verdicts.told.finding import Compared, Finding, Severity
from levelhead.verdicts.told.limit_state import ROUNDING, LimitState
from levelhead.verdicts.told.words import place_words
from levelhead.verdicts.wiring.meetings import Meeting, meetings_of, strongest_rows

__all__ = [
    "CANCELS",
    "CANCELS_CARE_DB",
    "CANCELS_FAILS_DB",
    "EXPLAINED",
    "OPPOSITE",
    "OPPOSITE_BELOW",
    "OPPOSITE_SENTENCES",
    "SENTENCES",
    "check_cancelling",
    "check_opposite_sides",
]

CANCELS, OPPOSITE = "wiring.cancels", "wiring.opposite"
CANCELS_FAILS_DB: Final = 10.0  # heard as less than half as loud: the sone scale, ISO 532 (10 phon)
CANCELS_CARE_DB: Final = 6.0  # half of the voltage, common practice
OPPOSITE_BELOW: Final = -0.5  # cosine of 120 degrees: from there a sum is less than one of the two
_OF_MUCH: Final = 0.1  # 20 dB below what else comes here: a trace, common practice
_SILENT: Final = 1e-20  # power

SENTENCES: Final[Mapping[Severity, str]] = {
    Severity.FAILS: "Copies of {who} meet at {where} upside down: what they share, voice and bass "
    "above all, falls by {loss}.",
    Severity.CARE: "Copies of {who} meet at {where} partly upside down: what they share falls by "
    "{loss}.",
}
OPPOSITE_SENTENCES: Final[Mapping[str, str]] = {
    "loudspeakers": "{one} and {other} play {who} in opposite polarity: between them low sounds "
    "and what is in the middle cancel.",
    "sides": "The two sides of {one} get {who} in opposite polarity: it cancels as soon as "
    "somebody sums it to mono.",
}

Complex = NDArray[np.complex128]
_Carried = Mapping[int, Mapping[int, Complex]]


def _carried(reading: Reading, points: Iterable[int]) -> _Carried:
    """Amplitudes by point and component; of several arrivals the strongest stands for all."""
    carried = reading.solution.carried
    is_there = np.zeros(len(reading.solution.nominal), dtype=bool)
    is_there[list(points)] = True
    found: dict[int, dict[int, Complex]] = defaultdict(dict)
    for row in strongest_rows(carried, is_there).tolist():
        found[int(carried.point[row])][int(carried.component[row])] = carried.amplitude[row]
    return found


# --- sums ---


def check_cancelling(reading: Reading) -> Iterator[Finding]:
    """Places where several ways of one signal meet: does the sum keep what each of them brings?"""
    for point, meetings in meetings_of(reading.solution).items():
        worst = None if _is_idle(reading, point) else _worst_meeting(meetings)
        if worst is not None:
            yield from _judge(reading, point, worst)


def _is_idle(reading: Reading, point: int) -> bool:
    """Whether a point is a through socket without a plug: the same wire as the one that has it."""
    port = reading.rig.ports.get(reading.solution.graph.points[point].address)
    return port is not None and port.plan.joined is not None and port.link is None


def _power(amplitude: Complex) -> float:
    return float((np.abs(amplitude) ** 2).sum())


def _worst_meeting(meetings: Sequence[Meeting]) -> Meeting | None:
    """The one that loses most, of those that are more than a trace."""
    most = max((each.largest for each in meetings), default=0.0)
    strong = [each for each in meetings if each.largest > max(_OF_MUCH**2 * most, _SILENT)]
    return max(strong, key=lambda each: each.loss_db, default=None)


def _judge(reading: Reading, target: int, meeting: Meeting) -> Iterator[Finding]:
    if meeting.loss_db <= CANCELS_CARE_DB + ROUNDING:
        return
    is_gone = meeting.loss_db > CANCELS_FAILS_DB + ROUNDING
    severity = Severity.FAILS if is_gone else Severity.CARE
    limit_db = CANCELS_FAILS_DB if is_gone else CANCELS_CARE_DB
    point = reading.solution.graph.points[target]
    words = {
        "who": reading.solution.graph.components[meeting.component].label,
        "where": place_words(point.label or point.address),
        "loss": format_level(meeting.loss_db, "dB"),
    }
    yield Finding(
        code=CANCELS,
        severity=severity,
        where=point.address,
        what=SENTENCES[severity].format(**words),
        why=(Compared("shared part, below one copy alone", meeting.loss_db, limit_db, "dB"),),
        state=LimitState(limit_db - meeting.loss_db, "dB"),
        source="all ways of one signal added with their sign, against the largest of them",
        basis="common practice",
        ports=tuple(dict.fromkeys(_ports_before(reading, target))),
    )


def _ports_before(reading: Reading, target: int) -> Iterator[str]:
    """Sockets of the leads by which the copies come to a place, the nearest of each."""
    arriving = [edge for edge in reading.solution.graph.edges if edge.target == target]
    for edge in arriving:
        way = (*strongest_way(reading.solution, edge.source).edges, edge)
        through = next((each for each in reversed(way) if each.through is not None), None)
        if through is not None and through.through is not None:
            address = reading.solution.graph.points[through.target].address
            yield from (
                port
                for port in (address, address.rpartition(".")[0], through.through.port)
                if port in reading.rig.ports
            )


# --- sides and loudspeakers ---


_Pair = tuple[tuple[int, int], str]  # two points, and what they are
_PAIRS: Final = Note[list[_Pair]]("sides, and loudspeakers that play the same")


def check_opposite_sides(reading: Reading) -> Iterator[Finding]:
    """The two sides of an input, and loudspeakers that play the same: with the same sign?"""
    pairs = reading.noted(
        _PAIRS, plugged(reading), lambda: [*_sides(reading), *_alike_loudspeakers(reading)]
    )
    carried = _carried(reading, {number for numbers, _ in pairs for number in numbers})
    for numbers, kind in pairs:
        yield from _opposite(reading, numbers, carried, kind=kind)


def _sides(reading: Reading) -> Iterator[_Pair]:
    """The first two sides of every input that has sides."""
    index = reading.solution.graph.index
    for port in reading.rig.ports.values():
        sides = [f"{port.address}.{signal}" for signal in port.plan.signals]
        if port.plan.role == "in" and len(sides) > 1 and all(each in index for each in sides):
            yield (index[sides[0]], index[sides[1]]), "sides"


def _alike_loudspeakers(reading: Reading) -> Iterator[_Pair]:
    """Loudspeakers of one type that stand apart."""
    graph = reading.solution.graph
    in_air = np.flatnonzero(graph.wiring.columns.unit == UNITS.index("Pa")).tolist()
    speaking = [
        number
        for number in in_air
        if not graph.points[number].is_hidden and graph.points[number].item in reading.rig.items
    ]
    for one, other in itertools.combinations(speaking, 2):
        if _is_a_pair(reading, one, other):
            yield (one, other), "loudspeakers"


def _is_a_pair(reading: Reading, one: int, other: int) -> bool:
    """Alike, apart and in the room: two of one type, in which only the wiring can differ."""
    points = reading.solution.graph.points
    items = [points[each].item for each in (one, other)]
    plans = [reading.rig.items[each].plan for each in items]
    is_alike = items[0] != items[1] and plans[0].type_id == plans[1].type_id
    return is_alike and not any(_is_worn(reading, each) for each in items)


def _is_worn(reading: Reading, item: str) -> bool:
    """Whether one plug feeds both ears: nobody hears it together with another pair."""
    ports = (port for port in reading.rig.ports.values() if port.item.id == item)
    return any(port.plan.role == "in" and len(port.plan.signals) > 1 for port in ports)


def _opposite(
    reading: Reading, numbers: tuple[int, int], carried: _Carried, *, kind: str
) -> Iterator[Finding]:
    one, other = (carried.get(number, {}) for number in numbers)
    if not one.keys() & other.keys():
        return
    strongest = _strongest(one, other)
    powers = sorted((_power(one[strongest]), _power(other[strongest])))
    likeness = _likeness(one[strongest], other[strongest])
    is_trace = powers[0] < _OF_MUCH**2 * powers[1]
    if likeness >= OPPOSITE_BELOW or is_trace:
        return
    graph = reading.solution.graph
    points = [graph.points[number] for number in numbers]
    labels = [_owner(reading, point.address, point.item, kind) for point in points]
    who = graph.components[strongest].label
    yield Finding(
        code=OPPOSITE,
        severity=Severity.FAILS,
        where=points[0].address,
        what=OPPOSITE_SENTENCES[kind].format(one=labels[0], other=labels[1], who=who),
        why=(Compared("likeness of the two, 1 alike, -1 opposite", likeness, OPPOSITE_BELOW, ""),),
        state=LimitState(likeness - OPPOSITE_BELOW, ""),
        source="sign of one signal on both sides, over the bands by their power",
        basis="common practice",
        ports=tuple(_sockets(reading, [point.item for point in points])),
    )


def _strongest(one: Mapping[int, Complex], other: Mapping[int, Complex]) -> int:
    """The signal that two places share most of."""
    shared = sorted(one.keys() & other.keys())
    ours, theirs = (np.abs([each[name] for name in shared]) ** 2 for each in (one, other))
    return shared[int(np.argmax(ours.sum(axis=1) * theirs.sum(axis=1)))]


def _owner(reading: Reading, address: str, item: str, kind: str) -> str:
    port = reading.rig.ports.get(address.rpartition(".")[0])
    if kind == "sides" and port is not None:
        return port.label
    return reading.rig.items[item].label


def _sockets(reading: Reading, items: list[str]) -> Iterator[str]:
    """Plugged inputs of these items, and what they are plugged to."""
    for link in reading.rig.links:
        if any(reading.rig.ports[each].item.id in items for each in link.ports):
            yield from link.ports


def _likeness(one: Complex, other: Complex) -> float:
    """Cosine between two amplitudes over all bands: 1 alike, -1 opposite, 0 strangers."""
    both = math.sqrt(_power(one) * _power(other))
    return float(np.real(one * np.conj(other)).sum()) / both if both > _SILENT else 0.0


EXPLAINED: Final = (
    Explained(
        CANCELS,
        "Sum, with sign and delay, of all ways of one signal that meet at a place, against the "
        "largest of them alone: what half of its power loses at least.",
        (
            Threshold("fall from which it is care", CANCELS_CARE_DB, "dB", PRACTICE),
            Threshold("fall from which it fails", CANCELS_FAILS_DB, "dB", "ISO 532 (10 phon)"),
        ),
    ),
    Explained(
        OPPOSITE,
        "Likeness of one signal on the two sides of an input, or from two like loudspeakers: the "
        "cosine between them over the bands.",
        (Threshold("likeness from which it fails", OPPOSITE_BELOW, "", "cosine of 120 degrees"),),
    ),
)
