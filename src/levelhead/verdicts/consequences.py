"""What follows from something that is told already, and so is not told a second time.

Who reads that a lead must not be there, that a lead is cut, or that two contacts have changed
places knows what to do; what comes of it at the same place would read as further faults.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence, Set
from dataclasses import dataclass, replace
from typing import Final

from levelhead.circuit.loads.loading import address_of
from levelhead.quantity.formatting import format_level
from levelhead.show.addresses import item_of, strip_of
from levelhead.verdicts.amplifiers.lines import CABLE, LINE
from levelhead.verdicts.amplifiers.loads import LOAD, MATCH
from levelhead.verdicts.besides import (
    balance_told_of,
    comes_by,
    holds_a_leg,
    is_bad,
    lost_by_the_load,
    plug_of,
    said_besides,
)
from levelhead.verdicts.enough.clipping import CODE as CLIPS_AS_SET
from levelhead.verdicts.enough.clipping import SWITCH_TAKES
from levelhead.verdicts.enough.gain import SET_TOO_LOW, TOO_LOW
from levelhead.verdicts.enough.limiters import CODE as LIMITED
from levelhead.verdicts.enough.lowest_gain import TOO_HIGH
from levelhead.verdicts.enough.noise import HISS
from levelhead.verdicts.harm.direct import BACK_FED, VOLTS
from levelhead.verdicts.harm.needed_loads import NO_LOAD
from levelhead.verdicts.harm.power import NO_AMPLIFIER
from levelhead.verdicts.loading.joined import JOINED
from levelhead.verdicts.loading.levels import LEVEL, TONE
from levelhead.verdicts.phantom.way import ONE_LEG
from levelhead.verdicts.read.doubts import strongest_way
from levelhead.verdicts.read.reading import Reading
from levelhead.verdicts.routing.heard import UNHEARD
from levelhead.verdicts.told.finding import Finding, Severity
from levelhead.verdicts.wiring.cancelling import CANCELS, OPPOSITE
from levelhead.verdicts.wiring.curves import CURVE
from levelhead.verdicts.wiring.inserts import SWAPPED
from levelhead.verdicts.wiring.leads import BALANCE
from levelhead.verdicts.wiring.lost import LOST
from levelhead.verdicts.wiring.poles import POLES
from levelhead.verdicts.wiring.shorted import SHORTED
from levelhead.verdicts.wiring.turned_before import turned_before
from levelhead.verdicts.wiring.unreached import HALF_BRIDGE

__all__ = ["may_be_hidden", "that_matter"]

HELD_BESIDES: Final = " As it is set, its peaks clip there by {over}."
AT_LOWEST: Final = " At the lowest gain of that input {spare} are left; a pad gives more."
_OF_LEVEL: Final = frozenset({TOO_LOW, SET_TOO_LOW, "enough.noise", "hum.in-signal"})
_OF_CUT_LEADS: Final = _OF_LEVEL | {"hum.heard"}  # a leg that hangs in the air hears every field

# by the code of a cause that fails: what is its consequence on the same plugs
_FOLLOWS: Final[Mapping[str, frozenset[str]]] = {
    POLES: frozenset({CANCELS, OPPOSITE, SHORTED, LOST, BACK_FED, CLIPS_AS_SET, *_OF_LEVEL}),
    HALF_BRIDGE: frozenset({OPPOSITE}),
    LOAD: frozenset({LINE}),  # a line that sags under it
    SWAPPED: frozenset({JOINED, LOST, UNHEARD, CLIPS_AS_SET, *_OF_LEVEL}),
    ONE_LEG: frozenset({LOST}),
    VOLTS: frozenset({ONE_LEG}),  # a plain adaptor puts phantom power on one contact
    NO_AMPLIFIER: frozenset({TONE, LEVEL}),  # what 8 ohm do to a line output
    CURVE: frozenset({TONE, LEVEL, TOO_HIGH, CLIPS_AS_SET, *_OF_LEVEL}),
    TONE: frozenset({TOO_LOW, SET_TOO_LOW, LEVEL}),  # not made for that input: a box mends all
    MATCH: frozenset({NO_LOAD}),  # a tap far off comes near to none
    NO_LOAD: frozenset({MATCH}),
}
_OF_A_SWITCH: Final = frozenset({LIMITED, HISS})  # what too much gain at an input does behind it
_CONSEQUENCES: Final = frozenset({CLIPS_AS_SET, LIMITED, BALANCE, CABLE}).union(
    _OF_CUT_LEADS, _OF_A_SWITCH, *_FOLLOWS.values()
)


def that_matter(reading: Reading, findings: Sequence[Finding]) -> Iterator[Finding]:
    """All but those that follow from another one.

    How well a signal does that comes by a link which must not be there: to tell how an output can
    be kept from clipping would read as leave to go on.
    """
    harmed = {each.where for each in findings if each.severity is Severity.HARM}
    cut = {each.where for each in findings if each.code == LOST and is_bad(each)}
    overrun = _overrun(reading, {each.where for each in findings if _is_joined(each)})
    held = _held(reading, findings)
    loud = _too_loud(reading, findings)
    caused = _caused(findings)
    besides = _together(_clipped_besides(findings, held), said_besides(reading, findings))
    hidden = loud.hidden | _behind_a_switch(reading, findings) | turned_before(reading, findings)
    hidden |= balance_told_of(findings) | lost_by_the_load(findings)
    for found in findings:
        finding = _with_more(loud.told(found), besides)
        if finding.code in _OF_CUT_LEADS and not cut.isdisjoint({finding.where, *finding.ports}):
            continue  # the lead is told; that little comes by it and hums goes without saying
        if finding.code == CLIPS_AS_SET and finding.where in overrun:
            continue  # that other outputs leave it no current is told, and no knob mends it
        if finding.code == CLIPS_AS_SET and not is_bad(finding) and finding.where in held:
            continue  # that a leg is held is told, and that it works at modest levels
        if finding.key in hidden or _follows(reading, finding, caused):
            continue
        if finding.severity is Severity.HARM or not harmed:
            yield finding
        elif finding.code in (CLIPS_AS_SET, LIMITED):
            ways = [way for way in reading.solution.paths if finding.where in way]
            if not all(harmed & set(way) for way in ways):
                yield finding
        elif finding.family != "enough" or finding.where not in harmed:
            yield finding


def may_be_hidden(finding: Finding) -> bool:
    """Whether something else at the same place could take a finding away."""
    follows = finding.code in _CONSEQUENCES or finding.family == "enough"
    return follows and finding.severity is not Severity.HARM


def _is_joined(finding: Finding) -> bool:
    return finding.code == JOINED and is_bad(finding)


def _held(reading: Reading, findings: Sequence[Finding]) -> Mapping[str, tuple[str, str]]:
    """Stages behind outputs of which a lead holds a leg, with the key of that finding."""
    legs = [each for each in findings if holds_a_leg(each)]
    return {stage: each.key for each in legs for stage in _overrun(reading, {each.where})}


def _together(
    one: Mapping[tuple[str, str], str], other: Mapping[tuple[str, str], str]
) -> Mapping[tuple[str, str], str]:
    """What sentences say on, one after the other where one finding has both."""
    return {each: one.get(each, "") + other.get(each, "") for each in {**one, **other}}


def _clipped_besides(
    findings: Sequence[Finding], held: Mapping[str, tuple[str, str]]
) -> Mapping[tuple[str, str], str]:
    """By how much an output clips as it is set, said along with the leg that is held."""
    return {
        held[clip.where]: HELD_BESIDES.format(over=format_level(-clip.margin, "dB"))
        for clip in findings
        if clip.code == CLIPS_AS_SET and clip.where in held and not is_bad(clip)
        if clip.margin is not None and clip.margin < 0
    }


def _overrun(reading: Reading, joined: Set[str]) -> frozenset[str]:
    """Stages behind outputs that run out of current: others overrun them, or a leg is held."""
    graph = reading.solution.graph
    if not joined:
        return frozenset()
    return frozenset(
        graph.points[edge.source].address
        for edge in graph.edges
        if edge.through is not None
        and address_of((edge.through.port, edge.through.signal)) in joined
    )


# --- too loud for an input ---


@dataclass(frozen=True, slots=True)
class _TooLoud:
    """What says less of an input that is too loud; what the one that stays says of it besides."""

    hidden: frozenset[tuple[str, str]]
    besides: Mapping[tuple[str, str], str]

    def told(self, finding: Finding) -> Finding:
        return _with_more(finding, self.besides)


def _with_more(finding: Finding, besides: Mapping[tuple[str, str], str]) -> Finding:
    more = besides.get(finding.key)
    return finding if more is None else replace(finding, what=finding.what + more)


def _too_loud(reading: Reading, findings: Sequence[Finding]) -> _TooLoud:
    """Of an input that is too loud and the clipping of its strip, the one that says less.

    What clips at the lowest gain clips as it is set, and no knob mends it; where a knob does, how
    little is left at the lowest gain is said along with it.
    """
    clips = [each for each in findings if each.code == CLIPS_AS_SET]
    hidden: set[tuple[str, str]] = set()
    besides: dict[tuple[str, str], str] = {}
    for loud in findings if clips else ():
        if loud.code == TOO_HIGH and loud.severity is not Severity.FINE:
            own = [each for each in reading.strips if each.port == loud.where]
            for clip in clips:
                if any(each.holds(reading.rig, clip.where) for each in own):
                    is_held = _is_held(reading, clip.where)
                    hidden.add(clip.key if is_bad(loud) and not is_held else loud.key)
                    spare = format_level(max(loud.margin or 0.0, 0.0), "dB")
                    if not is_held:
                        besides[clip.key] = AT_LOWEST.format(spare=spare)
    return _TooLoud(frozenset(hidden), besides)


def _is_held(reading: Reading, stage: str) -> bool:
    """Whether somebody has locked a control of a strip: its lowest gain is not within reach."""
    way = strongest_way(reading.solution, reading.solution.number(stage)).controls
    rig = reading.rig
    return any(
        rig.strip_at(each) == rig.strip_at(stage) for each in rig.show.locks.intersection(way)
    )


# --- a switch that stands at mic where a line comes ---


def _behind_a_switch(reading: Reading, findings: Sequence[Finding]) -> frozenset[tuple[str, str]]:
    """What a stage that clips for its switch does to limiters and hiss behind it, by their keys."""
    stages = {each.where for each in findings if _clips_for_a_switch(each)}
    behind = (each for each in findings if stages and each.code in _OF_A_SWITCH)
    return frozenset(each.key for each in behind if _is_behind(reading, each, stages))


def _clips_for_a_switch(finding: Finding) -> bool:
    """Whether a switch stands wrong: a mistake of its own, whatever comes there."""
    return finding.code == CLIPS_AS_SET and any(why.name == SWITCH_TAKES for why in finding.why)


def _is_behind(reading: Reading, finding: Finding, stages: Set[str]) -> bool:
    """Whether something is told of the same strip, behind one of some stages."""
    own = {each for each in stages if strip_of(each) == strip_of(finding.where)}
    ways = (way for way in reading.solution.paths if finding.where in way) if own else ()
    return any(not own.isdisjoint(way[: way.index(finding.where)]) for way in ways)


# --- contacts that have changed places, halves that play against one another ---


def _caused(findings: Sequence[Finding]) -> Mapping[str, frozenset[str]]:
    """By the code of a consequence, the plugs at which it follows from something."""
    found: dict[str, frozenset[str]] = {}
    for cause in findings:
        if cause.code in _FOLLOWS and is_bad(cause):
            for code in _FOLLOWS[cause.code]:
                found[code] = found.get(code, frozenset()) | frozenset(cause.ports)
    return found


def _follows(reading: Reading, finding: Finding, caused: Mapping[str, frozenset[str]]) -> bool:
    plugs = caused.get(finding.code, frozenset())
    if not plugs or finding.severity is Severity.HARM:
        return False
    if finding.code == CLIPS_AS_SET:
        return not _clips_for_a_switch(finding) and comes_by(reading, finding, plugs)
    if finding.code == OPPOSITE:  # told of loudspeakers, not of their plugs
        return item_of(finding.where) in {item_of(each) for each in plugs}
    plug = plug_of(reading, finding.where)
    places = {plug, plug.rpartition(".")[0], *finding.ports}
    return not plugs.isdisjoint(places)
