"""Sound that comes too late or too early: in-ears behind a long way, loudspeakers down the hall."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from levelhead.acoustics.sound.delay import (
    FALLS_APART_S,
    FUSES_TO_S,
    LOUDER_DB,
    echo_louder_db,
    fused_to_s,
)
from levelhead.acoustics.twice.delays_of import LISTENER_M
from levelhead.gear.figures import Figure
from levelhead.quantity.formatting import format_si
from levelhead.verdicts.explain import PRACTICE, Explained, Threshold
from levelhead.verdicts.read.doubts import doubts_of_level
from levelhead.verdicts.read.reach import is_for_the_stage, listeners_of
from levelhead.verdicts.read.reading import Reading
from levelhead.verdicts.told.finding import Compared, Finding, Severity
from levelhead.verdicts.told.limit_state import Doubt, LimitState

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

HAAS: Final = "Haas 1949"
LATE_IN_EARS, EARLY = "digital.late-in-ears", "routing.echo"
SPEED_M_PER_S: Final = 343.2  # in air of 20 degrees C: ISO 9613-1
IN_EARS_S: Final = 10e-3  # what singers accept of their own voice, common practice (5 to 10 ms)
EARS_DB: Final = 3.0  # how far listeners and programmes differ in it: from memory
SURELY_DB: Final = 20.0  # under what ears let pass: no echo, whatever is not known
LEAST_APART_M: Final = 1.0

SENTENCES: Final = {
    LATE_IN_EARS: "{who} comes {delay} late to {ears}: against the voice in the head that "
    "sounds hollow "
    "from {null} up and tires. It works for players without a voice.",
    EARLY: "{first} comes {apart} before {second} to those in front of {near}, who {hear} an echo: "
    "sound takes {walk} from one to the other, and {set} are set.",
}
_HEAR: Final = {Severity.FAILS: "hear", Severity.CARE: "may hear"}
_EARS: Final = "the late sound that ears let pass"


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
    walk_s = (ways_m[0] - ways_m[1]) / SPEED_M_PER_S
    early_s = walk_s + far_s - near_s
    level_db = 20 * math.log10(far_pa / ways_m[0]) - 20 * math.log10(near_pa / ways_m[1])
    order = (near, far) if early_s > 0 else (far, near)
    late = _Late(order, near, walk_s, abs(early_s), level_db if early_s > 0 else -level_db)
    if late.late_s > FUSES_TO_S and late.margin_db < SURELY_DB:
        yield from _echo(reading, late)


@dataclass(frozen=True, slots=True)
class _Late:
    """Two loudspeakers in the order in which they are heard before ``near``, the one further back.

    ``late_s`` is what lies between them, ``louder_db`` how much louder the later one is, and
    ``walk_s`` what sound takes from one to the other. [s, dB]
    """

    order: tuple[int, int]
    near: int
    walk_s: float
    late_s: float
    louder_db: float

    @property
    def margin_db(self) -> float:
        """How much louder it may still get until it is an echo."""
        return echo_louder_db(self.late_s) - self.louder_db

    @property
    def set_s(self) -> float:
        """What the nearer one is held back already."""
        early_s = self.late_s if self.order[0] == self.near else -self.late_s
        return max(self.walk_s - early_s, 0.0)


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


def _echo(reading: Reading, late: _Late) -> Iterator[Finding]:
    """By how much the later one is too loud for what ears take for one; nothing if it surely is."""
    state = LimitState(late.margin_db, "dB", lambda: _doubts(reading, late))
    severity = state.severity(ample=math.inf)
    if severity is Severity.FINE:
        return
    points, items = reading.solution.graph.points, reading.rig.items
    first, second, near = (items[points[each].item].label for each in (*late.order, late.near))
    fused_ms = 1000 * fused_to_s(late.louder_db)
    yield Finding(
        code=EARLY,
        severity=severity,
        where=points[late.near].address,
        what=SENTENCES[EARLY].format(
            first=first,
            second=second,
            near=near if near != first else "it",
            hear=_HEAR[severity],
            apart=format_si(late.late_s, "s"),
            walk=format_si(late.walk_s, "s"),
            set=format_si(late.set_s, "s"),
        ),
        why=(
            Compared(
                "time between the two",
                1000 * late.late_s,
                fused_ms if math.isfinite(fused_ms) else None,
                "ms",
            ),
            Compared(
                "later one against the earlier", late.louder_db, echo_louder_db(late.late_s), "dB"
            ),
        ),
        state=state,
        source="delays, levels and places of both loudspeakers, 3 m in front of the farther one",
        basis="Haas 1949; ISO 9613-1 (speed of sound)",
        ports=reading.plugs(points[late.near].item),
    )


def _doubts(reading: Reading, late: _Late) -> Iterator[Doubt]:
    """Ears, and the levels of both; what they share takes itself out."""
    near = reading.rig.items[reading.solution.graph.points[late.near].item].label
    figure = Figure(0.0, -2 * EARS_DB, 2 * EARS_DB, "dB", "from memory")
    ask = f"Play speech and listen 3 m in front of {near}."
    yield Doubt(_EARS, "chance", figure, 1.0, is_departure=True, ask=ask)
    first, second = late.order
    yield from doubts_of_level(reading.solution, second, slope=-1.0)
    yield from doubts_of_level(reading.solution, first, slope=1.0)


EXPLAINED: Final = (
    Explained(
        LATE_IN_EARS,
        "Delay of a voice on its way to what is worn at the ears.",
        (Threshold("delay from which it is care", 1000 * IN_EARS_S, "ms", PRACTICE),),
    ),
    Explained(
        EARLY,
        "Time between the arrivals of one signal from two loudspeakers for the audience whose "
        "places are known, 3 m in front of the one further down the hall, and how loud they are "
        "there: the louder the later one, the sooner it is an echo. Care where one in twenty or "
        "more would hear it.",
        (
            Threshold("time from which it fails, both as loud", 1000 * FALLS_APART_S, "ms", HAAS),
            Threshold(
                "time from which it fails, the later 10 dB louder", 1000 * FUSES_TO_S, "ms", HAAS
            ),
            Threshold("weaker by so much it is none, however late", LOUDER_DB, "dB", HAAS),
            Threshold("how far ears differ in it", EARS_DB, "dB", "from memory"),
            Threshold("speed of sound", SPEED_M_PER_S, "m/s", "ISO 9613-1"),
        ),
        "Haas 1949 (J. Audio Eng. Soc. 20, 146-159); ISO 9613-1",
    ),
)
