"""Protective earths, which no remedy may lift."""

from __future__ import annotations

from levelhead.rig.model import Rig, RigItem

__all__ = ["keeps_every_earth"]


def keeps_every_earth(before: Rig, after: Rig) -> bool:
    """Whether all that has a protective earth keeps it, or runs from a battery afterwards.

    Earths are never lifted to mend anything, whatever a switch of an item offers.
    """
    for item in before.items.values():
        if item.plan.earth != "mains" or item.id not in after.items:
            continue
        moved = after.items[item.id]
        is_on_battery = any(way.kind == "battery" for way in moved.plan.powered_by)
        if moved.plan.earth != "mains" and not is_on_battery:
            return False
        if _hangs_on_lost_earth(after, moved) and not _hangs_on_lost_earth(before, item):
            return False
    return True


def _hangs_on_lost_earth(rig: Rig, item: RigItem) -> bool:
    """Whether an item is fed by a supply whose protective earth is lost."""
    return item.supply is not None and rig.show.supplies[item.supply].earth == "lost"
