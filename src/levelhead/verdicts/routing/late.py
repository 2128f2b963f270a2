"""Sound that comes too late or too early: in-ears behind a long way, loudspeakers down the hall."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator
from typing import Final

import numpy as np
from numpy.typing import NDArray

from levelhead.acoustics.twice.delays_of import LISTENER_M
from levelhead.quantity.formatting import format_si
from levelhead.verdicts.explain import PRACTICE, Explained, Threshold
from levelhead.verdicts.read.reach import is_for_the_stage, listeners_of
from levelhead.verdicts.read.reading import Reading
from levelhead.verdicts.told.finding import Compared, Finding, Severity
from levelhead.verdicts.told.limit_state import LimitState

__all__ = [
    "EARLY",
    "EXPLAINED",
    "LATE_IN_EARS",
    "SENTENCES",
    "SPEED_M_PER_S",
    "check_delay_loudspeakers",
    "check_in_ears_in_time",
]

Real = NDArray[np.float64]

LATE_IN_EARS, EARLY = "digital.late-in-ears", "routing.echo"
SPEED_M_PER_S: Final = 343.2  # in air of 20 degrees C: ISO 9613-1
IN_EARS_S: Final = 10e-3  # what singers accept of their own voice, common practice (5 to 10 ms)
FUSED_S: Final = 30e-3  # a copy within 30 to 40 ms is heard as one: Haas 1951
WEAKER_DB: Final = 10.0  # by so much weaker, a late copy is no echo: Haas 1951
LEAST_APART_M: Final = 1.0

SENTENCES: Final = {
    LATE_IN_EARS: "{who} comes {delay} late to {ears}: against the voice in the head that "
    "sounds hollow "
    "from {null} up and tires. It works for players without a voice.",
    EARLY: "{near} comes {apart} before {far} to those in front of it, who hear an echo: sound "
    "takes "
    "{walk} from one to the other, and {set} are set.",
}


# --- in-ears ---


def check_in_ears_in_time(reading: Reading) -> Iterator[Finding]:
    """Voices at performers' ears: how late do they come there?"""
    rig = reading.rig
    voices = {
        source.id
        for source in rig.sources
        if rig.book.entry(rig.show.sources[source.id].type).kind == "voice"
    }
    for number, point in reading.reach.loudspeakers.items():
        if listeners_of(rig, point.item) == "ears" and point.address.endswith(("-left", "-right")):
            late = _latest(reading, number, voices)
            if late is not None and late[1] > IN_EARS_S:
                yield _late(reading, number, *late)


def _latest(reading: Reading, number: int, voices: set[str]) -> tuple[str, float] | None:
    """The voice whose strongest arrival at a point is latest. [s]"""
    carried, components = reading.solution.carried, reading.solution.graph.components
    strongest: dict[str, tuple[float, float]] = {}
    for row in np.flatnonzero(
        (carried.point == number) & (carried.component < carried.first_noise)
    ).tolist():
        origin = components[int(carried.component[row])].origin
        heard = (float(carried.power[row].sum()), float(carried.delay_s[row]))
        if origin in voices and heard > strongest.get(origin, (0.0, 0.0)):
            strongest[origin] = heard
    late = {who: delay for who, (_, delay) in strongest.items()}
    return max(late.items(), key=lambda each: each[1], default=None)


def _late(reading: Reading, number: int, who: str, delay_s: float) -> Finding:
    point = reading.solution.graph.points[number]
    null_hz = 1 / (2 * delay_s)
    labels = {each.origin: each.label for each in reading.solution.graph.components}
    return Finding(
        code=LATE_IN_EARS,
        severity=Severity.CARE,
        where=point.address,
        what=SENTENCES[LATE_IN_EARS].format(
            who=labels[who],
            delay=format_si(delay_s, "s"),
            ears=reading.rig.items[point.item].label,
            null=format_si(null_hz, "Hz"),
        ),
        why=(
            Compared("delay of the voice", 1000 * delay_s, 1000 * IN_EARS_S, "ms"),
            Compared("first null against the voice in the head", null_hz, None, "Hz"),
        ),
        state=LimitState(1000 * (IN_EARS_S - delay_s), "ms"),
        source="delays of all stages between the voice and the ear",
        basis="common practice",
        ports=reading.plugs(point.item),
    )


# --- loudspeakers down the hall ---


def check_delay_loudspeakers(reading: Reading) -> Iterator[Finding]:
    """Loudspeakers for the audience whose places are known: does the farther one wait?"""
    rig = reading.rig
    placed = [
        number
        for number, point in reading.reach.loudspeakers.items()
        if rig.show.items[point.item].at is not None and not is_for_the_stage(rig, point.item)
    ]
    for one, other in itertools.permutations(placed, 2):
        yield from _pair(reading, far=one, near=other)


