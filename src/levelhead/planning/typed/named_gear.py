"""Gear that was named outright in front (or behind ``of``), and candidates that are other gear.

``keyboard headphone out`` is a keyboard, whether or not the book gives it such a socket: what has
just that socket and nothing of the name is other gear.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

from levelhead.gear.book import GearBook
from levelhead.planning.typed.words import tokens, words_in_turn

__all__ = ["NamedGear", "gear_named"]

_OF: Final = re.compile(r"\b(?:of|off)\b")
_SOCKETS: Final = tokens(
    "headphone speaker line input output link aux main send return jack xlr phono socket "
    "digital direct stereo mono record audio sound"
)


@dataclass(frozen=True, slots=True)
class NamedGear:
    """Words that name gear, the types that go by just these, and whether ``of`` stood before."""

    words: frozenset[str]
    types: frozenset[str]
    is_of: bool

    def is_other(self, type_id: str, met: frozenset[str], socket: frozenset[str]) -> bool:
        """Whether a candidate has a socket as it was said, and nothing of the gear.

        ``met`` are the words typed that it goes by, ``socket`` those by which its socket goes.
        """
        if type_id in self.types:
            return False
        return self.is_of or (not self.words <= met and met <= socket | _SOCKETS)


def gear_named(book: GearBook, text: str) -> NamedGear | None:
    """Gear that the first words of a text name, or all those behind its last ``of``."""
    *before, behind = _OF.split(text.lower())
    if before:
        of = frozenset(_in_turn(behind))
        types = _called(book, of)
        if types:
            return NamedGear(of, types, is_of=True)
    in_turn = _in_turn(text)
    for count in range(len(in_turn), 0, -1):
        words = frozenset(in_turn[:count])
        types = frozenset() if words <= _SOCKETS else _called(book, words)
        if types:
            return NamedGear(words, types, is_of=False)
    return None


def _in_turn(text: str) -> tuple[str, ...]:
    return tuple(word for word, _ in words_in_turn(text))


def _called(book: GearBook, words: frozenset[str]) -> frozenset[str]:
    """Types of which one name says just these words, or these and what it comes with."""
    return frozenset(
        type_id
        for type_id in book.ids
        if not (book.sketch(type_id).ends or book.sketch(type_id).sounds)
        and _says(book.sketch(type_id).phrases, words)
    )


def _says(phrases: Iterable[str], words: frozenset[str]) -> bool:
    return any(words in (tokens(each), tokens(each.partition(" with ")[0])) for each in phrases)
