"""Copies of one sound that meet upside down: stereo into a balanced input, a flipped side in a sum.

At every place where ways of one signal meet, their sum with sign is held against the largest of
them alone. What comes out of two loudspeakers, or stands on the two sides of an input, does not
meet there but later: of those the sign against each other is read.
"""

from __future__ import annotations

import itertools
import math
from collections import defaultdict
from collections.abc import Container, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from levelhead.chain.graph import Edge
from levelhead.quantity.bands import BANDS, edges_hz
from levelhead.quantity.formatting import format_level
from levelhead.verdicts.doubts import strongest_way
from levelhead.verdicts.explain import PRACTICE, Explained, Threshold
from levelhead.verdicts.finding import Compared, Finding, Severity
from levelhead.verdicts.limit_state import ROUNDING, LimitState
from levelhead.verdicts.reading import Reading
from levelhead.verdicts.words import place_words

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
_HALF: Final = 0.5 - 1e-9  # of the power

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
Real = NDArray[np.float64]
_Carried = Mapping[int, Mapping[int, Complex]]
_Late = Mapping[int, Mapping[int, float]]


def _strongest(reading: Reading, points: Container[int]) -> Iterator[tuple[int, int, int]]:
    """Row, point and component of what arrives at some points, the strongest of a point last."""
    carried = reading.solution.carried
    numbers = range(len(reading.solution.nominal))
    is_there = np.array([number in points for number in numbers], dtype=bool)
    signal = np.flatnonzero((carried.component < carried.first_noise) & is_there[carried.point])
    power = carried.power.sum(axis=1)
    for row in signal[np.argsort(power[signal], kind="stable")].tolist():
        yield row, int(carried.point[row]), int(carried.component[row])


def _carried(reading: Reading, points: Container[int]) -> _Carried:
    """Amplitudes by point and component; of several arrivals the strongest stands for all."""
    amplitude = reading.solution.carried.amplitude
    found: dict[int, dict[int, Complex]] = defaultdict(dict)
    for row, point, component in _strongest(reading, points):
        found[point][component] = amplitude[row]
    return found


def _late(reading: Reading, points: Container[int]) -> _Late:
    """Delays of the same arrivals. [s]"""
    delay_s = reading.solution.carried.delay_s
    found: dict[int, dict[int, float]] = defaultdict(dict)
    if delay_s.any():
        for row, point, component in _strongest(reading, points):
            found[point][component] = float(delay_s[row])
    return found


# --- sums ---


def check_cancelling(reading: Reading) -> Iterator[Finding]:
    """Places where several ways of one signal meet: does the sum keep what each of them brings?"""
    graph = reading.solution.graph
    target = graph.columns.target
    arriving: dict[int, list[Edge]] = defaultdict(list)
    meeting = np.bincount(target)[target] > 1 if len(target) else target
    for number in np.flatnonzero(meeting).tolist():
        arriving[int(target[number])].append(graph.edges[number])
    sources = {edge.source for edges in arriving.values() for edge in edges}
    carried, late = _carried(reading, sources), _late(reading, sources)
    for point, edges in arriving.items():
        worst = _worst_meeting(_meetings(edges, carried, late))
        if worst is not None:
            yield from _judge(reading, point, worst)


@dataclass(frozen=True, slots=True)
class _Meeting:
    """Ways of one component at one place: power of their sum, and of the largest alone, (bands,).

    What is apart in time cancels below and not above: half of the power decides.
    """

    component: int
    summed: Real
    alone: Real

    @property
    def largest(self) -> float:
        """Power of the largest way over all bands."""
        return float(self.alone.sum())

    @property
    def loss_db(self) -> float:
        """What half of the power of the largest way loses at least in the sum. [dB]"""
        band = np.flatnonzero(self.alone > 0)
        left = np.maximum(self.summed[band] / self.alone[band], 1e-9)
        rank = np.argsort(left)
        share = np.cumsum(self.alone[band][rank]) / self.largest
        return float(-10 * np.log10(left[rank][np.searchsorted(share, _HALF)]))


def _meetings(edges: Iterable[Edge], carried: _Carried, late: _Late) -> list[_Meeting]:
    by_component: dict[int, list[tuple[Complex, float]]] = defaultdict(list)
    for edge in edges:
        for component, amplitude in carried.get(edge.source, {}).items():
            delay_s = late.get(edge.source, {}).get(component, 0.0) + edge.delay_s
            by_component[component].append((np.asarray(edge.gain) * amplitude, delay_s))
    return [
        _Meeting(component, _summed(ways), np.abs(max((way for way, _ in ways), key=_power)) ** 2)
        for component, ways in by_component.items()
        if any(_power(way) > 0 for way, _ in ways)
    ]


def _summed(ways: Sequence[tuple[Complex, float]]) -> Real:
    """Power of ways of one signal together, (bands,); of those apart in time the band's mean."""
    together: dict[float, Complex] = {}
    for way, delay_s in ways:
        together[delay_s] = together.get(delay_s, 0) + way
    total: Real = sum((np.abs(each) ** 2 for each in together.values()), np.zeros(BANDS))
    low_hz, high_hz = edges_hz()
    for (one_s, one), (other_s, other) in itertools.combinations(together.items(), 2):
        apart_s = one_s - other_s
        turned = np.exp(-1j * np.pi * (low_hz + high_hz) * apart_s)
        both = (one * np.conj(other) * turned).real
        total = total + 2 * both * np.sinc((high_hz - low_hz) * apart_s)
    return np.maximum(total, 0.0)


def _power(amplitude: Complex | int) -> float:
    return float((np.abs(amplitude) ** 2).sum())


def _worst_meeting(meetings: list[_Meeting]) -> _Meeting | None:
    """The one that loses most, of those that are more than a trace."""
    most = max((each.largest for each in meetings), default=0.0)
    strong = [each for each in meetings if each.largest > max(_OF_MUCH**2 * most, _SILENT)]
    return max(strong, key=lambda each: each.loss_db, default=None)


def _judge(reading: Reading, target: int, meeting: _Meeting) -> Iterator[Finding]:
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


def check_opposite_sides(reading: Reading) -> Iterator[Finding]:
    """The two sides of an input, and loudspeakers that play the same: with the same sign?"""
    pairs = [*_sides(reading), *_alike_loudspeakers(reading)]
    carried = _carried(reading, {number for numbers, _ in pairs for number in numbers})
    for numbers, kind in pairs:
        yield from _opposite(reading, numbers, carried, kind=kind)


_Pair = tuple[tuple[int, int], str]  # two points, and what they are


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
    in_air = (number for number in range(len(graph.points)) if graph.wiring.unit(number) == "Pa")
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
    shared = one.keys() & other.keys()
    if not shared:
        return
    strongest = max(sorted(shared), key=lambda each: _power(one[each]) * _power(other[each]))
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
