"""Edits of one field of an item: its type, label, note, need, place, aim, supply, own figures."""

from __future__ import annotations

from abc import abstractmethod
from dataclasses import dataclass, replace

from levelhead.show import checks
from levelhead.show.edits.base import Applied, Edit, checked, found, with_entry, without
from levelhead.show.edits.item_checks import (
    checked_figure,
    checked_hold,
    checked_nearby,
    checked_need,
    checked_place,
    checked_supply,
    checked_turn,
    name_in_errors,
)
from levelhead.show.model import Item, Near, Need, Place, Show

__all__ = [
    "Aim",
    "Annotate",
    "Hang",
    "Move",
    "Power",
    "Prioritise",
    "Relabel",
    "Retype",
    "SetFigure",
    "StandNear",
    "SwitchOn",
]


@dataclass(frozen=True, slots=True)
class _FieldEdit(Edit):
    """One field of an item changed; the way back has what stood there."""

    item: str

    def applied(self, show: Show) -> Applied:
        """The show with that field changed."""
        item = found(show, self.item)
        items = with_entry(show.items, item.id, self._on(item, show))
        return replace(show, items=items), (self._back(item),)

    @abstractmethod
    def _on(self, item: Item, show: Show) -> Item:
        """The item with the field changed."""

    @abstractmethod
    def _back(self, item: Item) -> Edit:
        """The edit that puts back what an item has."""


@dataclass(frozen=True, slots=True)
class Retype(_FieldEdit):
    """Make an item another type of gear; its links and settings stay, whether they fit or not."""

    type: str

    def _on(self, item: Item, show: Show) -> Item:
        del show
        return replace(item, type=checked(checks.checked_id, self.type, name_in_errors(item)))

    def _back(self, item: Item) -> Edit:
        return Retype(item.id, item.type)


@dataclass(frozen=True, slots=True)
class Relabel(_FieldEdit):
    """Change what the crew calls an item; an empty label leaves its id."""

    label: str

    def _on(self, item: Item, show: Show) -> Item:
        del show
        return replace(item, label=checked(checks.checked_label, self.label, name_in_errors(item)))

    def _back(self, item: Item) -> Edit:
        return Relabel(item.id, item.label)


@dataclass(frozen=True, slots=True)
class Annotate(_FieldEdit):
    """Change the note of an item."""

    note: str

    def _on(self, item: Item, show: Show) -> Item:
        del show
        return replace(item, note=checked(checks.checked_note, self.note, name_in_errors(item)))

    def _back(self, item: Item) -> Edit:
        return Annotate(item.id, item.note)


@dataclass(frozen=True, slots=True)
class Prioritise(_FieldEdit):
    """Say how badly the show needs an item: ``must``, ``nice``, or nothing said."""

    need: Need | None

    def _on(self, item: Item, show: Show) -> Item:
        del show
        return replace(item, need=checked_need(self.need, item))

    def _back(self, item: Item) -> Edit:
        return Prioritise(item.id, item.need)


@dataclass(frozen=True, slots=True)
class Move(_FieldEdit):
    """Put an item at another place [m], or at none that is known."""

    at: Place | None

    def _on(self, item: Item, show: Show) -> Item:
        del show
        return replace(item, at=checked_place(self.at, item))

    def _back(self, item: Item) -> Edit:
        return Move(item.id, item.at)


@dataclass(frozen=True, slots=True)
class Aim(_FieldEdit):
    """Turn an item to a point [m], or to none that is known."""

    aim: Place | None

    def _on(self, item: Item, show: Show) -> Item:
        del show
        return replace(item, aim=checked_place(self.aim, item))

    def _back(self, item: Item) -> Edit:
        return Aim(item.id, item.aim)


@dataclass(frozen=True, slots=True)
class Hang(_FieldEdit):
    """Say how many fixings hold an item over people, each by itself; ``None`` for nothing known."""

    fixings: int | None

    def _on(self, item: Item, show: Show) -> Item:
        del show
        return replace(item, fixings=checked_hold(self.fixings, item))

    def _back(self, item: Item) -> Edit:
        return Hang(item.id, item.fixings)


@dataclass(frozen=True, slots=True)
class SwitchOn(_FieldEdit):
    """Say at which turn an item is switched on, from 1; ``None`` for nothing known."""

    switched: int | None

    def _on(self, item: Item, show: Show) -> Item:
        del show
        return replace(item, switched=checked_turn(self.switched, item))

    def _back(self, item: Item) -> Edit:
        return SwitchOn(item.id, item.switched)


@dataclass(frozen=True, slots=True)
class StandNear(_FieldEdit):
    """Say what stands near an item that fills the air with a field; empty for nothing."""

    near: tuple[Near, ...]

    def _on(self, item: Item, show: Show) -> Item:
        del show
        return replace(item, near=checked_nearby(self.near, item))

    def _back(self, item: Item) -> Edit:
        return StandNear(item.id, item.near)


@dataclass(frozen=True, slots=True)
class Power(_FieldEdit):
    """Plug an item into a mains supply, or into none that is known."""

    supply: str | None

    def _on(self, item: Item, show: Show) -> Item:
        return replace(item, supply=checked_supply(self.supply, show))

    def _back(self, item: Item) -> Edit:
        return Power(item.id, item.supply)


@dataclass(frozen=True, slots=True)
class SetFigure(_FieldEdit):
    """Give this unit a figure of its own, or (``None``) the one of its type again."""

    figure: str
    value: str | None

    def _on(self, item: Item, show: Show) -> Item:
        del show
        if self.value is None:
            return replace(item, figures=without(item.figures, self.figure))
        name, value = checked_figure(self.figure, self.value, item)
        return replace(item, figures=with_entry(item.figures, name, value))

    def _back(self, item: Item) -> Edit:
        return SetFigure(item.id, self.figure, item.figures.get(self.figure))
