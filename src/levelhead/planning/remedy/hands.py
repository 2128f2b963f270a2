"""Where a remedy has a hand: what somebody who carries it out expects to change."""

from __future__ import annotations

from collections.abc import Iterable

from levelhead.show.addresses import strip_of
from levelhead.show.edits import (
    AddItem,
    Aim,
    Edit,
    Lay,
    Move,
    Plug,
    Power,
    Recable,
    Retype,
    Set,
    SetPins,
    StandNear,
    Unplug,
)
from levelhead.show.model import Show
from levelhead.verdicts.told.finding import Finding

__all__ = ["hands_of", "is_at"]


def hands_of(show: Show, finding: Finding, edits: Iterable[Edit]) -> frozenset[str]:
    """Strips and items at which a finding stands, what is plugged there, and what edits touch."""
    places = {*finding.ports, finding.where}
    for link in show.links:
        ends = set(link.ends.values())
        if ends & {*finding.ports, finding.where}:
            places |= ends
    for edit in edits:
        places.update(_places(edit))
    return frozenset(strip_of(place) for place in places)


def _places(edit: Edit) -> Iterable[str]:
    """Sockets, controls and items that an edit is about."""
    if isinstance(edit, Plug | Unplug):
        return edit.link.ends.values()
    if isinstance(edit, Set):
        return (edit.address,)
    if isinstance(edit, Recable | SetPins | Lay):
        return (edit.end,)
    if isinstance(edit, AddItem):
        return (edit.item.id,)
    return (edit.item,) if isinstance(edit, Retype | Power | Move | Aim | StandNear) else ()


def is_at(hands: frozenset[str], finding: Finding) -> bool:
    """Whether a finding stands at one of them."""
    return any(
        place == hand or place.startswith(f"{hand}.")
        for place in (finding.where, *finding.ports)
        for hand in hands
    )
