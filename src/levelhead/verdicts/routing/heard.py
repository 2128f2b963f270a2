"""Where signals go: what is heard nowhere, and what has nothing to give.

Judged only where the show has loudspeakers that something is plugged into: a list of inputs alone
is no rig that could be silent.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Final

from levelhead.chain.graph.points import Point
from levelhead.chain.solution import Solution
from levelhead.rig.plug_steps import plug_steps
from levelhead.show.addresses import item_of
from levelhead.verdicts.read.places import carrying_ways, kept_while, open_ways
from levelhead.verdicts.read.reach import listeners_of, speaks
from levelhead.verdicts.read.reading import Reading
from levelhead.verdicts.routing.silent import NO_SIGNAL, could_come, shut_by, who_words
from levelhead.verdicts.routing.switched_away import unchosen
from levelhead.verdicts.told.finding import Compared, Finding, Severity
from levelhead.verdicts.told.words import control_words, place_words

__all__ = [
    "SENTENCES",
    "UNHEARD",
    "check_everybody_is_heard",
    "check_loudspeakers_have_a_signal",
]

UNHEARD: Final = "routing.unheard"
SENTENCES: Final = {
    "unheard": "{who} comes out of no loudspeaker: it goes no further than {end}.",
    "shut-out": "{loudspeaker} plays for the audience and gets no signal: {who} could come there, "
    "and {control}{more} shuts the way as it stands.",
    "no-signal": "{loudspeaker} gets no signal: nothing that reaches it is turned up.",
}
_INSTRUMENT_INPUT_OHM: Final = 200e3  # a pickup wants no less: only instruments go in there


def _is_loudspeaker(point: Point) -> bool:
    """Whether a point is the output of a loudspeaker, and not the ear of a microphone."""
    return speaks(point) and not point.is_hidden


def _own_loudspeakers(reading: Reading) -> set[str]:
    """Amplifiers for one instrument, with nothing plugged in: their loudspeaker is in the box."""
    inputs: set[str] = set()
    powered: set[str] = set()
    fed: set[str] = set()
    for port in reading.rig.ports.values():
        impedance = port.plan.figures.get("impedance")
        if port.plan.role == "in" and impedance and impedance.value >= _INSTRUMENT_INPUT_OHM:
            inputs.add(port.item.id)
        if port.plan.role == "loudspeaker":
            powered.add(port.item.id)
            if port.link is not None:
                fed.add(port.item.id)
    return inputs & powered - fed


@kept_while(carrying_ways)
def check_everybody_is_heard(reading: Reading) -> Iterator[Finding]:
    """Every performance: does any way of it end at a loudspeaker?

    An excerpt, made for one question, has only some of the ways.
    """
    if reading.is_excerpt:
        return
    solution, own = reading.solution, _own_loudspeakers(reading)
    heard: dict[str, bool] = {}
    ways: dict[str, list[tuple[str, ...]]] = {}
    known = {end: solution.point(end) for way in solution.paths for end in (way[0], way[-1])}
    aloud = {each for each, point in known.items() if _is_loudspeaker(point) or point.item in own}
    for way in solution.paths:
        who, is_aloud = known[way[0]].item, way[-1] in aloud
        heard[who] = heard.get(who, False) or is_aloud
        ways.setdefault(who, []).append(way)
    if not any(heard.values()):
        return
    waiting = _before_dead_items(reading) | _unfollowed(reading)
    told = {f"{port.address}." for port in unchosen(reading)}
    for who, is_heard in heard.items():
        end = "" if is_heard else _furthest(reading, ways[who])
        if not end or any(f"{end}.".startswith(address) for address in told):
            continue
        if solution.point(end).item not in waiting:
            yield _unheard(solution, _labels(solution), who, end)


def _furthest(reading: Reading, ways: Sequence[tuple[str, ...]]) -> str:
    """The end of the longest way; along one piece of copper, the end that most plugs lie before."""
    most = max(len(way) for way in ways)
    ends = [way[-1] for way in ways if len(way) == most]
    if len(ends) == 1:
        return ends[0]
    items = (reading.solution.point(address).item for address in ways[0])
    start = next((item for item in items if item in reading.rig.items), "")
    steps = plug_steps(reading.rig, start)
    return max(ends, key=lambda end: steps.get(end, 0))


def _before_dead_items(reading: Reading) -> set[str]:
    """Items plugged to something that waits for phantom power, which is a finding of its own."""
    rig = reading.rig
    dead = {
        item
        for item in reading.solution.dead
        for way in rig.items[item].plan.powered_by
        if way.port is not None and rig.plugged(f"{item}.{way.port}")
    }
    found: set[str] = set(dead)
    for link in reading.rig.links:
        items = {reading.rig.ports[port].item.id for port in link.ports}
        if items & dead:
            found |= items
    return found


def _unfollowed(reading: Reading) -> set[str]:
    """Items that nothing but sockets join whose sound is not followed: a picture's cable."""
    followed: dict[str, bool] = {}
    for port in reading.rig.ports.values():
        if port.link is not None:
            item = port.item.id
            followed[item] = followed.get(item, False) or port.plan.is_followed
    return {item for item, is_followed in followed.items() if not is_followed}


