"""One source at a time: each strip of each mixer at its loudest passage, hot ones first."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Final

from levelhead.exchange.paperwork.flow import upstream
from levelhead.exchange.paperwork.work import Paperwork, listed
from levelhead.exchange.sound_check.channels import Channel
from levelhead.exchange.sound_check.meters import mark_at, shown
from levelhead.exchange.sound_check.sounding import Sounding
from levelhead.exchange.sound_check.steps import Set, Step, set_of
from levelhead.planning.desks import Desk
from levelhead.planning.gains.planned.ends import MeterMark
from levelhead.planning.gains.planned.plan import Position
from levelhead.quantity.formatting import format_level

__all__ = ["source_steps"]

_SEVERAL: Final = 3  # hot sources, from which on what is done first is told once


def source_steps(
    sounding: Sounding, meters: Sequence[MeterMark], positions: Sequence[Position] = ()
) -> Iterator[Step]:
    """A step for each strip: what is set before the mixer, then listen, gain, meter, fader."""
    work, told = sounding.work, set[str]()
    hot = [each for each in sounding.channels if each.is_hot]
    if len(hot) >= _SEVERAL:
        yield _hot_step(hot)
    for channel in sounding.channels:
        before = [each for each in _before(work, channel, positions) if each.control not in told]
        told |= {each.control for each in before}
        caution = _caution(channel, alone=len(hot) < _SEVERAL)
        yield replace(_step(work, channel, meters, before), caution=caution)


def _hot_step(hot: Sequence[Channel]) -> Step:
    """What is done before any of several hot sources plays, told once."""
    names = listed(dict.fromkeys(each.who for each in hot))
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
    faders = [set_of(work.rig, each) for each in (desk.fader(port.block),) if each is not None]
    point = channel.strips[0].metered
    mark = mark_at(meters, point.address)
    reading = None if mark is None else shown(mark, point)
    return Step(
        "sources",
        _first(before) + _do(work, desk, channel, gains, faders),
        at=port.address,
        meter="" if reading is None else reading.reads,
        between="" if reading is None else reading.between,
        sets=(*before, *gains, *faders),
    )


def _first(before: Sequence[Set]) -> str:
    """What is set before the mixer."""
    words = ", ".join(each.words for each in before)
    return f"{words[0].upper()}{words[1:]}. " if words else ""


def _do(
    work: Paperwork, desk: Desk, channel: Channel, gains: Sequence[Set], faders: Sequence[Set]
) -> str:
    """What a person does with one strip."""
    port = channel.ports[0]
    place = f"{work.called(port.item)} {port.block.name or port.plan.label}"
    listening, muting = desk.listening(port.block), desk.muting(port.block)
    listen = "alone, on its own meter"
    if listening is not None:
        listen = f"{work.rig.controls[listening[0]].label} on"
    if muting is not None and listening is None:
        listen = f"{listen}, still muted"
    gain = ", ".join(each.words for each in gains) or "no gain here, its own level sets it"
    last = [f"{work.rig.controls[each[0]].label} off" for each in (listening, muting) if each]
    last += [f"up to the mark: {each.words}" for each in faders]
    parts = (f"{channel.who}, {place}: {listen}, at the loudest passage", gain, ", ".join(last))
    return ". ".join(part[0].upper() + part[1:] for part in parts if part) + "."


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
