"""Strips that hear another socket than the one where their signal stands: the switch turned."""

from __future__ import annotations

from levelhead.gear.plan import BlockInstance
from levelhead.rig.chosen_inputs import is_in_use, switches_to
from levelhead.rig.model import Rig, RigItem
from levelhead.show.edits import Edit, Set

__all__ = ["input_chosen"]


def input_chosen(rig: Rig, end: str) -> tuple[Edit, ...]:
    """Switches that make a strip hear a socket, or what arrives at ``item.socket.channel``.

    None where something is plugged into a socket that the strip hears now, or a switch is locked.
    """
    found = _strip_and_socket(rig, end)
    if found is None or is_in_use(rig, *found[:2]):
        return ()
    turned = switches_to(rig, *found)
    if turned.keys() & rig.show.locks:
        return ()
    return tuple(Set(control, option) for control, option in turned.items())


def _strip_and_socket(rig: Rig, end: str) -> tuple[RigItem, BlockInstance, str] | None:
    port = rig.ports.get(end)
    if port is not None:
        return port.item, port.block, port.plan.name
    item_id, _, rest = end.partition(".")
    socket, _, number = rest.rpartition(".")
    item = rig.items.get(item_id)
    if item is None or not socket:
        return None
    named = (each for each in item.plan.blocks if each.block)
    strip = next((each for each in named if each.name == f"{each.block}{number}"), None)
    return None if strip is None else (item, strip, socket)
