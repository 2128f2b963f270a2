"""Monitors, recordings and effects: what is sent to each, and who hears it."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from typing import Final

from levelhead.exchange.paperwork.flow import leaves
from levelhead.exchange.paperwork.work import Paperwork
from levelhead.exchange.sound_check.channels import Channel
from levelhead.exchange.sound_check.sounding import Sounding
from levelhead.exchange.sound_check.steps import Set, Step, set_of
from levelhead.planning.desks import Bus, Desk, Send
from levelhead.rig.model import RigItem, RigPort
from levelhead.verdicts.people.words import EXPOSURE_CAUTION

__all__ = ["send_steps"]

_FEEDBACK: Final = (
    "Open it slowly with the microphone where it will be: what is sent before the fader stays up "
    "when the fader is shut, and a wedge that rings is loud at once."
)


def send_steps(sounding: Sounding) -> Iterator[Step]:
    """A step for each bus in use, monitors first: its master, then one source after another."""
    work = sounding.work
    steps = [
        (not _is_heard_on_stage(ends), _step(sounding, desk, bus, ends))
        for name in work.mixers
        for desk in (Desk(work.rig, work.rig.items[name]),)
        for bus in desk.buses()
        if (ends := _ends(work, desk, bus))
    ]
    for _, step in sorted(steps, key=lambda each: each[0]):
        if step is not None:
            yield step


def _ends(work: Paperwork, desk: Desk, bus: Bus) -> tuple[RigItem, ...]:
    """Items that a bus leads to in the end; what comes back from one is an effect of that."""
    items: dict[str, RigItem] = {}
    for port in _outputs(work, desk, bus):
        for leaf in leaves(work, port):
            comes_back = leaf.passed and leaf.port.item.id == desk.item.id
            item = leaf.passed[0].item if comes_back else leaf.port.item
            items[item.id] = item
    return tuple(items.values())


def _outputs(work: Paperwork, desk: Desk, bus: Bus) -> Iterator[RigPort]:
    """Plugged sockets by which a bus leaves."""
    for path in bus.block.plan.paths:
        if path.to_port is not None:
            is_own = path.to_port.port in bus.block.plan.ports
            local = bus.block.address(path.to_port.port) if is_own else path.to_port.port
            port = work.rig.ports.get(f"{desk.item.id}.{local}")
            if port is not None and port.address in work.lead_at:
                yield port


def _is_heard_on_stage(ends: Sequence[RigItem]) -> bool:
    return any(each.plan.listeners == "performers" or each.plan.is_worn for each in ends)


def _step(sounding: Sounding, desk: Desk, bus: Bus, ends: Sequence[RigItem]) -> Step | None:
    """The master, then every strip that is sent there."""
    work, sent = sounding.work, list(_sent(sounding, desk, bus))
    if not sent:
        return None
    masters = [
        set_of(work.rig, control)
        for control, blocks in desk.masters().items()
        if any(block.name == bus.block.name for block in blocks)
    ]
    told = _sent_words((channel.who, at) for channel, _, at in sent)
    before = [send.is_before_fader for _, send, _ in sent]
    if any(before):
        told += " (before the faders)" if all(before) else " (some before the faders)"
    heard = " and ".join(work.called(each) for each in ends)
    master = f" {_master(masters)}." if masters else ""
    name = f"{work.called(desk.item)} {bus.block.name}"
    return Step(
        "sends",
        f"{name} to {heard}.{master} One after another, as they play: {told}.",
        at=f"{desk.item.id}.{bus.block.name}",
        sets=(*masters, *(at for _, _, at in sent)),
        caution=_caution(ends),
    )


def _sent(sounding: Sounding, desk: Desk, bus: Bus) -> Iterator[tuple[Channel, Send, Set]]:
    """Channels of a mixer that a bus gets, and how much of each."""
    rig = sounding.work.rig
    for channel in sounding.channels:
        for send in bus.sends if channel.ports[0].item.id == desk.item.id else ():
            is_own = channel.ports[0].block.name == send.strip.name
            if is_own and math.isfinite(rig.setting_db(send.control)):
                yield channel, send, set_of(rig, send.control)


def _master(masters: Sequence[Set]) -> str:
    words = ", ".join(each.words for each in masters)
    return words[0].upper() + words[1:]


def _sent_words(sources: Iterable[tuple[str, Set]]) -> str:
    """Sources with their sends; those that are set alike are told together."""
    alike: dict[str, list[str]] = {}
    for name, at in sources:
        alike.setdefault(f"{at.setting} ({at.told})" if at.told else at.setting, []).append(name)
    return "; ".join(
        f"{', '.join(names)} {setting}{' each' if len(names) > 1 else ''}"
        for setting, names in alike.items()
    )


def _caution(ends: Sequence[RigItem]) -> str | None:
    if any(each.plan.is_worn for each in ends):
        return f"Receivers and headphones down before they are put on. {EXPOSURE_CAUTION}"
    return _FEEDBACK if _is_heard_on_stage(ends) else None
