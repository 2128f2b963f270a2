"""Which of its sockets a strip listens to, as its switches stand.

A channel of a digital mixer hears its own sockets or the network, a pocket recorder its line or
its microphone input: a switch says which, and what arrives at the other is heard by nobody.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import NamedTuple

from levelhead.gear.compile.strips import STRIP, strip_of
from levelhead.gear.plan import BlockInstance
from levelhead.rig.model import Rig, RigItem, RigPort

__all__ = ["is_in_use", "is_switched_away", "switches_to"]


class _Origin(NamedTuple):
    """Where a path of a strip may begin, and the switches that choose it."""

    port: str
    when: Mapping[str, str]  # by the address of each switch


def is_switched_away(rig: Rig, port: RigPort) -> bool:
    """Whether the strip of a socket hears another one instead, as its switches stand."""
    own = [
        each for each in _origins(rig, port.item, port.block) if _is_of(each.port, port.plan.name)
    ]
    return bool(own) and not any(_holds(rig, each) for each in own)


def switches_to(rig: Rig, item: RigItem, block: BlockInstance, socket: str) -> Mapping[str, str]:
    """Switches of a strip that stand otherwise than a socket wants, as they would have to stand.

    Empty where the strip hears it, or never does.
    """
    for each in _origins(rig, item, block):
        if each.when and _is_of(each.port, socket):
            return {at: option for at, option in each.when.items() if rig.setting(at) != option}
    return {}


def is_in_use(rig: Rig, item: RigItem, block: BlockInstance) -> bool:
    """Whether a plug sits in a socket that the strip hears as it stands."""
    return any(
        rig.plugged(f"{item.id}.{block.address(name)}")
        for each in _origins(rig, item, block)
        if _holds(rig, each)
        for name in block.plan.ports
        if _is_of(each.port, name)
    )


def _origins(rig: Rig, item: RigItem, block: BlockInstance) -> Iterator[_Origin]:
    """Sockets that a strip, or the item itself, may hear, whatever its switches say."""
    entry = rig.book.entry(item.plan.type_id)
    strip = entry if not block.block else entry.blocks.get(block.block)
    if strip is None or strip.path is None or isinstance(strip.path.from_, str):
        return
    own = strip_of(block.block, block.name)
    for each in strip.path.from_:
        when = dict(each.when or {})
        if each.port is not None and when.pop(STRIP, own) == own:
            yield _Origin(
                each.port, {rig.control_of(item, block, at): option for at, option in when.items()}
            )


def _is_of(origin: str, port: str) -> bool:
    """Whether a socket is the one where a path begins: by itself, or for one of its sides."""
    return port in (origin, f"{origin}-left", f"{origin}-right")


def _holds(rig: Rig, origin: _Origin) -> bool:
    return all(rig.setting(control) == option for control, option in origin.when.items())
