"""Who listens to a loudspeaker, by its type and by where it is turned."""

from __future__ import annotations

from typing import Final

from levelhead.rig.model import Rig

__all__ = ["is_for_the_stage", "listeners_of"]

_NEAR: Final = frozenset({"performers", "ears"})


def listeners_of(rig: Rig, item: str) -> str | None:
    """Who hears a loudspeaker: as its type says, else whoever it is turned to; ``None``: unknown.

    A loudspeaker turned against the way into the hall plays for those on the stage.
    """
    plan, own = rig.items[item].plan, rig.show.items[item]
    if plan.is_worn:
        return "ears"
    if plan.listeners is not None or own.at is None or own.aim is None:
        return plan.listeners
    return "performers" if own.aim[1] < own.at[1] else "audience"


def is_for_the_stage(rig: Rig, item: str) -> bool:
    """Whether performers hear it, by a wedge or at their ears."""
    return listeners_of(rig, item) in _NEAR
