"""Edits of items: add, remove, rename, and change one field."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Final

from levelhead.show import checks, lengths
from levelhead.show.addresses import is_address, item_of, renamed_address
from levelhead.show.edit_base import (
    Applied,
    Edit,
    checked,
    found,
    free_id,
    known,
    refuse,
    renamed,
    with_entry,
    without,
)
from levelhead.show.link_edits import Plug
from levelhead.show.model import Item, Link, Need, Place, Show
from levelhead.show.setting_edits import Lock, Set
from levelhead.show.source_edits import AddSource, ChangeSource

__all__ = [
    "AddItem",
    "Aim",
    "Annotate",
    "Move",
    "Power",
    "Prioritise",
    "Relabel",
    "Remove",
    "Rename",
    "Retype",
    "SetFigure",
]

_NEEDS: Final = ("must", "nice", None)
_AXES: Final = ("to the right", "into the hall", "up")


@dataclass(frozen=True, slots=True)
class AddItem(Edit):
    """Add an item, at the end or at a place in the list."""

    item: Item
    index: int | None = None

    def applied(self, show: Show) -> Applied:
        """The show with the item."""
        item = _checked_item(show, self.item)
        items = with_entry(show.items, item.id, item, self.index)
        return replace(show, items=items), (Remove(item.id),)


@dataclass(frozen=True, slots=True)
class Remove(Edit):
    """Remove an item with its links, its settings and locks, and the sources that speak into it."""

    item: str

    def applied(self, show: Show) -> Applied:
        """The show without the item; the way back puts everything where it was."""
        item = found(show, self.item)
        sources = [source for source in show.sources.values() if item_of(source.at) == item.id]
        others = [source for source in show.sources.values() if item.id in source.also]
        others = [source for source in others if source not in sources]
        kept = {each.id: replace(each, also=without(each.also, item.id)) for each in others}
        settings = {
            address: value
            for address, value in show.settings.items()
            if item_of(address) == item.id
        }
        locks = {address for address in show.locks if item_of(address) == item.id}
        changed = replace(
            show,
            items=without(show.items, item.id),
            links=tuple(link for link in show.links if item.id not in link.items),
            sources=without({**show.sources, **kept}, *(source.id for source in sources)),
            settings=without(show.settings, *settings),
            locks=show.locks - locks,
        )
        order = list(show.sources)
        return changed, (
            AddItem(item, list(show.items).index(item.id)),
            *(
                Plug(link, number)
                for number, link in enumerate(show.links)
                if item.id in link.items
            ),
            *(AddSource(source, order.index(source.id)) for source in sources),
            *(ChangeSource(source) for source in others),
            *(Set(address, value) for address, value in settings.items()),
            *(Lock(address) for address in sorted(locks)),
        )


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
            sources={
                name: replace(
                    source,
                    at=moved(source.at),
                    also={moved(at): away_m for at, away_m in source.also.items()},
                )
                for name, source in show.sources.items()
            },
            settings={moved(address): value for address, value in show.settings.items()},
            locks=frozenset(moved(address) for address in show.locks),
            supplies={
                name: replace(supply, outlet=moved(supply.outlet))
                if is_address(supply.outlet)
                else supply
                for name, supply in show.supplies.items()
            },
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


def _moved_link(link: Link, moved: Callable[[str], str]) -> Link:
    return replace(link, ends={end: moved(address) for end, address in link.ends.items()})


@dataclass(frozen=True, slots=True)
class Retype(Edit):
    """Make an item another type of gear; its links and settings stay, whether they fit or not."""

    item: str
    type: str

    def applied(self, show: Show) -> Applied:
        """The show with the type changed."""
        item = found(show, self.item)
        changed = replace(item, type=checked(checks.checked_id, self.type, _place(item)))
        return _changed(show, changed), (Retype(item.id, item.type),)


@dataclass(frozen=True, slots=True)
class Relabel(Edit):
    """Change what the crew calls an item; an empty label leaves its id."""

    item: str
    label: str

    def applied(self, show: Show) -> Applied:
        """The show with the label changed."""
        item = found(show, self.item)
        changed = replace(item, label=checked(checks.checked_label, self.label, _place(item)))
        return _changed(show, changed), (Relabel(item.id, item.label),)


@dataclass(frozen=True, slots=True)
class Annotate(Edit):
    """Change the note of an item."""

    item: str
    note: str

    def applied(self, show: Show) -> Applied:
        """The show with the note changed."""
        item = found(show, self.item)
        changed = replace(item, note=checked(checks.checked_note, self.note, _place(item)))
        return _changed(show, changed), (Annotate(item.id, item.note),)


@dataclass(frozen=True, slots=True)
class Prioritise(Edit):
    """Say how badly the show needs an item: ``must``, ``nice``, or nothing said."""

    item: str
    need: Need | None

    def applied(self, show: Show) -> Applied:
        """The show with the need changed."""
        item = found(show, self.item)
        return _changed(show, replace(item, need=_checked_need(self.need, item))), (
            Prioritise(item.id, item.need),
        )


@dataclass(frozen=True, slots=True)
class Move(Edit):
    """Put an item at another place [m], or at none that is known."""

    item: str
    at: Place | None

    def applied(self, show: Show) -> Applied:
        """The show with the item moved."""
        item = found(show, self.item)
        changed = replace(item, at=_checked_place(self.at, item))
        return _changed(show, changed), (Move(item.id, item.at),)


@dataclass(frozen=True, slots=True)
class Aim(Edit):
    """Turn an item to a point [m], or to none that is known."""

    item: str
    aim: Place | None

    def applied(self, show: Show) -> Applied:
        """The show with the item turned."""
        item = found(show, self.item)
        changed = replace(item, aim=_checked_place(self.aim, item))
        return _changed(show, changed), (Aim(item.id, item.aim),)


@dataclass(frozen=True, slots=True)
class Power(Edit):
    """Plug an item into a mains supply, or into none that is known."""

    item: str
    supply: str | None

    def applied(self, show: Show) -> Applied:
        """The show with the item on that supply."""
        item = found(show, self.item)
        changed = replace(item, supply=_checked_supply(self.supply, show))
        return _changed(show, changed), (Power(item.id, item.supply),)


@dataclass(frozen=True, slots=True)
class SetFigure(Edit):
    """Give this unit a figure of its own, or (``None``) the one of its type again."""

    item: str
    figure: str
    value: str | None

    def applied(self, show: Show) -> Applied:
        """The show with the figure changed."""
        item = found(show, self.item)
        back = SetFigure(item.id, self.figure, item.figures.get(self.figure))
        if self.value is None:
            figures = without(item.figures, self.figure)
        else:
            figures = with_entry(item.figures, *_checked_figure(self.figure, self.value, item))
        return _changed(show, replace(item, figures=figures)), (back,)


def _place(item: Item) -> str:
    """An item as errors name it."""
    return f"item {item.id!r}"


def _changed(show: Show, item: Item) -> Show:
    """The show with one item changed."""
    return replace(show, items=with_entry(show.items, item.id, item))


def _checked_item(show: Show, item: Item) -> Item:
    """A new item whose fields are all sound."""
    return Item(
        id=free_id(item.id, show.items, "item", checks.checked_id),
        type=checked(checks.checked_id, item.type, _place(item)),
        label=checked(checks.checked_label, item.label, _place(item)),
        need=_checked_need(item.need, item),
        at=_checked_place(item.at, item),
        aim=_checked_place(item.aim, item),
        supply=_checked_supply(item.supply, show),
        figures=dict(_checked_figure(name, value, item) for name, value in item.figures.items()),
        note=checked(checks.checked_note, item.note, _place(item)),
    )


def _checked_need(need: Need | None, item: Item) -> Need | None:
    if need not in _NEEDS:
        refuse(
            f"the need {need!r} is not known",
            where=_place(item),
            expected="must, nice or nothing",
            remedy="Say must for what the show cannot do without.",
        )
    return need


def _checked_place(place: Place | None, item: Item) -> Place | None:
    if place is None:
        return None
    if not isinstance(place, tuple) or len(place) != len(_AXES):
        refuse(
            f"{place!r} is no place",
            where=_place(item),
            expected="three numbers in metres: " + ", ".join(_AXES),
            remedy="Write it like (-4, 0, 2.2).",
        )
    right_m, into_hall_m, up_m = (
        checked(lengths.checked_place_m, coordinate, _place(item)) for coordinate in place
    )
    return right_m, into_hall_m, up_m


def _checked_supply(supply: str | None, show: Show) -> str | None:
    return None if supply is None else known(supply, show.supplies, "supply")


def _checked_figure(name: str, value: str, item: Item) -> tuple[str, str]:
    return (
        checked(checks.checked_figure, name, _place(item)),
        checked(checks.checked_value, value, _place(item)),
    )
