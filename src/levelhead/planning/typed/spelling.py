"""Words that are nearly those of the gear book: ``condensor``, ``labtop``, ``headfones``.

A word that stands nowhere in the book, nor in what is said of how things stand, is read as the one
that is a slip away from it: a letter too many, too few, another one, or two that changed places;
two such slips in a long word. Of two words that are as near none is taken. Two words of the book
typed as one are parted, and words that people cut short are written out. Each is said back.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Final

from levelhead.gear.book import GearBook
from levelhead.planning.typed.conditions import condition_words
from levelhead.planning.typed.words import plain_text, plain_texts, said_words

__all__ = ["Respelt", "respelt"]

_WORD: Final = re.compile(r"(?<![\w.\-])[a-z]{3,32}(?![\w.\-])")  # no address, no type, no litter
_LETTERS: Final = re.compile("[a-z]+")
_LEAST: Final = 5  # letters of a word in which a slip is told from another word
_LONG: Final = 8  # letters of a word in which two slips are made
_SHORTEST: Final = 3  # letters of either half of two words typed as one
_SHORT: Final = {  # what people cut short on lists, from memory
    "cond": "condenser",
    "digi": "digital",
    "dyn": "dynamic",
    "elec": "electric",
    "guit": "guitar",
    "inst": "instrument",
    "mon": "monitor",
    "pwd": "powered",
    "pwrd": "powered",
}
_SOUNDS: Final = (("ph", "f"), ("ck", "k"))


@dataclass(frozen=True, slots=True)
class Respelt:
    """A word as it was typed, and as it is read."""

    typed: str
    read: str


def respelt(book: GearBook, text: str, also: Iterable[str] = ()) -> tuple[str, tuple[Respelt, ...]]:
    """A text with the words mended that are nearly words of the book, and which these are.

    Parameters
    ----------
    book : GearBook
        Its labels and words, of gear, sockets and switches.
    text : str
        As it was typed.
    also : iterable of str
        Other texts whose words are known, such as the labels of a show.

    >>> from levelhead.gear.book import load_book
    >>> respelt(load_book(), "labtop headfones")[0]
    'laptop headphones'
    """
    plain = text.lower()
    known = _known(book)
    own = {word for each in also for word in _letters(each)}
    found: dict[str, str] = {}
    for word in dict.fromkeys(_WORD.findall(plain)):
        if word not in known and word.removesuffix("s") not in known and word not in own:
            near = _SHORT.get(word) or _parted(word, known) or _nearest(word, known)
            if near is not None:
                found[word] = near
    for word, near in found.items():
        text = re.sub(rf"(?<![\w.\-]){word}(?![\w.\-])", near, text, flags=re.IGNORECASE)
    return text, tuple(Respelt(typed, read) for typed, read in found.items())


def _letters(text: str) -> list[str]:
    return _LETTERS.findall(plain_text(text))


@lru_cache(maxsize=2)
def _known(book: GearBook) -> Mapping[str, int]:
    """Every word that means something, with how often the book says it."""
    said = Counter(book.texts())
    counts = Counter[str]()
    for text, plain in plain_texts(said).items():
        for word in _LETTERS.findall(plain):
            counts[word] += said[text]
    for word in (*condition_words(), *said_words()):
        counts.setdefault(word, 0)
    return counts


def _parted(word: str, known: Mapping[str, int]) -> str | None:
    """Two words of the book that were typed as one: ``sound card``."""
    for place in range(_SHORTEST, len(word) - _SHORTEST + 1):
        if known.get(word[:place], 0) and known.get(word[place:].removesuffix("s"), 0):
            return f"{word[:place]} {word[place:]}"
    return None


def _nearest(word: str, known: Mapping[str, int]) -> str | None:
    """The word that is nearest; none where none is near, or two are as near and as common."""
    heard = _as_heard(word)
    if len(word) < _LEAST:
        return None
    most = 2 if len(heard) >= _LONG else 1
    ranked: list[tuple[int, bool, int, str]] = []
    for other in known:
        told = _as_heard(other)
        if told[0] == heard[0] and abs(len(told) - len(heard)) <= most and len(told) > most + 2:
            slips = _slips(heard, told)
            if slips <= most:
                ranked.append((slips, told[-1] != heard[-1], -known[other], other))
    ranked.sort()
    if len(ranked) > 1 and ranked[0][:3] == ranked[1][:3]:
        return None
    return ranked[0][-1] if ranked else None


@lru_cache(maxsize=8192)
def _as_heard(word: str) -> str:
    """A word with one letter for sounds that are written in two ways."""
    for two, one in _SOUNDS:
        word = word.replace(two, one)
    return word


def _slips(one: str, other: str) -> int:
    """Letters added, left out, exchanged, or two that changed places (Damerau 1964)."""
    rows = [list(range(len(other) + 1))]
    for i, left in enumerate(one, 1):
        row = [i]
        for j, right in enumerate(other, 1):
            cost = min(rows[-1][j] + 1, row[-1] + 1, rows[-1][j - 1] + (left != right))
            if i > 1 and j > 1 and left == other[j - 2] and one[i - 2] == right:
                cost = min(cost, rows[-2][j - 2] + 1)
            row.append(cost)
        rows.append(row)
    return rows[-1][-1]
