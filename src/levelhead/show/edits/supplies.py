"""Edits of mains supplies."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import TypeVar

from levelhead.show import checks, mains
from levelhead.show.edits.base import (
    Applied,
    Edit,
    checked,
    free_id,
    known,
    refuse,
    renamed,
    with_entry,
    without,
)
from levelhead.show.model import Show, Supply

__all__ = ["AddSupply", "ChangeSupply", "RemoveSupply", "RenameSupply"]

_T = TypeVar("_T")


@dataclass(frozen=True, slots=True)
class AddSupply(Edit):
    """Add a mains supply."""

    supply: Supply

    def applied(self, show: Show) -> Applied:
        """The show with the supply."""
        free_id(self.supply.id, show.supplies, "supply", checks.checked_id)
        supply = _checked_supply(self.supply)
        return replace(show, supplies=with_entry(show.supplies, supply.id, supply)), (
            RemoveSupply(supply.id),
        )


@dataclass(frozen=True, slots=True)
class RemoveSupply(Edit):
    """Remove a mains supply that nothing is plugged into."""

    supply: str

    def applied(self, show: Show) -> Applied:
        """The show without the supply."""
        supply = show.supplies[known(self.supply, show.supplies, "supply")]
        users = [item.id for item in show.items.values() if item.supply == supply.id]
        if users:
            refuse(
                f"{', '.join(users)} on supply {supply.id!r}",
                where="supply",
                expected="a supply that nothing is plugged into",
                remedy="Give these items another supply first.",
            )
        return replace(show, supplies=without(show.supplies, supply.id)), (AddSupply(supply),)


@dataclass(frozen=True, slots=True)
class ChangeSupply(Edit):
    """Change a mains supply, known by its id, in anything but that."""

    supply: Supply

    def applied(self, show: Show) -> Applied:
        """The show with the supply changed."""
        before = show.supplies[known(self.supply.id, show.supplies, "supply")]
        supply = _checked_supply(self.supply)
        return replace(show, supplies=with_entry(show.supplies, supply.id, supply)), (
            ChangeSupply(before),
        )


@dataclass(frozen=True, slots=True)
class RenameSupply(Edit):
    """Give a mains supply another id; items follow."""

    supply: str
    new_id: str

    def applied(self, show: Show) -> Applied:
        """The show with the new id."""
        supply = show.supplies[known(self.supply, show.supplies, "supply")]
        if self.new_id == supply.id:
            return show, ()
        new = free_id(self.new_id, show.supplies, "supply", checks.checked_id)
        changed = replace(
            show,
            supplies=renamed(show.supplies, supply.id, new) | {new: replace(supply, id=new)},
            items={
                name: replace(item, supply=new) if item.supply == supply.id else item
                for name, item in show.items.items()
            },
        )
        return changed, (RenameSupply(new, supply.id),)


def _checked_supply(supply: Supply) -> Supply:
    """A supply whose fields are all sound."""
    place = f"supply {supply.id!r}"
    return Supply(
        id=supply.id,
        outlet=checked(checks.checked_name, supply.outlet, place),
        circuit=None
        if supply.circuit is None
        else checked(checks.checked_name, supply.circuit, place),
        earth=checked(checks.checked_earth, supply.earth, place),
        rcd=None if supply.rcd is None else checked(checks.checked_residual, supply.rcd, place),
        label=checked(checks.checked_label, supply.label, place),
        note=checked(checks.checked_note, supply.note, place),
        reel=_given(mains.checked_reel, supply.reel, place),
        rated=_given(mains.checked_watts, supply.rated, place),
        rated_wound=_given(mains.checked_watts, supply.rated_wound, place),
        tails=_given(mains.checked_tails, supply.tails, place),
    )


def _given(check: Callable[[object], _T], value: _T | None, place: str) -> _T | None:
    """A field that may be left out, checked where it is there."""
    return None if value is None else checked(check, value, place)
