"""One little rig put into a show: its gear under names that are free there, leads, settings."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from levelhead.show.addresses import item_of
from levelhead.show.edits import AddItem, AddSource, Edit, Plug, Set
from levelhead.show.model import Show

__all__ = ["edits_that_add"]


def edits_that_add(rig: Show, show: Show) -> tuple[Edit, ...]:
    """Edits of ``show`` after which everything of ``rig`` stands in it as well."""
    names: dict[str, str] = {}
    for item in rig.items:
        names[item] = _free(item, {*show.items, *names.values()})
    sources = {each: _free(each, {*show.sources}) for each in rig.sources}
    return tuple(_edits(rig, names, sources))


def _edits(rig: Show, names: dict[str, str], sources: dict[str, str]) -> Iterator[Edit]:
    for item in rig.items.values():
        yield AddItem(replace(item, id=names[item.id]))
    for source in rig.sources.values():
        also = {_renamed(at, names): distance_m for at, distance_m in source.also.items()}
        yield AddSource(
            replace(source, id=sources[source.id], at=_renamed(source.at, names), also=also)
        )
    for link in rig.links:
        ends = {end: _renamed(address, names) for end, address in link.ends.items()}
        yield Plug(replace(link, ends=ends))
    for address, value in rig.settings.items():
        yield Set(_renamed(address, names), value)


def _renamed(address: str, names: dict[str, str]) -> str:
    item = item_of(address)
    return names[item] + address[len(item) :]


def _free(name: str, taken: set[str]) -> str:
    """The name itself, or the first of name-2, name-3, ... that nothing has."""
    number, found = 1, name
    while found in taken:
        number += 1
        found = f"{name}-{number}"
    return found
