"""Edits of sources (what makes the sound) and of mains supplies."""

from __future__ import annotations

from dataclasses import dataclass, replace

from levelhead.show import checks, lengths
from levelhead.show.addresses import item_of
from levelhead.show.edit_base import (
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
from levelhead.show.model import Show, Source, Supply

__all__ = [
    "AddSource",
    "AddSupply",
    "ChangeSource",
    "ChangeSupply",
    "RemoveSource",
    "RemoveSupply",
    "RenameSource",
    "RenameSupply",
]


@dataclass(frozen=True, slots=True)
class AddSource(Edit):
    """Add a source, at the end or at a place in the list."""

    source: Source
    index: int | None = None

    def applied(self, show: Show) -> Applied:
        """The show with the source."""
        free_id(self.source.id, show.sources, "source", checks.checked_id)
        source = _checked_source(self.source, show)
        sources = with_entry(show.sources, source.id, source, self.index)
        return replace(show, sources=sources), (RemoveSource(source.id),)


@dataclass(frozen=True, slots=True)
class RemoveSource(Edit):
    """Remove a source."""

    source: str

    def applied(self, show: Show) -> Applied:
        """The show without the source."""
        source = show.sources[known(self.source, show.sources, "source")]
        index = list(show.sources).index(source.id)
        return replace(show, sources=without(show.sources, source.id)), (AddSource(source, index),)


@dataclass(frozen=True, slots=True)
class ChangeSource(Edit):
    """Change the type, place, distance, level or label of a source, known by its id."""

    source: Source

    def applied(self, show: Show) -> Applied:
        """The show with the source changed."""
        before = show.sources[known(self.source.id, show.sources, "source")]
        source = _checked_source(self.source, show)
        sources = with_entry(show.sources, source.id, source)
        return replace(show, sources=sources), (ChangeSource(before),)


@dataclass(frozen=True, slots=True)
class RenameSource(Edit):
    """Give a source another id."""

    source: str
    new_id: str

    def applied(self, show: Show) -> Applied:
        """The show with the new id."""
        source = show.sources[known(self.source, show.sources, "source")]
        if self.new_id == source.id:
            return show, ()
        new = free_id(self.new_id, show.sources, "source", checks.checked_id)
        sources = renamed(show.sources, source.id, new) | {new: replace(source, id=new)}
        return replace(show, sources=sources), (RenameSource(new, source.id),)


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


def _checked_source(source: Source, show: Show) -> Source:
    """A source whose fields are all sound."""
    place = f"source {source.id!r}"
    at = checked(checks.checked_speaks_into, source.at, place)
    known(item_of(at), show.items, "item")
    return Source(
        id=source.id,
        type=checked(checks.checked_id, source.type, place),
        at=at,
        distance_m=None
        if source.distance_m is None
        else checked(lengths.checked_distance_m, source.distance_m, place),
        label=checked(checks.checked_label, source.label, place),
        also={
            known(name, show.items, "item"): checked(lengths.checked_distance_m, away_m, place)
            for name, away_m in source.also.items()
        },
        level=None
        if source.level is None
        else checked(checks.checked_sound_level, source.level, place),
    )


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
    )
