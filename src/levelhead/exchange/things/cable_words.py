"""Cables as people type them: ``10 m``, ``xlr 10 m``, ``cable-jack 3 m + adaptor-xlr-turn``."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from typing import Final

from levelhead.errors import EditError, ShowError
from levelhead.gear.book import GearBook
from levelhead.gear.plan import CablePlan
from levelhead.planning.typed.words import tokens
from levelhead.rig.model import RigPort
from levelhead.rig.usual import fitting_cables
from levelhead.show.addresses import is_id
from levelhead.show.lengths import checked_length_m
from levelhead.show.model import Cable

__all__ = ["cable_choices", "cables_meant"]

_LENGTH: Final = re.compile(r"(?:^|[\s,])(\d+(?:[.,]\d+)?)\s*(m|cm|mm)?$")
_PLAIN_ENDS: Final = 2
_AND: Final = re.compile(r"\s+\+\s+|\s*;\s*")


def cables_meant(
    book: GearBook, text: str, now: Sequence[Cable], ports: Sequence[RigPort], *, where: str
) -> tuple[Cable, ...]:
    """The cables and adaptors of one link that a text means.

    Parameters
    ----------
    book : GearBook
        Cables and their names.
    text : str
        A length alone keeps the cable that is there (``now``); words are held against those that
        fit the ``ports`` first; nothing at all is the usual cable.
    where : str
        The row, for messages.

    Raises
    ------
    EditError
        The words mean no cable.
    """
    if not text.strip():
        return tuple(Cable(each.type_id, each.usual_length_m) for each in _fitting(book, ports)[:1])
    return tuple(_one(book, part, now, ports, where) for part in _AND.split(text.strip()))


def _one(
    book: GearBook, text: str, now: Sequence[Cable], ports: Sequence[RigPort], where: str
) -> Cable:
    found = _LENGTH.search(text)
    words = text[: found.start()].strip(" ,") if found else text.strip()
    length_m = None if found is None else _length_m(found, where)
    if not words:
        types = [each.type for each in sorted(now, key=lambda each: -(each.length_m or 0.0))]
        types += [each.type_id for each in _fitting(book, ports)]
        if types:
            return Cable(types[0], length_m)
    for each in now:
        if words == book.entry(each.type).label:
            return _of_type(book, each.type, length_m)
    if is_id(words) and words in book and book.entry(words).ends is not None:
        return _of_type(book, words, length_m)
    fitting = [each.type_id for each in _fitting(book, ports)]
    every = (each for each in book.ids if book.sketch(each).ends)
    for type_id in (*_called(book, words, fitting), *_called(book, words, every)):
        return _of_type(book, type_id, length_m)
    raise EditError(
        f"no cable of the book is called '{words or text}'",
        where=where or "cable",
        expected="a cable and its length, such as XLR 10 m",
        remedy="Type a few letters and pick from the list.",
    )


def _length_m(found: re.Match[str], where: str) -> float:
    number, unit = found[1].replace(",", "."), found[2] or "m"
    try:
        return checked_length_m(f"{number} {unit}")
    except ShowError as error:
        raise EditError(
            error.what, where=where, expected=error.expected, remedy=error.remedy
        ) from None


def _of_type(book: GearBook, type_id: str, length_m: float | None) -> Cable:
    cable = book.cable(type_id)
    if book.entry(type_id).kind == "adaptor":
        return Cable(type_id, length_m)
    return Cable(type_id, length_m or cable.usual_length_m or None)


def _fitting(book: GearBook, ports: Sequence[RigPort]) -> tuple[CablePlan, ...]:
    """Cables that join two sockets, the usual one first; none for a lead of more ends."""
    if len(ports) != _PLAIN_ENDS:
        return ()
    start, end = sorted(ports, key=lambda port: port.plan.role == "in")
    return fitting_cables(book, start.plan, end.plan, with_special=True)


def _called(book: GearBook, words: str, ids: Iterable[str]) -> Iterator[str]:
    """Cables whose names hold all the words, shortest name first."""
    asked = tokens(words)
    held = [each for each in ids if asked and asked <= _names(book, each)]
    yield from sorted(held, key=lambda each: len(_names(book, each)))


def _names(book: GearBook, type_id: str) -> frozenset[str]:
    entry = book.entry(type_id)
    names = (type_id.replace("-", " "), entry.label, *entry.words)
    return frozenset().union(*map(tokens, names))


def cable_choices(book: GearBook, ports: Sequence[RigPort], text: str) -> list[str]:
    """Ids of cables that fit two sockets and whose names begin with what was typed."""
    typed = _LENGTH.sub("", text).strip().lower()
    fitting = [each.type_id for each in _fitting(book, ports)]
    return [
        each
        for each in fitting
        if not typed
        or any(
            word.startswith(typed)
            for word in (*_names(book, each), each, book.entry(each).label.lower())
        )
    ]
