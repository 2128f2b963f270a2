"""Types of the gear book that words mean, for ``levelhead gear --search``, and those of a kind."""

from __future__ import annotations

import re

from levelhead.errors import GearError
from levelhead.gear.book import GearBook
from levelhead.planning.typed.names import find_candidates
from levelhead.planning.typed.spelling import respelt
from levelhead.planning.typed.words import tokens

__all__ = ["of_kind", "types_meant"]


def of_kind(book: GearBook, ids: list[str], kind: str | None) -> list[str]:
    """Those of a kind, all where none is named; a ``GearError`` where there is no such kind."""
    kinds = dict.fromkeys(book.sketch(each).kind for each in book.ids)
    if kind is not None and kind not in kinds:
        raise GearError(
            f"no gear is of kind '{kind}'",
            where="--kind",
            expected=f"one of {', '.join(kinds)}",
            remedy="List all with: levelhead gear",
        )
    return [each for each in ids if kind in (None, book.sketch(each).kind)]


def types_meant(book: GearBook, words: str | None) -> list[str]:
    """Types whose names hold all the words, then those that a question would find.

    Where a word names a kind of gear ("mixer"), what is of that kind comes first.
    """
    if words is None:
        return list(book.ids)
    asked = words.lower().split()
    called = {
        each: " ".join([each, book.entry(each).label, *book.entry(each).words]).lower()
        for each in book.ids
    }
    named = [each for each, names in called.items() if all(word in names for word in asked)]
    whole = [each for each in named if set(asked) <= set(re.findall(r"[\w.]+", called[each]))]
    named = whole or named  # "di" is not meant to find "digital"
    words = words if named else respelt(book, words)[0]
    found = [*find_candidates(book, words, "from"), *find_candidates(book, words, "to")]
    found.sort(key=lambda candidate: -candidate.score)
    meant = dict.fromkeys([*named, *(candidate.type_id for candidate in found)])
    said = tokens(words)
    return sorted(meant, key=lambda each: not tokens(book.sketch(each).kind) <= said)
