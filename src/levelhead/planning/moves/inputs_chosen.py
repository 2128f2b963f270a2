"""Channels that take their signal from another socket than the one where it stands.

A channel of a digital mixer hears its own sockets or the network, as a switch says; what arrives
from a stage box at a channel that hears its own sockets is heard by nobody.
"""

from __future__ import annotations

from collections.abc import Iterator

from levelhead.gear.model.paths import OriginEntry
from levelhead.gear.plan import BlockInstance
from levelhead.rig.model import Rig, RigItem, RigPort
from levelhead.show.edits import Edit, Set

__all__ = ["input_chosen", "is_switched_away"]


def input_chosen(rig: Rig, end: str) -> tuple[Edit, ...]:
    """Switches that make a channel hear what arrives at ``item.socket.channel``, where one can.

    None where something is plugged into a socket that the channel hears now, or a switch is locked.
    """
    item_id, _, rest = end.partition(".")
    socket, _, number = rest.rpartition(".")
    item = rig.items.get(item_id)
    if item is None or not socket:
        return ()
    for block in item.plan.blocks:
        if block.name != f"{block.block}{number}" or not block.block:
            continue
        origins = list(_origins(rig, item, block))
        here = [each for each in origins if each.port == socket and each.when]
        if here and not _is_in_use(rig, item, block, origins):
            edits = tuple(
                Set(rig.control_of(item, block, name), option)
                for name, option in (here[0].when or {}).items()
                if rig.setting(rig.control_of(item, block, name)) != option
            )
            if not {each.address for each in edits} & rig.show.locks:
                return edits
    return ()


def is_switched_away(rig: Rig, port: RigPort) -> bool:
    """Whether the channel of a socket hears another one instead, as its switches stand."""
    own = [each for each in _origins(rig, port.item, port.block) if each.port == port.plan.name]
    return bool(own) and not any(_holds(rig, port.item, port.block, each) for each in own)


def _origins(rig: Rig, item: RigItem, block: BlockInstance) -> Iterator[OriginEntry]:
    """Where the path of a strip may begin, whatever its switches say."""
    entry = rig.book.entry(item.plan.type_id).blocks.get(block.block)
    if entry is not None and entry.path is not None and not isinstance(entry.path.from_, str):
        yield from entry.path.from_


def _holds(rig: Rig, item: RigItem, block: BlockInstance, origin: OriginEntry) -> bool:
    return all(
        rig.setting(rig.control_of(item, block, name)) == option
        for name, option in (origin.when or {}).items()
    )


def _is_in_use(rig: Rig, item: RigItem, block: BlockInstance, origins: list[OriginEntry]) -> bool:
    """Whether a plug sits in a socket that the strip hears as it stands."""
    return any(
        each.port in block.plan.ports
        and _holds(rig, item, block, each)
        and rig.plugged(f"{item.id}.{block.address(each.port)}")
        for each in origins
        if each.port is not None
    )
