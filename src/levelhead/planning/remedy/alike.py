"""Places of a rig that may be swapped with nothing changed: a remedy of one is one of the other.

What hangs together at a finding is the strip that it stands at, what is plugged there, and whatever
stands in front of that. Where two such parts have the same gear, cables, settings and sources, and
hang on the same rest of the rig, then swapping them leaves the rig as it was.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Iterator, Mapping
from dataclasses import dataclass, field, fields, is_dataclass, replace
from functools import cached_property
from typing import Any, Final

from levelhead.gear.plan import BlockInstance
from levelhead.rig.model import Rig, RigLink, RigPort
from levelhead.show.addresses import item_of
from levelhead.show.model import Item
from levelhead.verdicts.finding import Finding

__all__ = ["Part", "Parts", "renamed"]

_MOST_BLOCKS: Final = 12  # a part with more is most of a rig
_LIKE_DIGITS: Final = 6  # of margins that are the same number
_FREE_TEXTS: Final = frozenset({"value", "label", "note", "text"})  # fields that name no place

Strip = tuple[str, str]
"""An item, and the name of one of its blocks."""


@dataclass(frozen=True, slots=True)
class Part:
    """What hangs together at a finding.

    Attributes
    ----------
    strips
        Blocks in the order in which they were found; those of alike parts answer to one another.
    whole
        Items that are in it with all that they have.
    likeness
        Equal where parts may be swapped, each with its finding.
    """

    strips: tuple[Strip, ...]
    whole: frozenset[str]
    likeness: Hashable

    def names_of(self, other: Part) -> dict[str, str]:
        """What everything here is called there, in an alike part: items, and strips of others."""
        return dict(zip(self._names, other._names, strict=True))

    @property
    def own_names(self) -> dict[str, str]:
        """Names that do not tell which of several alike parts it is."""
        return {name: f"<{number}>" for number, name in enumerate(self._names)}

    @property
    def _names(self) -> list[str]:
        return [item if item in self.whole else f"{item}.{block}" for item, block in self.strips]


@dataclass(frozen=True, eq=False)
class Parts:
    """Parts of one rig, found when somebody asks."""

    rig: Rig
    _known: dict[Strip, BlockInstance] = field(default_factory=dict)

    def at(self, finding: Finding) -> Part | None:
        """What hangs together at a finding; ``None`` where that is no small part of the rig."""
        grown = _Growing(self)
        if not all(grown.takes(each) for each in dict.fromkeys((finding.where, *finding.ports))):
            return None
        whole = frozenset(item for item, block in grown.strips if not block)
        part = Part(tuple(grown.strips), whole, None)
        names = part.own_names
        margin = None if finding.margin is None else f"{finding.margin:.{_LIKE_DIGITS}g}"
        likeness = (
            (finding.code, finding.severity, margin),
            renamed((finding.where, finding.ports), names),
            tuple(self._of_strip(*strip, is_whole=strip[0] in whole) for strip in part.strips),
            tuple(_of_link(link, names) for link in grown.links.values()),
        )
        return replace(part, likeness=likeness)

    def _of_strip(self, item: str, block: str, *, is_whole: bool) -> Hashable:
        """All that tells a strip from another: its plan, where it stands, how it is set."""
        rig = self.rig
        plan = rig.items[item].plan
        instance = self.blocks[item, block]
        return (
            (id(plan), _of_item(rig.show.items[item])) if is_whole else item,
            (id(instance.plan), instance.block),
            tuple(sorted(self._settings.get((item, block), ()))),
            tuple(self._sources.get(item, ())) if is_whole else (),
        )

    @cached_property
    def blocks(self) -> Mapping[Strip, BlockInstance]:
        """Every block of every item."""
        return {
            (item.id, block.name): block
            for item in self.rig.items.values()
            for block in item.plan.blocks
        }

    @cached_property
    def single(self) -> frozenset[str]:
        """Items that are one block, and hear no source that others hear too."""
        shared = {
            item_of(at)
            for source in self.rig.show.sources.values()
            if source.also
            for at in (source.at, *source.also)
        }
        return frozenset(
            item.id
            for item in self.rig.items.values()
            if len(item.plan.blocks) == 1 and item.id not in shared
        )

    @cached_property
    def _settings(self) -> Mapping[Strip, list[tuple[str, str, bool]]]:
        found: dict[Strip, list[tuple[str, str, bool]]] = {}
        locks = self.rig.show.locks
        for address, text in self.rig.show.settings.items():
            strip, name = _split(address)
            found.setdefault(strip, []).append((name, text, address in locks))
        for address in locks - self.rig.show.settings.keys():
            strip, name = _split(address)
            found.setdefault(strip, []).append((name, "", True))
        return found

    @cached_property
    def _sources(self) -> Mapping[str, list[Hashable]]:
        found: dict[str, list[Hashable]] = {}
        for source in self.rig.show.sources.values():
            place = source.at.partition(".")[2]
            known = (source.type, place, source.distance_m, source.level)
            found.setdefault(item_of(source.at), []).append(known)
        return found


class _Growing:
    """Strips and links found so far."""

    def __init__(self, parts: Parts) -> None:
        self.parts = parts
        self.strips: dict[Strip, None] = {}
        self.links: dict[int, RigLink] = {}

    def takes(self, address: str) -> bool:
        """A strip by an address of it, with all that hangs on it; false where that goes too far."""
        waiting = [_split(address)[0]]
        while waiting:
            strip = waiting.pop()
            if strip in self.strips:
                continue
            block = self.parts.blocks.get(strip)
            if block is None or (not strip[1] and strip[0] not in self.parts.single):
                return False
            self.strips[strip] = None
            if len(self.strips) > _MOST_BLOCKS:
                return False
            for port in self._ports(strip, block):
                if port.plan.is_digital:
                    return False
                waiting += self._beside(port)
        return True

    def _ports(self, strip: Strip, block: BlockInstance) -> Iterator[RigPort]:
        for name in block.plan.ports:
            yield self.parts.rig.ports[f"{strip[0]}.{block.address(name)}"]

    def _beside(self, port: RigPort) -> Iterator[Strip]:
        """Strips at the other ends of what is plugged into a port, and behind its contacts."""
        rig = self.parts.rig
        for link in rig.links_at.get(port.address, ()):
            self.links.setdefault(link.number, link)
            yield from (_split(end)[0] for end in link.ports)
        yield from (_split(each)[0] for each in sorted(rig.in_contact.get(port.address, ())))


def renamed(value: Any, names: Mapping[str, str]) -> Any:
    """Edits, links, addresses with items and strips called otherwise; all else as it is."""
    if isinstance(value, str):
        return _renamed(value, names)
    if isinstance(value, tuple):
        return tuple(renamed(each, names) for each in value)
    if isinstance(value, Mapping):
        return {renamed(key, names): renamed(each, names) for key, each in value.items()}
    if is_dataclass(value) and not isinstance(value, type):
        named = (each.name for each in fields(value) if each.name not in _FREE_TEXTS)
        return replace(value, **{name: renamed(getattr(value, name), names) for name in named})
    return value


def _renamed(text: str, names: Mapping[str, str]) -> str:
    (item, block), name = _split(text)
    for known, rest in ((item, text[len(item) :]), (f"{item}.{block}", f".{name}")):
        if known in names:
            return f"{names[known]}{rest}"
    return text


def _split(address: str) -> tuple[Strip, str]:
    """Strip of an address, and what it is called there."""
    item, _, local = address.partition(".")
    block, _, name = local.rpartition(".")
    return (item, block), name


def _of_item(item: Item) -> Hashable:
    """All that tells an item from another but its name."""
    figures = tuple(sorted(item.figures.items()))
    return item.type, item.need, item.at, item.aim, item.supply, figures, item.note


def _of_link(link: RigLink, names: Mapping[str, str]) -> Hashable:
    plugs: Iterable[tuple[str, str]] = renamed(link.link, names).ends.items()
    pins = tuple(sorted(link.link.pins.items()))
    return tuple(plugs), link.link.via, pins, link.link.plugged
