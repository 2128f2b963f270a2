"""Sends before and behind the fader, and recordings behind a mute.

What a send hangs on is read off the strip: the fader is the last control on it, a crossing taken
before it stays when the fader moves, one behind it moves along.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Final

from levelhead.chain.wired.lanes import Lane
from levelhead.gear.compile.mixes import mix_start
from levelhead.verdicts.explain import Explained
from levelhead.verdicts.read.places import kept_while, open_ways
from levelhead.verdicts.read.reach import Place, is_for_the_stage
from levelhead.verdicts.read.reading import Reading
from levelhead.verdicts.routing.half_heard import shut_by, silencing
from levelhead.verdicts.told.finding import Compared, Finding, Severity
from levelhead.verdicts.told.words import control_words, place_words

__all__ = [
    "BEFORE_FADER",
    "BEHIND_FADER",
    "BEHIND_MUTE",
    "EXPLAINED",
    "SENTENCES",
    "Send",
    "check_recordings",
    "check_sends",
    "recorders",
    "sends_of",
]

BEHIND_FADER, BEFORE_FADER = "routing.monitor-behind-fader", "routing.effect-before-fader"
BEHIND_MUTE = "routing.recording-behind-mute"
SENTENCES: Final = {
    BEHIND_FADER: "{bus} plays for the stage and is taken behind the faders of {strips}: each "
    "move for "
    "the hall changes it, and how near it is to feedback. It works while nobody moves a fader.",
    BEFORE_FADER: "{bus} comes back into the mix and is taken before the faders of {strips}: "
    "with such a "
    "fader down the effect stays in the hall. It works while the faders stay up.",
    BEHIND_MUTE: "{recorder} gets what {switch} leaves: whatever that mutes in the hall is "
    "missing on "
    "the recording. It works if nothing is wanted from the pauses.",
}


@dataclass(frozen=True, slots=True)
class Send:
    """A crossing from a strip into a sum that is not the main mix."""

    strip: Place
    bus: Place
    is_behind_fader: bool


@kept_while(open_ways)
def check_sends(reading: Reading) -> Iterator[Finding]:
    """Sends of strips with a signal: behind the fader to the stage, before it into the mix."""
    by_bus: dict[tuple[int, bool], list[Send]] = defaultdict(list)
    for send in sends_of(reading):
        by_bus[send.bus.number, send.is_behind_fader].append(send)
    mains = _mains(reading)
    for (bus, is_behind), sends in by_bus.items():
        onward = reading.reach.onward([bus])
        own_mains = mains.get(sends[0].bus.lane.item.id, set())
        comes_back = bool(onward & own_mains)
        if is_behind and not comes_back and _is_for_the_stage(reading, onward):
            movable = [each for each in sends if _can_be_before(reading, each)]
            if movable:
                yield _finding(reading, BEHIND_FADER, movable)
        elif (
            not is_behind
            and comes_back
            and any(_is_in_the_mix(reading, each, own_mains) for each in sends)
        ):
            yield _finding(reading, BEFORE_FADER, sends)


def sends_of(reading: Reading) -> Iterator[Send]:
    """Every open send of a strip that has a signal."""
    solution, places = reading.solution, reading.reach.places
    mains = set().union(*_mains(reading).values())
    columns = solution.graph.columns
    for source, target in zip(columns.source.tolist(), columns.target.tolist(), strict=True):
        one, other = places.get(source), places.get(target)
        if one is None or other is None or one.lane.item.id != other.lane.item.id:
            continue
        if one.lane.block.name == other.lane.block.name or target in mains:
            continue
        fader = _fader(one)
        if fader is not None and solution.nominal[source] > 0:
            yield Send(one, other, one.column >= fader)


def _fader(place: Place) -> int | None:
    """The last control of a strip; a strip with one control alone has a gain and no fader."""
    rig, lane = place.lane.rig, place.lane
    turned = [
        column
        for column, stage in enumerate(lane.path.stages)
        if (control := lane.control_of(stage)) is not None and rig.controls[control].kind == "range"
    ]
    comes_in = any(origin.port is not None for origin in lane.path.origins)
    return turned[-1] if len(turned) > 1 and comes_in else None


def _mains(reading: Reading) -> Mapping[str, set[int]]:
    """By item, the sums that strips are panned into."""
    wiring = reading.solution.graph.wiring
    found: dict[str, set[int]] = defaultdict(set)
    for number in sorted(set(wiring.ways.target[wiring.ways.side >= 0].tolist())):
        place = reading.reach.places[number]
        found[place.lane.item.id].add(number)
    return found


def _can_be_before(reading: Reading, send: Send) -> bool:
    """Whether the mixer has a way from before the fader into this sum, by some switch.

    Where it has none nobody can act.
    """
    lane, bus = send.strip.lane, send.bus.lane.block
    entry = reading.rig.book.entry(lane.item.plan.type_id)
    path = entry.blocks[lane.block.block].path
    names = [each.stage for each in path.stages] if path is not None else []
    fader = _fader(send.strip)
    last = names.index(lane.path.stages[fader].name) if fader is not None else 0
    starts = {
        each.from_.rpartition(".")[2]
        for each in entry.mix
        if each.from_.partition(".")[0] == lane.block.block and each.to in (bus.block, bus.name)
    }
    return any(name in starts for name in names[:last])


def _is_for_the_stage(reading: Reading, onward: set[int]) -> bool:
    """Whether a loudspeaker for performers is among the points, and none of another kind."""
    items = {point.item for number, point in reading.reach.loudspeakers.items() if number in onward}
    return bool(items) and all(is_for_the_stage(reading.rig, each) for each in items)


def _is_in_the_mix(reading: Reading, send: Send, mains: set[int]) -> bool:
    """Whether the strip itself is in the main mix, by its fader."""
    lane = send.strip.lane
    own = {
        number
        for number, place in reading.reach.places.items()
        if place.lane is lane or (place.lane.item is lane.item and place.lane.block is lane.block)
    }
    columns = reading.solution.graph.columns
    return any(
        source in own and target in mains
        for source, target in zip(columns.source.tolist(), columns.target.tolist(), strict=True)
    )


def _finding(reading: Reading, code: str, sends: list[Send]) -> Finding:
    bus = sends[0].bus
    strips = list(dict.fromkeys(each.strip.lane.block.name for each in sends))
    label = f"{bus.lane.item.label} {bus.lane.block.name}"
    outputs = [
        port.address
        for port in reading.rig.ports.values()
        if port.item.id == bus.lane.item.id
        and port.block.name == bus.lane.block.name
        and port.link is not None
    ]
    return Finding(
        code=code,
        severity=Severity.CARE,
        where=reading.solution.graph.points[bus.number].address,
        what=SENTENCES[code].format(bus=place_words(label), strips=_listed(strips)),
        why=(Compared("strips that it is taken from", float(len(strips)), 0.0, ""),),
        source="where on each strip the send is taken: before or behind its last control",
        basis="common practice",
        ports=tuple(outputs),
    )


def _listed(names: list[str]) -> str:
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"


# --- recordings ---


@kept_while(open_ways)
def check_recordings(reading: Reading) -> Iterator[Finding]:
    """What ends in a recorder: does all of it come by a stage that a mute shuts for a hall?

    Without a loudspeaker behind it nobody shuts it between the pieces.
    """
    playing = [each for each in recorders(reading) if reading.solution.nominal[each.number] > 0]
    stages = _stages_with_a_mute(reading) if playing else {}
    loudspeakers = reading.reach.loudspeakers.keys()
    in_the_hall = {
        switch for number, switch in stages.items() if reading.reach.onward([number]) & loudspeakers
    }
    shut = {number: switch for number, switch in stages.items() if switch in in_the_hall}
    if not shut:
        return
    starts = {entry.point for entry in reading.solution.graph.entries}
    told: set[tuple[str, str]] = set()
    for end in playing:
        before = reading.reach.back([end.number])
        mutes = sorted(before & shut.keys())
        open_ways = reading.reach.back([end.number], without=mutes)
        if mutes and before & starts and not open_ways & starts:
            key = (end.lane.item.id, shut[mutes[0]])
            if key not in told:
                told.add(key)
                yield _behind_mute(reading, end, shut[mutes[0]])


def _stages_with_a_mute(reading: Reading) -> Mapping[int, str]:
    """Stages that some position of a switch shuts, with the switch, by their points.

    A player's own switch is no mute of a mix.
    """
    silencing_of = silencing(reading.rig)
    if not silencing_of:
        return {}
    found = {}
    for number, place in reading.reach.places.items():
        if any(origin.kind == "mix" for origin in place.lane.path.origins):
            switch = shut_by(reading.rig, silencing_of, place)
            if switch is not None:
                found[number] = switch
    return found


def recorders(reading: Reading) -> Iterator[Place]:
    """Last stages of paths that begin at a plug and lead nowhere: recorders."""
    for place in reading.reach.places.values():
        lane = place.lane
        leads_on = lane.path.to_port is not None or lane.path.to_air or _is_mixed(lane)
        comes_in = any(each.port is not None for each in lane.path.origins)
        is_last = place.column == len(lane.path.stages) - 1
        if is_last and comes_in and not leads_on:
            yield place


def _is_mixed(lane: Lane) -> bool:
    """Whether a strip goes into sums, be it switched away from all of them or not."""
    entry = lane.rig.book.entry(lane.item.plan.type_id)
    names = (lane.block.block, lane.block.name)
    return any(mix_start(each)[0] in names for each in entry.mix)


def _behind_mute(reading: Reading, end: Place, switch: str) -> Finding:
    item = end.lane.item
    return Finding(
        code=BEHIND_MUTE,
        severity=Severity.CARE,
        where=reading.solution.graph.points[end.number].address,
        what=SENTENCES[BEHIND_MUTE].format(
            recorder=item.label, switch=control_words(reading.rig, switch)
        ),
        why=(Compared("ways to the recorder beside the mute", 0.0, 1.0, ""),),
        source="ways of the signals to the recorder with and without the stage that the mute shuts",
        basis="common practice",
        ports=reading.plugs(item.id),
    )


EXPLAINED: Final = (
    Explained(
        BEHIND_FADER,
        "Sends to loudspeakers for the stage (wedges, in-ears, what is turned to the stage): "
        "are they "
        "taken behind the last control of their strips?",
    ),
    Explained(
        BEFORE_FADER,
        "Sends that come back into the main mix: are they taken before the last control of a strip "
        "that is in that mix itself?",
    ),
    Explained(
        BEHIND_MUTE,
        "Ways to a recorder: do all of them pass a stage that a mute of the mixer shuts?",
    ),
)
