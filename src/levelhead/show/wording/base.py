"""Words of edits that all kinds share; each kind is registered in the module of its thing."""

from __future__ import annotations

from functools import singledispatch

from levelhead.show.addresses import Address, item_of
from levelhead.show.edits import Edit
from levelhead.show.model import Item, Place, Show, Source, Supply

__all__ = ["edit_words", "label_of", "metres_words", "named_words", "place_words", "with_note"]


@singledispatch
def edit_words(edit: Edit, show: Show) -> str:
    """An edit in words, by the show before it; each kind registers its own."""
    raise NotImplementedError(f"{type(edit).__name__} of {show.name} has no words")


def place_words(address: Address, show: Show) -> str:
    """An address, with the label of its item if it has one."""
    item = show.items.get(item_of(address))
    return f"{item.label} ({address})" if item is not None and item.label else address


def named_words(name: str, show: Show) -> str:
    """An item by its label and id."""
    return place_words(name, show)


def label_of(thing: Source | Supply | Item | None, name: str) -> str:
    """The label of a thing with its id behind, or the id alone."""
    return f"{thing.label} ({name})" if thing is not None and thing.label else name


def metres_words(place: Place) -> str:
    """A place of the hall, in metres."""
    return ", ".join(f"{coordinate_m:g}" for coordinate_m in place) + " m"


def with_note(text: str, note: str) -> str:
    """Words, and behind them what was noted, if anything was."""
    return f"{text}: {note}" if note else text