def _labels(solution: Solution) -> Mapping[str, str]:
    """What the crew calls whoever makes a sound."""
    return {each.origin: each.label for each in solution.graph.components}


def _unheard(solution: Solution, labels: Mapping[str, str], who: str, end: str) -> Finding:
    return Finding(
        code=UNHEARD,
        severity=Severity.CARE,
        where=end,
        what=SENTENCES["unheard"].format(
            who=labels.get(who, who), end=place_words(solution.point(end).label or end)
        ),
        why=(Compared("loudspeakers that it comes out of", 0.0, 1.0, ""),),
        source="ways of the signal through everything that is plugged and turned up",
        basis="common practice",
    )


def _reads(reading: Reading) -> tuple[object, ...]:
    """Which ways are open, who listens where, and which controls somebody has set."""
    show = reading.rig.show
    placed = frozenset(each.id for each in show.items.values() if each.at and each.aim)
    return *open_ways(reading), placed, frozenset(show.settings)


@kept_while(_reads)
def check_loudspeakers_have_a_signal(reading: Reading) -> Iterator[Finding]:
    """Every loudspeaker that is plugged: does anything come out of it?"""
    solution = reading.solution
    numbers = sorted(solution.number(each) for each in solution.in_air)
    points = [(number, solution.graph.points[number]) for number in numbers]
    speaking = [(number, point) for number, point in points if _is_loudspeaker(point)]
    if not any(solution.nominal[number] > 0 for number, _ in speaking):
        return
    plugged = {port.item.id for port in reading.rig.ports.values() if port.link is not None}
    for number, point in speaking:
        if point.item in plugged and not solution.nominal[number] > 0:
            yield _silent(reading, number, point)


def _silent(reading: Reading, number: int, point: Point) -> Finding:
    """A loudspeaker that gets nothing: of the audience's, what shuts it out has been set by hand.

    A send that nobody has set yet, a wedge that nobody wants, an output that nothing could come to:
    that may be meant so.
    """
    rig, label = reading.rig, reading.rig.items[point.item].label
    who: tuple[str, ...] = ()
    shut: tuple[str, ...] = ()
    if listeners_of(rig, point.item) == "audience" and point.item not in reading.solution.dead:
        who, shut = could_come(reading.solution, number), shut_by(reading.solution, number)
    by_hand = {item_of(each) for each in shut} & {item_of(each) for each in rig.show.settings}
    is_main = bool(who and by_hand)
    what = SENTENCES["no-signal"].format(loudspeaker=label)
    if is_main:
        control = next(each for each in shut if item_of(each) in by_hand)
        words = {"who": who_words(who), "control": control_words(rig, control)}
        more = "" if len(shut) == 1 else f" (with {len(shut) - 1} more)"
        what = SENTENCES["shut-out"].format(loudspeaker=label, more=more, **words)
    return Finding(
        code=NO_SIGNAL,
        severity=Severity.FAILS if is_main else Severity.CARE,
        where=point.address,
        what=what,
        why=(Compared("signals that reach it", 0.0, 1.0, ""),),
        source="ways of the signal through everything that is plugged and turned up",
        basis="common practice",
    )
