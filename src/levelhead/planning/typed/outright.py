"""Sockets named as the book has them: ``type.port``, or a type with words for the rest."""

from __future__ import annotations

from typing import Final

from levelhead.gear.book import GearBook
from levelhead.planning.typed.candidates import Candidate, Side
from levelhead.planning.typed.conditions import read_text
from levelhead.planning.typed.phrases import port_words, positions
from levelhead.planning.typed.sockets import sockets_of
from levelhead.planning.typed.wanted import Wanted

__all__ = ["named_outright"]

_OUTRIGHT: Final = 10.0  # score of what was named as the book has it


def named_outright(book: GearBook, text: str, side: Side) -> list[Candidate]:
    """Sockets of ``type.port``, of a bare ``type``, or of either with words for the rest."""
    name, _, words = text.partition(" ")
    type_id, dot, address = name.partition(".")
    if type_id not in book or book.sketch(type_id).ends or book.sketch(type_id).sounds:
        return []
    if dot and not words:
        plan = book.plan(type_id, {}, {})
        return [
            Candidate(type_id, address, f"{plan.label}: {port.label}", _OUTRIGHT)
            for block in plan.blocks
            for name, port in block.plan.ports.items()
            if block.address(name) == address
        ]
    read = read_text(words)
    wanted = Wanted.of(book, read.rest, side, read.conditions)
    if dot:
        return _just_that(wanted, type_id, address)
    if words and "-" not in name:
        return []  # a word of the trade that is an id as well, such as "laptop"
    found = sockets_of(wanted, type_id, _OUTRIGHT, wanted.asked, frozenset())
    return sorted(found, key=lambda each: -each.score)


def _just_that(wanted: Wanted, type_id: str, address: str) -> list[Candidate]:
    """The socket of an address; words beside it say how its switches stand."""
    settings, spoken = positions(wanted.book.plan(type_id, {}, {}), wanted.asked)
    plan = wanted.book.plan(type_id, settings, {})
    sketch = wanted.book.sketch(type_id)
    known = spoken | wanted.known(sketch.label, sketch.phrases)
    return [
        Candidate(
            type_id,
            address,
            f"{plan.label}: {port.label}",
            _OUTRIGHT,
            settings | wanted.settings(plan, block),
            wanted.asked - known - port_words(block, port),
        )
        for block in plan.blocks
        for name, port in block.plan.ports.items()
        if block.address(name) == address
    ]
