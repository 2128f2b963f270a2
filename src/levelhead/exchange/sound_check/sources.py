"""One source at a time: each strip of each mixer at its loudest passage, hot ones first.

Hot is what comes near the end of its input even with the gain fully down, by numbers: a source
whose peaks stand less than 12 dB below what the input then takes. Levels differ by as much from one
player to the next.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Final

from levelhead.exchange.flow import upstream
from levelhead.exchange.paperwork import Paperwork, listed
from levelhead.exchange.sound_check.meters import mark_at, shown
from levelhead.exchange.sound_check.steps import Set, Step
from levelhead.gear.positions import hand_words
from levelhead.planning.desks import Desk
from levelhead.planning.gains.plan import Position
from levelhead.planning.gains.plan_ends import MeterMark
from levelhead.quantity.formatting import format_level
from levelhead.rig.model import Rig, RigPort
from levelhead.rig.settings import setting_text
from levelhead.verdicts.doubts import Way, strongest_way
from levelhead.verdicts.strips import Strip

__all__ = [
    "HOT_ROOM_DB",
    "Channel",
    "channels",
    "is_in_the_air",
    "plays_music",
    "set_of",
    "source_steps",
    "source_words",
]

HOT_ROOM_DB: Final = 12.0  # one player differs from the next by as much, common practice
_SEVERAL: Final = 3  # hot sources, from which on what is done first is told once


@dataclass(frozen=True, slots=True)
class Channel:
    """A strip of a mixer with the inputs that it has a signal at, and how hot that comes.

    ``room_db`` is how far the highest peak stands below what the input takes at its lowest gain.
    """

    ports: tuple[RigPort, ...]
    strips: tuple[Strip, ...]
    room_db: float
    depth: int
    has_gain: bool

    @property
    def is_hot(self) -> bool:
        """Whether it may clip its input before anybody has touched a gain."""
        return self.room_db < HOT_ROOM_DB

    @property
    def peak_dbu(self) -> float:
        """Highest peak at its inputs, in the unit of the input."""
        return max(strip.peak_dbu for strip in self.strips)


def set_of(rig: Rig, control: str) -> Set:
    """A control as it stands in a rig, in words."""
    plan, setting = rig.controls[control], rig.setting(control)
    return Set(control, plan.label, setting_text(setting, plan), hand_words(plan, setting))


def channels(work: Paperwork) -> tuple[Channel, ...]:
    """Strips in the order of sound check: behind another mixer later; the hottest first."""
    found: dict[tuple[str, str], list[Strip]] = {}
    for strip in work.check.trial.reading.strips:
        port = work.rig.ports[strip.port]
        if work.is_input(port):
            found.setdefault((port.item.id, port.block.name or port.plan.name), []).append(strip)
    made = [_channel(work, strips) for strips in found.values()]
    return tuple(
        sorted(made, key=lambda each: (each.depth, each.room_db if each.is_hot else math.inf))
    )


def _channel(work: Paperwork, strips: Sequence[Strip]) -> Channel:
    lowest = [(strip.lowest_ceiling, strip.peak_dbu) for strip in strips]
    rooms = [
        math.inf if ceiling is None else ceiling.at_lowest_dbu - peak_dbu
        for ceiling, peak_dbu in lowest
    ]
    ports = tuple(work.rig.ports[strip.port] for strip in strips)
    room_db = round(min(rooms), 1)  # what a meter cannot tell apart keeps the order of the panel
    desk, first = Desk(work.rig, ports[0].item), ports[0]
    has_gain = bool(desk.gains(first.block, first.plan.name))
    return Channel(ports, tuple(strips), room_db, _depth(work, strips[0].port), has_gain)


def _depth(work: Paperwork, port: str) -> int:
    """How many other mixers its signal has passed; what comes back from its own comes last."""
    return len(_passed(work, port) & set(work.mixers))


def _passed(work: Paperwork, port: str) -> set[str]:
    """Items that a signal has passed before an input."""
    solution = work.check.trial.solution
    index = solution.graph.index
    address = next((each for each in index if each == port or each.startswith(f"{port}.")), None)
    if address is None:
        return set()
    edges = strongest_way(solution, index[address]).edges
    return {solution.graph.points[edge.source].item for edge in edges}


def source_steps(
    work: Paperwork,
    found: Sequence[Channel],
    meters: Sequence[MeterMark],
    positions: Sequence[Position] = (),
) -> Iterator[Step]:
    """A step for each strip: what is set before the mixer, then listen, gain, meter, fader."""
    told: set[str] = set()
    hot = [each for each in found if each.is_hot]
    if len(hot) >= _SEVERAL:
        yield _hot_step(work, hot)
    for channel in found:
        before = [each for each in _before(work, channel, positions) if each.control not in told]
        told |= {each.control for each in before}
        caution = _caution(channel, alone=len(hot) < _SEVERAL)
        yield replace(_step(work, channel, meters, before), caution=caution)


def _hot_step(work: Paperwork, hot: Sequence[Channel]) -> Step:
    """What is done before any of several hot sources plays, told once."""
    names = listed(dict.fromkeys(source_words(work, each) for each in hot))
    downs = dict.fromkeys(_down(each) for each in hot)
    return Step(
        "sources",
        f"The hot ones come first: {names}. Before any of them plays: {' or '.join(downs)}, fader "
        "shut, headphones down.",
        at=hot[0].ports[0].address,
    )


def _before(work: Paperwork, channel: Channel, positions: Sequence[Position]) -> Iterator[Set]:
    """Controls before a mixer: pads of boxes, volumes of players, gains of transmitters."""
    items = {each for port in channel.ports for each in upstream(work, port)} - set(work.mixers)
    for each in positions:
        name = each.control.partition(".")[0]
        if name in items:
            item = work.rig.items[name]
            found = set_of(work.rig, each.control)
            yield replace(found, label=f"{work.called(item)} {found.label}")


def _step(
    work: Paperwork, channel: Channel, meters: Sequence[MeterMark], before: Sequence[Set]
) -> Step:
    port = channel.ports[0]
    desk = Desk(work.rig, port.item)
    gains = [set_of(work.rig, each) for each in desk.gains(port.block, port.plan.name)]
    fader = desk.fader(port.block)
    point = channel.strips[0].metered
    mark = mark_at(meters, point.address)
    reading = None if mark is None else shown(mark, point)
    sets = (*before, *gains, *([] if fader is None else [set_of(work.rig, fader)]))
    return Step(
        "sources",
        _first(before)
        + _do(work, desk, channel, gains, None if fader is None else set_of(work.rig, fader)),
        at=port.address,
        meter="" if reading is None else reading.reads,
        between="" if reading is None else reading.between,
        sets=sets,
    )


def _first(before: Sequence[Set]) -> str:
    """What is set before the mixer."""
    words = ", ".join(each.words for each in before)
    return f"{words[0].upper()}{words[1:]}. " if words else ""


def _do(
    work: Paperwork, desk: Desk, channel: Channel, gains: Sequence[Set], fader: Set | None
) -> str:
    """What a person does with one strip."""
    port = channel.ports[0]
    who = source_words(work, channel)
    place = f"{work.called(port.item)} {port.block.name or port.plan.label}"
    listening, muting = desk.listening(port.block), desk.muting(port.block)
    listen = "alone, on its own meter"
    if listening is not None:
        listen = f"{work.rig.controls[listening[0]].label} on"
    if muting is not None and listening is None:
        listen = f"{listen}, still muted"
    gain = ", ".join(each.words for each in gains) or "no gain here, its own level sets it"
    last = [f"{work.rig.controls[each[0]].label} off" for each in (listening, muting) if each]
    last += [] if fader is None else [f"up to the mark: {fader.words}"]
    parts = (f"{who}, {place}: {listen}, at the loudest passage", gain, ", ".join(last))
    return ". ".join(part[0].upper() + part[1:] for part in parts if part) + "."


def source_words(work: Paperwork, channel: Channel) -> str:
    """Who plays there: the source in the air, the item that the signal begins in, or a return."""
    solution = work.check.trial.solution
    names = []
    for strip in channel.strips:
        port = work.rig.ports[strip.port]
        back = upstream(work, port)
        if back and port.item.id in _passed(work, strip.port):
            names.append(f"Return of {work.called(work.rig.items[back[0]])}")
            continue
        row = solution.graph.index.get(strip.entry.at)
        way = None if row is None else strongest_way(solution, row).source
        names.append(strip.port if way is None else way.label.split(", ")[0])
    return " and ".join(dict.fromkeys(names))


def is_in_the_air(work: Paperwork, channel: Channel) -> bool:
    """Whether what comes there began as sound in the air: a microphone hears it."""
    points = work.check.trial.solution.graph.points
    first = (way.edges[0].source for way in _ways(work, channel) if way.edges)
    return any(points[each].unit == "Pa" for each in first)


def plays_music(work: Paperwork, channel: Channel) -> bool:
    """Whether what comes there comes out of a player."""
    points = work.check.trial.solution.graph.points
    items = {points[way.edges[0].source].item for way in _ways(work, channel) if way.edges}
    return any(work.rig.items[each].plan.kind == "player" for each in items & set(work.rig.items))


def _ways(work: Paperwork, channel: Channel) -> Iterator[Way]:
    """By which most comes to each of its inputs."""
    solution = work.check.trial.solution
    for strip in channel.strips:
        row = solution.graph.index.get(strip.entry.at)
        if row is not None:
            yield strongest_way(solution, row)


def _caution(channel: Channel, *, alone: bool) -> str | None:
    """How hot it is; what is done first, unless a step before tells it of several."""
    if not channel.is_hot:
        return None
    peak = format_level(channel.peak_dbu, channel.strips[0].entry.unit)
    if channel.room_db < 0:
        room = f"{format_level(-channel.room_db, 'dB')} more than the input takes"
    else:
        room = f"{format_level(channel.room_db, 'dB')} below what the input takes"
    lowest = " at the lowest gain" if channel.has_gain else ""
    first = f" Before it plays: {_down(channel)}, fader shut, headphones down." if alone else ""
    return f"Hot: peaks of {peak}, {room}{lowest}.{first}"


def _down(channel: Channel) -> str:
    return "gain fully down, its pad in if it has one" if channel.has_gain else "its own level down"
