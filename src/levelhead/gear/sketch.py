"""What a gear type is called, read off its entry as written: enough to search the whole book.

To check an entry costs some hundred times as much as to read three of its fields, and a question
names two types out of hundreds. Shipped entries are checked by the tests; a user's own entries,
and what is like one of them, are checked before their words are read.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from levelhead.gear.inherit import RawEntry, laid_over
from levelhead.gear.model.types import TypeEntry, connectors

__all__ = ["Sketch", "sketch_of", "sketched"]

_FIELDS: Final = frozenset({"kind", "label", "words", "mix", "ends", "special", "air"})


@dataclass(frozen=True, slots=True)
class Sketch:
    """A type without its figures.

    Attributes
    ----------
    kind : str
        Such as ``mixer``, ``cable``.
    phrases : tuple of str
        What people call it: the label up to its first comma, then the words of the entry.
    mixes : bool
        Whether it has a mixing crossing.
    ends : mapping
        Connector of each end of a cable or adaptor, plug or socket; empty for anything else.
    special : bool
        Whether it is only taken by name.
    sounds : bool
        Whether it is a voice or an instrument in the air.
    label : str
        The whole label.
    """

    kind: str
    phrases: tuple[str, ...]
    mixes: bool
    ends: Mapping[str, str]
    special: bool
    sounds: bool
    label: str


def sketched(type_id: str, raw: Mapping[str, RawEntry]) -> Sketch:
    """Sketch of an entry that is known to be well formed, as the YAML has it."""
    base = raw.get(raw[type_id].get("like", ""), {})
    said = laid_over(
        *({key: each[key] for key in _FIELDS & each.keys()} for each in (base, raw[type_id]))
    )
    return Sketch(
        said["kind"],
        _phrases(said["label"], said.get("words", ())),
        mixes="mix" in said,
        ends=connectors(said.get("ends")),
        special=said.get("special", False),
        sounds="air" in said,
        label=said["label"],
    )


def sketch_of(entry: TypeEntry) -> Sketch:
    """Sketch of a checked entry."""
    return Sketch(
        entry.kind,
        _phrases(entry.label, entry.words),
        mixes=bool(entry.mix),
        ends=entry.connectors,
        special=entry.special,
        sounds=entry.air is not None,
        label=entry.label,
    )


def _phrases(label: str, words: tuple[str, ...] | list[str]) -> tuple[str, ...]:
    return (label.partition(",")[0], *words)
