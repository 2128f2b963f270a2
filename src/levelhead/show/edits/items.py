"""Edits of whole items: add, remove, rename."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import TypeAlias

from levelhead.show import checks
from levelhead.show.addresses import is_address, item_of, renamed_address
from levelhead.show.edits.base import (
    Applied,
    Edit,
    found,
    free_id,
    refuse,
    renamed,
    with_entry,
    without,
)
from levelhead.show.edits.item_checks import checked_item
from levelhead.show.edits.links import Plug
from levelhead.show.edits.measured import SetMeasured, of_item, renamed_in
from levelhead.show.edits.settings import Lock, Set
from levelhead.show.edits.sources import AddSource, ChangeSource
from levelhead.show.model import Item, Link, Show, Source, Supply

__all__ = ["AddItem", "Remove", "Rename"]

_Moved: TypeAlias = Callable[[str], str]
"""An address under the new id; any other as it is."""


@dataclass(frozen=True, slots=True)
class AddItem(Edit):
    """Add an item, at the end or at a place in the list."""

    item: Item
    index: int | None = None

    def applied(self, show: Show) -> Applied:
        """The show with the item."""
        item = checked_item(show, self.item)
        items = with_entry(show.items, item.id, item, self.index)
        return replace(show, items=items), (Remove(item.id),)


@dataclass(frozen=True, slots=True)
class Remove(Edit):
    """Remove an item with its links, its settings and locks, and the sources that speak into it."""

    item: str

    def applied(self, show: Show) -> Applied:
        """The show without the item; the way back puts everything where it was."""
        item = found(show, self.item)
        its_own, heard_too = _sources_of(item, show)
        settings = {at: value for at, value in show.settings.items() if item_of(at) == item.id}
        locks = {address for address in show.locks if item_of(address) == item.id}
        links = {number: link for number, link in enumerate(show.links) if item.id in link.items}
        measured = of_item(show, item.id)
        kept = {each.id: replace(each, also=without(each.also, item.id)) for each in heard_too}
        changed = replace(
            show,
            items=without(show.items, item.id),
            links=tuple(link for link in show.links if item.id not in link.items),
            sources=without({**show.sources, **kept}, *(source.id for source in its_own)),
            settings=without(show.settings, *settings),
            locks=show.locks - locks,
            measured=without(show.measured, *measured),
        )
        order = list(show.sources)
        return changed, (
            AddItem(item, list(show.items).index(item.id)),
            *(Plug(link, number) for number, link in links.items()),
            *(AddSource(source, order.index(source.id)) for source in its_own),
            *(ChangeSource(source) for source in heard_too),
            *(Set(address, value) for address, value in settings.items()),
            *(Lock(address) for address in sorted(locks)),
            *(SetMeasured(name, each) for name, each in measured.items()),
        )


def _sources_of(item: Item, show: Show) -> tuple[list[Source], list[Source]]:
    """Sources that speak into an item, and others that it hears as well."""
    its_own = [each for each in show.sources.values() if item_of(each.at) == item.id]
    others = [each for each in show.sources.values() if item.id in each.also]
    return its_own, [each for each in others if each not in its_own]


@dataclass(frozen=True, slots=True)
class Rename(Edit):
    """Give an item another id; everything that refers to it follows."""

    item: str
    new_id: str

    def applied(self, show: Show) -> Applied:
        """The show with the new id in links, sources, settings, locks and supplies."""
        item = found(show, self.item)
        if self.new_id == item.id:
            return show, ()
        new = free_id(self.new_id, show.items, "item", checks.checked_id)
        self._check_outlets(show)

        def moved(address: str) -> str:
            return renamed_address(address, item.id, new)

        changed = replace(
            show,
            items=renamed(show.items, item.id, new) | {new: replace(item, id=new)},
            links=tuple(
                _moved_link(link, moved) if item.id in link.items else link for link in show.links
            ),
            sources={name: _moved_source(each, moved) for name, each in show.sources.items()},
            settings={moved(address): value for address, value in show.settings.items()},
            locks=frozenset(moved(address) for address in show.locks),
            supplies={name: _moved_supply(each, moved) for name, each in show.supplies.items()},
            measured=renamed_in(show.measured, item.id, new),
        )
        return changed, (Rename(new, item.id),)

    def _check_outlets(self, show: Show) -> None:
        """An outlet may be a socket of an item, and must not become one by chance."""
        for supply in show.supplies.values():
            if is_address(supply.outlet) and item_of(supply.outlet) == self.new_id:
                refuse(
                    f"the outlet of supply {supply.id!r} is {supply.outlet!r}",
                    where=f"item {self.item}",
                    expected="an id that nothing refers to yet",
                    remedy="Choose another id, or change the outlet first.",
                )


def _moved_link(link: Link, moved: _Moved) -> Link:
    return replace(link, ends={end: moved(address) for end, address in link.ends.items()})


def _moved_source(source: Source, moved: _Moved) -> Source:
    also = {moved(at): away_m for at, away_m in source.also.items()}
    return replace(source, at=moved(source.at), also=also)


def _moved_supply(supply: Supply, moved: _Moved) -> Supply:
    """Its outlet may be a socket of an item."""
    is_socket = is_address(supply.outlet)
    return replace(supply, outlet=moved(supply.outlet)) if is_socket else supply
