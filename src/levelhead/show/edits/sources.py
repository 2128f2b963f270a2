"""Edits of sources: what makes the sound."""

from __future__ import annotations

from dataclasses import dataclass, replace

from levelhead.show import checks, lengths
from levelhead.show.addresses import item_of
from levelhead.show.edits.base import (
    Applied,
    Edit,
    checked,
    free_id,
    known,
    renamed,
    with_entry,
    without,
)
from levelhead.show.model import Show, Source

__all__ = [
    "AddSource",
    "ChangeSource",
    "RemoveSource",
    "RenameSource",
]


@dataclass(frozen=True, slots=True)
class AddSource(Edit):
    """Add a source, at the end or at a place in the list."""

    source: Source
    index: int | None = None

    def applied(self, show: Show) -> Applied:
        """The show with the source."""
        free_id(self.source.id, show.sources, "source", checks.checked_id)
        source = _checked_source(self.source, show)
        sources = with_entry(show.sources, source.id, source, self.index)
        return replace(show, sources=sources), (RemoveSource(source.id),)


@dataclass(frozen=True, slots=True)
class RemoveSource(Edit):
    """Remove a source."""

    source: str

    def applied(self, show: Show) -> Applied:
        """The show without the source."""
        source = show.sources[known(self.source, show.sources, "source")]
        index = list(show.sources).index(source.id)
        return replace(show, sources=without(show.sources, source.id)), (AddSource(source, index),)


@dataclass(frozen=True, slots=True)
class ChangeSource(Edit):
    """Change the type, place, distance, level or label of a source, known by its id."""

    source: Source

    def applied(self, show: Show) -> Applied:
        """The show with the source changed."""
        before = show.sources[known(self.source.id, show.sources, "source")]
        source = _checked_source(self.source, show)
        sources = with_entry(show.sources, source.id, source)
        return replace(show, sources=sources), (ChangeSource(before),)


@dataclass(frozen=True, slots=True)
class RenameSource(Edit):
    """Give a source another id."""

    source: str
    new_id: str

    def applied(self, show: Show) -> Applied:
        """The show with the new id."""
        source = show.sources[known(self.source, show.sources, "source")]
        if self.new_id == source.id:
            return show, ()
        new = free_id(self.new_id, show.sources, "source", checks.checked_id)
        sources = renamed(show.sources, source.id, new) | {new: replace(source, id=new)}
        return replace(show, sources=sources), (RenameSource(new, source.id),)


def _checked_source(source: Source, show: Show) -> Source:
    """A source whose fields are all sound."""
    place = f"source {source.id!r}"
    at = checked(checks.checked_speaks_into, source.at, place)
    known(item_of(at), show.items, "item")
    return Source(
        id=source.id,
        type=checked(checks.checked_id, source.type, place),
        at=at,
        distance_m=None
        if source.distance_m is None
        else checked(lengths.checked_distance_m, source.distance_m, place),
        label=checked(checks.checked_label, source.label, place),
        also={
            known(name, show.items, "item"): checked(lengths.checked_distance_m, away_m, place)
            for name, away_m in source.also.items()
        },
        level=None
        if source.level is None
        else checked(checks.checked_sound_level, source.level, place),
    )
