"""Protective earths, which no remedy may lift."""

from __future__ import annotations

from levelhead.rig.model import Rig

__all__ = ["keeps_every_earth"]


def keeps_every_earth(before: Rig, after: Rig) -> bool:
    """Whether all that has a protective earth keeps it, or runs from a battery afterwards.

    Earths are never lifted to mend anything, whatever a switch of an item offers.
    """
    for item in before.items.values():
        if item.plan.earth != "mains" or item.id not in after.items:
            continue
        plan = after.items[item.id].plan
        is_on_battery = any(way.kind == "battery" for way in plan.powered_by)
        if plan.earth != "mains" and not is_on_battery:
            return False
    return True
