"""Places of a rig that may be swapped with nothing changed: a remedy of one is one of the other.

What hangs together at a finding is the strip that it stands at, what is plugged there, and whatever
stands in front of that. Where two such parts have the same gear, cables, settings and sources, and
hang on the same rest of the rig, then swapping them leaves the rig as it was.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterator, Mapping
from dataclasses import dataclass, fields, is_dataclass, replace
from functools import cached_property
from typing import Any, Final

from levelhead.gear.plan import BlockInstance
from levelhead.rig.model import Rig, RigLink, RigPort
from levelhead.show.addresses import item_of, strip_of
from levelhead.verdicts.told.finding import Finding

__all__ = ["Part", "Parts", "renamed"]

_MOST_STRIPS: Final = 12  # a part with more is most of a rig
_LIKE_DIGITS: Final = 6  # of margins that are the same number
_FREE_TEXTS: Final = frozenset({"value", "label", "note", "text"})  # fields that name no place


@dataclass(frozen=True, slots=True)
class Part:
    """What hangs together at a finding.

    Attributes
    ----------
    strips
        In the order in which they were found; those of alike parts answer to one another. An item
        that is one strip goes by its own name.
    likeness
        Equal where parts may be swapped, each with its finding.
    """

    strips: tuple[str, ...]
    likeness: Hashable = None

    def names_of(self, other: Part) -> dict[str, str]:
        """What every strip here is called there, in an alike part."""
        return dict(zip(self.strips, other.strips, strict=True))

    @property
    def own_names(self) -> dict[str, str]:
        """Names that do not tell which of several alike parts it is."""
        return {strip: f"<{number}>" for number, strip in enumerate(self.strips)}


@dataclass(frozen=True, eq=False)
class Parts:
    """Parts of one rig, found when somebody asks."""

    rig: Rig

    def at(self, finding: Finding) -> Part | None:
        """What hangs together at a finding; ``None`` where that is no small part of the rig."""
        grown = _Growing(self)
        if not all(grown.takes(each) for each in dict.fromkeys((finding.where, *finding.ports))):
            return None
        part = Part(tuple(grown.strips))
        names = part.own_names
        margin = None if finding.margin is None else f"{finding.margin:.{_LIKE_DIGITS}g}"
        likeness = (
            (finding.code, finding.severity, margin),
            renamed((finding.where, finding.ports), names),
            tuple(self._of_strip(each) for each in part.strips),
            tuple(repr(renamed(link.link, names)) for link in grown.links.values()),
        )
        return replace(part, likeness=likeness)

    def _of_strip(self, strip: str) -> Hashable:
        """All that tells a strip from another but its name: its plan, and how it is set."""
        item, block = self.rig.items[item_of(strip)], self.blocks[strip]
        here: Hashable = item.id
        if strip == item.id:
            as_told = replace(self.rig.show.items[item.id], id="", label="")
            here = (id(item.plan), repr(as_told), tuple(self._sources.get(item.id, ())))
        settings = tuple(sorted(self._settings.get(strip, ())))
        return here, id(block.plan), block.block, settings

    @cached_property
    def blocks(self) -> Mapping[str, BlockInstance]:
        """Every strip, and every item that is one and hears no source that others hear too."""
        shared = {
            item_of(at)
            for source in self.rig.show.sources.values()
            if source.also
            for at in (source.at, *source.also)
        }
        return {
            f"{item.id}.{block.name}" if block.name else item.id: block
            for item in self.rig.items.values()
            for block in item.plan.blocks
            if block.name or (len(item.plan.blocks) == 1 and item.id not in shared)
        }

    @cached_property
    def _settings(self) -> Mapping[str, list[tuple[str, str, bool]]]:
        """By strip, each control that is set or locked."""
        found: dict[str, list[tuple[str, str, bool]]] = {}
        show = self.rig.show
        for address in (*show.settings, *(show.locks - show.settings.keys())):
            strip, text = strip_of(address), show.settings.get(address, "")
            name = address[len(strip) :]
            found.setdefault(strip, []).append((name, text, address in show.locks))
        return found

    @cached_property
    def _sources(self) -> Mapping[str, list[str]]:
        """By item, the sources before it."""
        found: dict[str, list[str]] = {}
        for source in self.rig.show.sources.values():
            item = item_of(source.at)
            as_told = replace(source, id="", label="", at=source.at[len(item) :])
            found.setdefault(item, []).append(repr(as_told))
        return found


class _Growing:
    """Strips and links found so far."""

    def __init__(self, parts: Parts) -> None:
        self.parts = parts
        self.strips: dict[str, None] = {}
        self.links: dict[int, RigLink] = {}

    def takes(self, address: str) -> bool:
        """A strip by an address of it, with all that hangs on it; false where that goes too far."""
        waiting = [self.parts.rig.strip_at(address)]
        while waiting:
            strip = waiting.pop()
            if strip in self.strips:
                continue
            block = self.parts.blocks.get(strip)
            if block is None or len(self.strips) == _MOST_STRIPS:
                return False
            self.strips[strip] = None
            for name in block.plan.ports:
                port = self.parts.rig.ports[f"{strip}.{name}"]
                if port.plan.is_digital:
                    return False
                waiting += self._beside(port)
        return True

    def _beside(self, port: RigPort) -> Iterator[str]:
        """Strips at the other ends of what is plugged into a port, and behind its contacts."""
        rig = self.parts.rig
        for link in rig.links_at.get(port.address, ()):
            self.links.setdefault(link.number, link)
            yield from (strip_of(end) for end in link.ports)
        yield from (strip_of(each) for each in sorted(rig.in_contact.get(port.address, ())))


def renamed(value: Any, names: Mapping[str, str]) -> Any:
    """Edits, links, addresses with strips called otherwise; all else as it is."""
    if isinstance(value, str):
        strip = strip_of(value)
        return f"{names[strip]}{value[len(strip) :]}" if strip in names else value
    if isinstance(value, tuple):
        return tuple(renamed(each, names) for each in value)
    if isinstance(value, Mapping):
        return {renamed(key, names): renamed(each, names) for key, each in value.items()}
    if is_dataclass(value) and not isinstance(value, type):
        named = (each.name for each in fields(value) if each.name not in _FREE_TEXTS)
        return replace(value, **{name: renamed(getattr(value, name), names) for name in named})
    return value
