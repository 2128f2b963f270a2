"""Cells: the smallest places of a show that two people may want to change at once."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import fields
from typing import Any, TypeAlias

from levelhead.show.addresses import Address
from levelhead.show.model import Cable, Link, Show

__all__ = ["Cell", "cell_words", "touched", "value_at", "value_words"]

Cell: TypeAlias = tuple[str, str, str]
"""A section of the file, a name in it, and a field of that (empty for the whole)."""


def touched(before: Show, after: Show) -> frozenset[Cell]:
    """Cells that differ between two shows; a plug belongs to each of its sockets.

    Examples
    --------
    >>> from levelhead.show.edits import Set, apply
    >>> from levelhead.show.model import Item
    >>> hall = Show("Hall", items={"desk": Item("desk", "mixer-compact")})
    >>> sorted(touched(hall, apply(hall, [Set("desk.ch1.gain", "35 dB")])[0]))
    [('settings', 'desk.ch1.gain', '')]
    """
    found: set[Cell] = set()
    for section in ("items", "sources", "supplies", "areas", "measured"):
        found.update(_of_things(section, getattr(before, section), getattr(after, section)))
    for section in ("settings", "stock"):
        found.update(_of_values(section, getattr(before, section), getattr(after, section)))
    found.update(("locks", address, "") for address in before.locks ^ after.locks)
    found.update(("links", address, "") for address in _replugged(before, after))
    if before.room != after.room:
        found.add(("room", "room", ""))
    heads = ((each, getattr(before, each), getattr(after, each)) for each in _HEAD)
    found.update(("show", name, "") for name, old, new in heads if old != new)
    return frozenset(found)


_HEAD = ("name", "date", "version")


def _of_things(section: str, before: Mapping[str, Any], after: Mapping[str, Any]) -> Iterator[Cell]:
    """Fields of entries that changed; every field of those that came or went, and the whole."""
    if before is after:
        return
    for name in before.keys() | after.keys():
        old, new = before.get(name), after.get(name)
        if old is new or old == new:
            continue
        there: Any = old if new is None else new
        for field in fields(there):
            if old is None or new is None or getattr(old, field.name) != getattr(new, field.name):
                yield section, name, field.name
        if old is None or new is None:
            yield section, name, ""


def _of_values(section: str, before: Mapping[str, Any], after: Mapping[str, Any]) -> Iterator[Cell]:
    if before is not after:
        for name in before.keys() | after.keys():
            if before.get(name) != after.get(name):
                yield section, name, ""


def _replugged(before: Show, after: Show) -> Iterator[Address]:
    """Sockets at which something else is plugged in, or by another cable."""
    if before.links is after.links:
        return
    old = {id(link) for link in before.links}
    new = {id(link) for link in after.links}
    gone = {link for link in before.links if id(link) not in new}
    came = {link for link in after.links if id(link) not in old}
    for link in gone ^ came:
        yield from link.ends.values()


def cell_words(cell: Cell, called: Callable[[str, str], str] | None = None) -> str:
    """A cell as people read it; ``called`` says what they call a name in a section of the file.

    Examples
    --------
    >>> cell_words(("items", "desk", "label")), cell_words(("links", "desk.ch1.mic", ""))
    ('label of desk', 'what is plugged into desk.ch1.mic')
    >>> cell_words(("items", "desk", "at"), lambda section, name: "The desk")
    'place of The desk'
    """
    section, name, field = cell
    field = _FIELDS.get(field, field)
    if called is not None and section not in {"show", "room"}:
        name = called(section, name)
    if section == "links":
        return f"what is plugged into {name}"
    if section == "show":
        return f"{name} of the show"
    if section == "stock":
        return f"stock of {name}"
    if section == "locks":
        return f"lock of {name}"
    if section == "room":
        return "the room"
    return f"{field} of {name}" if field else name


_FIELDS = {"at": "place", "aim": "direction"}  # where the file's own word says little


def value_at(show: Show, cell: Cell) -> Any:
    """What stands in a cell; ``None`` where it is not there."""
    section, name, field = cell
    if section == "links":
        return show.link_at(name)
    if section == "locks":
        return name in show.locks
    if section in {"show", "room"}:
        return getattr(show, name)
    thing = getattr(show, section).get(name)
    return getattr(thing, field, None) if field else thing


def value_words(value: Any) -> str:
    """What stands in a cell as people read it.

    Examples
    --------
    >>> value_words(None), value_words("40 dB")
    ('nothing', '40 dB')
    """
    if value is None or value == "":
        return "nothing"
    if isinstance(value, bool):
        return "locked" if value else "not locked"
    if isinstance(value, Link):
        return " to ".join(value.ends.values())
    if isinstance(value, Cable):
        return value.type
    if isinstance(value, str | int | float | tuple):
        return str(value)
    return str(getattr(value, "called", value))
