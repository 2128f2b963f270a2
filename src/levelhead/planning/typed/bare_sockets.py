"""Sockets of desks that are named without the desk: ``line input``, ``aux send``."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from levelhead.planning.typed.candidates import Candidate, Side
from levelhead.planning.typed.fitting import fitness
from levelhead.planning.typed.phrases import (
    port_words,
    positions,
    socket_words,
    switch_words,
    words_of_port,
)
from levelhead.planning.typed.wanted import Wanted

__all__ = ["names_a_socket", "sockets_of_desk"]

_CHANNEL_WEIGHT: Final = 3.0  # of a word
_BARE_ROLES: Final[Mapping[Side, frozenset[str]]] = {
    "from": frozenset({"out", "insert"}),
    "to": frozenset({"in"}),
}
_SENDING: Final = frozenset(
    {"aux", "send", "main", "master", "bus", "group", "matrix", "insert", "record"}
)  # outputs of a desk
_BARE_SOCKET: Final = 2  # words that name a socket of whatever has it: line input, mic input


def names_a_socket(asked: frozenset[str], side: Side) -> bool:
    """Whether words can stand for a socket of a desk without naming the desk."""
    if side == "to":
        return len(asked) >= _BARE_SOCKET and "input" in asked
    return bool(asked & _SENDING)


def sockets_of_desk(wanted: Wanted, type_id: str) -> list[Candidate]:
    """Inputs of a type's mixed channels, or its outputs, that have all the words typed.

    Words for its switches need not be among them. Who says no more than "line input", "mic input
    with phantom", or "aux send", stands before a desk.
    """
    book, asked, side = wanted.book, wanted.asked, wanted.side
    entry = book.entry(type_id)
    bare = asked - switch_words(entry, asked)

    def fits(words: frozenset[str]) -> bool:
        return bare <= words and names_a_socket(asked & words, side)

    strips = (("", entry), *entry.blocks.items())
    if not any(
        fits(words_of_port(block, name, port.label or name, port.words) | socket_words(port.socket))
        for block, strip in strips
        for name, port in strip.ports.items()
    ):
        return []  # and need not be planned, which takes its time for a large desk
    found: dict[tuple[str, str], Candidate] = {}
    plan = book.plan(type_id, {}, {})
    settings, spoken = positions(plan, asked)
    for block in plan.blocks:
        is_channel = side == "from" or (block.mixes and block.name != block.block)
        for name, port in block.plan.ports.items() if is_channel else ():
            if port.role in _BARE_ROLES[side] and fits(
                words := port_words(block, port) | socket_words(port.socket)
            ):
                total = _CHANNEL_WEIGHT * len(asked & words) + len(spoken - words)
                total += fitness(book, plan, block, port, wanted.conditions)
                label = f"{plan.label}: {port.label}"
                set_ = settings | wanted.settings(plan, block)
                each = Candidate(plan.type_id, block.address(name), label, total, set_)
                found.setdefault((block.block, name), each)
    return list(found.values())
