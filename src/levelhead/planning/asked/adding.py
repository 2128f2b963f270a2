"""One little rig put into a show: its gear under names that are free there, leads, settings.

What the question went into may stand in the show already: then the free strip of that item is
taken, of the kind that was asked about, instead of a second desk.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from levelhead.gear.book import GearBook
from levelhead.gear.plan import BlockInstance
from levelhead.show.addresses import item_of
from levelhead.show.edits import AddItem, AddSource, Edit, Plug, Set
from levelhead.show.model import Show

__all__ = ["edits_that_add"]


def edits_that_add(
    rig: Show, show: Show, *, into: str | None = None, book: GearBook | None = None
) -> tuple[Edit, ...]:
    """Edits of ``show`` after which everything of ``rig`` stands in it as well.

    Parameters
    ----------
    rig : Show
        What is to be added.
    show : Show
        The show that it goes into.
    into : str or None
        Address of a socket of ``rig`` whose item may be one that the show has already.
    book : GearBook or None
        The gear book, for the sockets of that item; needed with ``into``.
    """
    twin = None if into is None or book is None else _free_twin(rig, show, into, book)
    names: dict[str, str] = {} if twin is None else {twin.item: twin.stands_as}
    for item in rig.items:
        names.setdefault(item, _free(item, {*show.items, *names.values()}))
    sources = {each: _free(each, {*show.sources}) for each in rig.sources}
    return tuple(_edits(rig, _Renaming(names, sources, twin)))


@dataclass(frozen=True, slots=True)
class _Twin:
    """An item of the rig, the one of the show that stands for it, and the strips of both."""

    item: str
    stands_as: str
    strip: str
    free_strip: str


@dataclass(frozen=True, slots=True)
class _Renaming:
    """Names of the rig and what they become."""

    items: dict[str, str]
    sources: dict[str, str]
    twin: _Twin | None

    def address(self, address: str) -> str:
        """The same place in the show."""
        item = item_of(address)
        rest = address[len(item) :]
        if self.twin is not None and item == self.twin.item and self.twin.strip:
            start = f".{self.twin.strip}."
            if rest.startswith(start):
                rest = f".{self.twin.free_strip}.{rest[len(start) :]}"
        return self.items[item] + rest


def _edits(rig: Show, renamed: _Renaming) -> Iterator[Edit]:
    for item in rig.items.values():
        if renamed.twin is None or item.id != renamed.twin.item:
            yield AddItem(replace(item, id=renamed.items[item.id]))
    for source in rig.sources.values():
        also = {renamed.address(at): distance_m for at, distance_m in source.also.items()}
        name, at = renamed.sources[source.id], renamed.address(source.at)
        yield AddSource(replace(source, id=name, at=at, also=also))
    for link in rig.links:
        ends = {end: renamed.address(address) for end, address in link.ends.items()}
        yield Plug(replace(link, ends=ends))
    for address, value in rig.settings.items():
        yield Set(renamed.address(address), value)


def _free_twin(rig: Show, show: Show, into: str, book: GearBook) -> _Twin | None:
    """The first free strip like that of a socket, of an item of the show that is of its type."""
    item = item_of(into)
    plan = book.plan(rig.items[item].type, {}, {})
    asked = next(
        (
            (block, name)
            for block in plan.blocks
            for name in block.plan.ports
            if f"{item}.{block.address(name)}" == into
        ),
        None,
    )
    if asked is None:
        return None
    taken = {address for link in show.links for address in link.ends.values()}
    for each in show.items.values():
        for block in plan.blocks if each.type == plan.type_id else ():
            if block.block == asked[0].block and not _inputs(each.id, block) & taken:
                return _Twin(item, each.id, asked[0].name, block.name)
    return None


def _inputs(item: str, block: BlockInstance) -> set[str]:
    ports = block.plan.ports.items()
    return {f"{item}.{block.address(name)}" for name, port in ports if port.role == "in"}


def _free(name: str, taken: set[str]) -> str:
    """The name itself, or the first of name-2, name-3, ... that nothing has."""
    number, found = 1, name
    while found in taken:
        number += 1
        found = f"{name}-{number}"
    return found
