"""Where things stand in a show's file, and the errors met while it is resolved."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from typing import Protocol

from levelhead.errors import GearError, LevelheadError, ShowError
from levelhead.gear.book import GearBook
from levelhead.show.model import Link, Show

__all__ = ["Locator", "Nowhere", "Resolving"]


class Locator(Protocol):
    """Where things stand in the file, for messages; a ``ShowDocument`` is one."""

    def where_item(self, item_id: str) -> str:
        """Place of an item."""

    def where_setting(self, address: str) -> str:
        """Place of a setting."""

    def where_link(self, link: Link) -> str:
        """Place of a link."""

    def where(self, *path: str | int) -> str:
        """Place of any leaf."""


class Nowhere:
    """Locator of a show that was never in a file."""

    def where_item(self, item_id: str) -> str:
        """The item by its id."""
        return f"item '{item_id}'"

    def where_setting(self, address: str) -> str:
        """The setting by its address."""
        return f"setting '{address}'"

    def where_link(self, link: Link) -> str:
        """The link by its ends."""
        return f"link {' to '.join(link.ends.values())}"

    def where(self, *path: str | int) -> str:
        """The path itself."""
        return ".".join(str(part) for part in path)


@dataclass(frozen=True, slots=True)
class Resolving:
    """A show being resolved against the gear book, and all errors so far.

    ``lost`` are items that could not be planned: what else is said of them raises no more errors.
    """

    show: Show
    book: GearBook
    locate: Locator
    errors: list[LevelheadError] = field(default_factory=list)
    lost: set[str] = field(default_factory=set)

    @contextmanager
    def collecting(self, place: str) -> Iterator[None]:
        """Keep an error that what is inside raises; one of the gear book gets its place."""
        try:
            yield
        except GearError as error:
            self.errors.extend(single.at(place) for single in error.errors)
        except ShowError as error:
            self.errors.append(error)

    @contextmanager
    def planning(self, item_id: str) -> Iterator[None]:
        """Keep an error of an item's type, switches or figures; the item is lost with it."""
        before = len(self.errors)
        with self.collecting(self.locate.where_item(item_id)):
            yield
        if len(self.errors) > before:
            self.lost.add(item_id)

    def is_lost(self, address: str) -> bool:
        """Whether an address is of an item that could not be planned."""
        return address.partition(".")[0] in self.lost

    def raise_any(self) -> None:
        """Raise all errors so far together, if there are any."""
        if self.errors:
            raise ShowError.collected(self.errors, where=self.show.name)

    def how_to_list(self, item_id: str) -> str:
        """The command that lists what an item has; or its items, when it is none of the show."""
        item = self.show.items.get(item_id)
        if item is None:
            return f"Items of this show: {', '.join(self.show.items) or 'none'}."
        return f"List them with: levelhead gear {item.type}"
