"""What a rig of before still knows of a show: parts that no edit touches are taken from there.

A part is taken only if all that it was resolved from is the same, so that whatever could raise an
error now is resolved again.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from levelhead.gear.book import GearBook
from levelhead.gear.plan import ControlPlan
from levelhead.rig.model import Node, Rig, RigItem, RigLink, RigPort, RigSource
from levelhead.show.model import Item, Link, Show

__all__ = ["Before"]

Settings = Mapping[str, float | str]


@dataclass(frozen=True, slots=True)
class Before:
    """A rig of before, or nothing; each answer is ``None`` where it knows nothing."""

    rig: Rig | None
    links: Mapping[str, RigLink]  # by their first ends: a socket takes one plug

    @classmethod
    def of(cls, rig: Rig | None, book: GearBook) -> Before:
        """A rig is of use only if it was resolved with the same book."""
        if rig is None or rig.book is not book:
            return cls(None, {})
        return cls(rig, {link.ports[0]: link for link in rig.links})

    def controls(self, show: Show) -> Mapping[str, ControlPlan] | None:
        """All controls, where no item came, went or changed its type."""
        if self.rig is None:
            return None
        before = self.rig.show.items
        if before is not show.items and _types(before) != _types(show.items):
            return None
        return self.rig.controls

    def setting(self, address: str, text: str, control: ControlPlan) -> float | str | None:
        """What a setting says, where control and words are the same."""
        rig = self.rig
        if rig is None or rig.show.settings.get(address) != text:
            return None
        return rig.settings.get(address) if rig.controls.get(address) is control else None

    def item(self, item: Item, chosen: Mapping[str, str]) -> RigItem | None:
        """An item, where neither it nor a switch of it changed."""
        if self.rig is None or self.rig.show.items.get(item.id) != item:
            return None
        return self.rig.items[item.id] if chosen == _chosen(self.rig, item.id) else None

    def ports(self, items: Mapping[str, RigItem]) -> Mapping[str, RigPort] | None:
        """All ports with the links in them, where no item changed."""
        rig = self.rig
        if rig is None or list(rig.items) != list(items):
            return None
        is_same = all(item is rig.items[name] for name, item in items.items())
        return rig.ports if is_same else None

    def ports_of(self, item: RigItem) -> Sequence[tuple[str, RigPort]]:
        """Ports of an item with the links in them, where it did not change; none otherwise."""
        rig = self.rig
        if rig is None or rig.items.get(item.id) is not item:
            return ()
        return rig.ports_of[item.id]

    def link(self, number: int, link: Link, ports: Mapping[str, RigPort]) -> RigLink | None:
        """A link that goes together, where its sockets are the same; counted anew."""
        found = self.links.get(next(iter(link.ends.values()), ""))
        if found is None or self.rig is None or found.link != link:
            return None
        before = self.rig.ports
        if any(ports[each].plan is not before[each].plan for each in link.ends.values()):
            return None
        return found if found.number == number else _counted(found, number)

    def sources(self, show: Show, items: Mapping[str, RigItem]) -> tuple[RigSource, ...] | None:
        """All sources, where neither they nor any item that hears one changed."""
        rig = self.rig
        if rig is None or rig.show.sources != show.sources:
            return None
        hearing = {source.at for source in rig.sources}
        is_same = all(items.get(each) is rig.items[each] for each in hearing)
        return rig.sources if is_same else None


def _types(items: Mapping[str, Item]) -> list[tuple[str, str]]:
    return [(name, item.type) for name, item in items.items()]


def _chosen(rig: Rig, item_id: str) -> Mapping[str, str]:
    return rig.chosen.get(item_id, {})


def _counted(link: RigLink, number: int) -> RigLink:
    """A link under another number, which the places on its cables bear."""

    def moved(node: Node) -> Node:
        return (node[0], number, *node[2:]) if node[0] == "cable" else node

    contacts = tuple((moved(one), moved(other)) for one, other in link.contacts)
    return replace(link, number=number, contacts=contacts)