def _pair(reading: Reading, *, far: int, near: int) -> Iterator[Finding]:
    """A listener in front of ``near``, which stands further down the hall than ``far``."""
    points, show = reading.solution.graph.points, reading.rig.show
    here, there = (np.array(show.items[points[each].item].at) for each in (near, far))
    shared = _shared(reading, far, near)
    if shared is None or here[1] - there[1] < LEAST_APART_M:
        return
    seat = here + LISTENER_M * _direction(here, show.items[points[near].item].aim)
    ways_m = [float(np.linalg.norm(seat - each)) for each in (there, here)]
    (far_s, far_pa), (near_s, near_pa) = shared
    early_s = ways_m[0] / SPEED_M_PER_S + far_s - ways_m[1] / SPEED_M_PER_S - near_s
    level_db = 20 * math.log10(far_pa / ways_m[0]) - 20 * math.log10(near_pa / ways_m[1])
    late_db = level_db if early_s > 0 else -level_db  # of the later one, against the earlier
    if abs(early_s) > FUSED_S and late_db > -WEAKER_DB:
        yield _echo(reading, (far, near), early_s, (ways_m[0] - ways_m[1]) / SPEED_M_PER_S)


def _direction(here: Real, aim: tuple[float, float, float] | None) -> Real:
    """Where a loudspeaker is turned to; into the hall if nobody says."""
    if aim is None:
        return np.array([0.0, 1.0, 0.0])
    away = np.array(aim) - here
    turned: Real = away / max(float(np.linalg.norm(away)), 1e-9)
    return turned


def _shared(
    reading: Reading, far: int, near: int
) -> tuple[tuple[float, float], tuple[float, float]] | None:
    """Delay and level of the strongest signal that both play; ``None`` if they share none."""
    carried = reading.solution.carried
    found: list[dict[int, tuple[float, float]]] = []
    for number in (far, near):
        rows = np.flatnonzero((carried.point == number) & (carried.component < carried.first_noise))
        by: dict[int, tuple[float, float]] = {}
        for row in rows.tolist():
            level = math.sqrt(float(carried.power[row].sum()))
            if level > by.get(int(carried.component[row]), (0.0, 0.0))[1]:
                by[int(carried.component[row])] = (float(carried.delay_s[row]), level)
        found.append(by)
    both = found[0].keys() & found[1].keys()
    if not both:
        return None
    loudest = max(sorted(both), key=lambda each: found[0][each][1])
    return found[0][loudest], found[1][loudest]


def _echo(reading: Reading, pair: tuple[int, int], early_s: float, walk_s: float) -> Finding:
    points, items = reading.solution.graph.points, reading.rig.items
    far, near = (points[each] for each in pair)
    first, second = (near, far) if early_s > 0 else (far, near)
    return Finding(
        code=EARLY,
        severity=Severity.FAILS,
        where=near.address,
        what=SENTENCES[EARLY].format(
            near=items[first.item].label,
            far=items[second.item].label,
            apart=format_si(abs(early_s), "s"),
            walk=format_si(walk_s, "s"),
            set=format_si(max(walk_s - early_s, 0.0), "s"),
        ),
        why=(Compared("time between the two", 1000 * early_s, 1000 * FUSED_S, "ms"),),
        state=LimitState(1000 * (FUSED_S - abs(early_s)), "ms"),
        source="delays of both ways and places of both loudspeakers, 3 m in front of the "
        "farther one",
        basis="Haas 1951 (fusion up to 30 to 40 ms); ISO 9613-1 (speed of sound)",
        ports=reading.plugs(near.item),
    )


EXPLAINED: Final = (
    Explained(
        LATE_IN_EARS,
        "Delay of a voice on its way to what is worn at the ears.",
        (Threshold("delay from which it is care", 1000 * IN_EARS_S, "ms", PRACTICE),),
    ),
    Explained(
        EARLY,
        "Time between the arrivals of one signal from two loudspeakers for the audience whose "
        "places "
        "are known, 3 m in front of the one further down the hall.",
        (
            Threshold("time between them that fails", 1000 * FUSED_S, "ms", "Haas 1951"),
            Threshold("weaker by so much is no echo", WEAKER_DB, "dB", "Haas 1951"),
            Threshold("speed of sound", SPEED_M_PER_S, "m/s", "ISO 9613-1"),
        ),
        "Haas 1951; ISO 9613-1",
    ),
)
