"""Rows of the input list moved: plugs go to other strips, and what is set there goes along."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from itertools import pairwise

from levelhead.errors import EditError
from levelhead.exchange.paperwork.input_rows import InputRow
from levelhead.rig.model import Rig
from levelhead.show.addresses import strip_of
from levelhead.show.brought import settings_brought
from levelhead.show.edits import Edit, Plug, Unplug
from levelhead.show.model import Link

__all__ = ["closed_up", "moved_row", "opened_up", "rearranged"]

Places = Mapping[str, str]
"""Strips by where they come from."""


def moved_row(rows: Mapping[str, InputRow], row: str, to: str) -> Places:
    """A row to another place; those between move up by one, as cards do."""
    order = list(rows)
    _check(rows, row, to)
    first, last = sorted((order.index(row), order.index(to)))
    between = order[first : last + 1]
    after = (
        [*between[1:], between[0]] if order.index(row) == first else [between[-1], *between[:-1]]
    )
    return {old: new for new, old in zip(between, after, strict=True) if old != new}


def opened_up(rows: Mapping[str, InputRow], row: str) -> Places:
    """A row made free: it and those behind it move down by one, as far as the next free row.

    Raises
    ------
    EditError
        No row behind it is free.
    """
    order = _kin(rows, row)
    start = order.index(row)
    free = next((n for n in range(start, len(order)) if rows[order[n]].is_free), None)
    if free is None:
        raise EditError(
            "no row behind this one is free",
            where=row,
            expected="a free strip of the same kind further down",
            remedy="Delete a row first, or use another mixer.",
        )
    shifted = order[start : free + 1]
    return {**dict(pairwise(shifted)), shifted[-1]: shifted[0]}


def closed_up(rows: Mapping[str, InputRow], row: str) -> Places:
    """A row that is free closed up: those behind it move up by one, as far as they are full."""
    order = _kin(rows, row)
    start = order.index(row)
    end = next((n for n in range(start + 1, len(order)) if rows[order[n]].is_free), len(order))
    shifted = order[start:end]
    return {**dict(zip(shifted[1:], shifted, strict=False)), shifted[0]: shifted[-1]}


def _kin(rows: Mapping[str, InputRow], row: str) -> list[str]:
    """Rows of the same item with the same sockets, in order."""
    own = _kind(rows[row])
    return [each for each in rows if _kind(rows[each]) == own]


def _kind(row: InputRow) -> tuple[str, tuple[str, ...]]:
    return row.item, tuple(address.removeprefix(f"{row.id}.") for address, _ in row.ports)


def _check(rows: Mapping[str, InputRow], row: str, to: str) -> None:
    if _kind(rows[row]) != _kind(rows[to]):
        raise EditError(
            f"{rows[row].name} and {rows[to].name} have different sockets",
            where=row,
            expected="a strip of the same kind",
            remedy="Choose a socket for it instead: that also finds the lead.",
        )


def rearranged(rig: Rig, places: Places) -> Iterator[Edit]:
    """Edits that bring everything of some strips to others: plugs, settings, locks.

    Parameters
    ----------
    rig : Rig
        The show before.
    places : mapping of str
        The strip to which each goes; together they are the same strips in another order.
    """
    moved = {old: new for old, new in places.items() if old != new}
    links = [
        (number, link)
        for number, link in enumerate(rig.show.links)
        if any(strip_of(end) in moved for end in link.ends.values())
    ]
    yield from (Unplug(link) for _, link in links)
    yield from (Plug(_moved_link(link, moved), number) for number, link in links)
    origins = {new: old for old, new in moved.items()}
    yield from settings_brought(rig.show, origins, lambda _: True)


def _moved(address: str, places: Places) -> str:
    strip, _, name = address.rpartition(".")
    return f"{places.get(strip, strip)}.{name}"


def _moved_link(link: Link, places: Places) -> Link:
    return replace(link, ends={end: _moved(address, places) for end, address in link.ends.items()})
