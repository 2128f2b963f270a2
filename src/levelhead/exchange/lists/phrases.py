"""Words of lists: one spelling each, phrases found in them, and slips of the keyboard."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Final

__all__ = ["Found", "find_phrases", "near_word", "words_of"]

Words = tuple[str, ...]

_WORD: Final = re.compile(r"[^\W\d_]+|\d+|[#√✓✔●•✗✘]")
_LETTERS: Final = str.maketrans({"ß": "ss", "œ": "oe", "æ": "ae", "ø": "o", "ł": "l"})
_LONGEST: Final = 120  # words of one cell that are looked at; what is longer is prose
_ONE_SLIP: Final = 5  # letters of a word in which one slip is still the same word
_TWO_SLIPS: Final = 9


@dataclass(frozen=True, slots=True)
class Found:
    """A phrase found in words ``start`` to ``end``: what it means, and the words themselves."""

    meaning: str
    words: Words
    start: int
    end: int
    typed: str = ""  # what stood there, where it was a slip of the keyboard

    @property
    def text(self) -> str:
        """The words as one text."""
        return self.typed or " ".join(self.words)


@lru_cache(maxsize=20_000)
def words_of(text: str) -> Words:
    """Words of a text in small letters without accents; letters and digits part.

    >>> words_of("Tom1 (Höhe), Git. L/R")
    ('tom', '1', 'hohe', 'git', 'l', 'r')
    """
    plain = text[: _LONGEST * 20].casefold().replace("'s ", "s ").translate(_LETTERS)
    bare = "".join(
        each for each in unicodedata.normalize("NFKD", plain) if not unicodedata.combining(each)
    )
    return tuple(_WORD.findall(bare)[:_LONGEST])


def find_phrases(words: Words, phrases: Mapping[Words, str]) -> list[Found]:
    """Phrases in words from left to right, the longest at each place."""
    longest = _longest(phrases)
    found, at = [], 0
    while at < len(words):
        for length in range(min(longest, len(words) - at), 0, -1):
            piece = words[at : at + length]
            meaning = phrases.get(piece)
            if meaning is not None:
                found.append(Found(meaning, piece, at, at + length))
                at += length
                break
        else:
            at += 1
    return found


def _longest(phrases: Mapping[Words, str]) -> int:
    return max((len(each) for each in phrases), default=0)


def near_word(word: str, known: Sequence[str]) -> str | None:
    """The one known word that a slip of the keyboard makes of this one; ``None`` if none or many.

    >>> near_word("snaer", ["snare", "share", "tom"])
    'snare'
    """
    if len(word) < _ONE_SLIP:
        return None
    most = 2 if len(word) >= _TWO_SLIPS else 1
    near = list(_near(word, known, most))
    best = min((distance for distance, _ in near), default=0)
    found = {each for distance, each in near if distance == best}
    return found.pop() if len(found) == 1 else None


def _near(word: str, known: Sequence[str], most: int) -> Iterator[tuple[int, str]]:
    for each in known:
        if abs(len(each) - len(word)) <= most and len(each) >= _ONE_SLIP - 1:
            distance = _slips(word, each, most)
            if distance <= most:
                yield distance, each


def _slips(one: str, other: str, most: int) -> int:
    """Letters too many, missing, wrong or exchanged with their neighbour."""
    before: list[int] = []
    row = list(range(len(other) + 1))
    for i, a in enumerate(one, start=1):
        older, before, row = before, row, [i]
        for j, b in enumerate(other, start=1):
            cost = min(before[j] + 1, row[j - 1] + 1, before[j - 1] + (a != b))
            if i > 1 and j > 1 and a == other[j - 2] and one[i - 2] == b:
                cost = min(cost, older[j - 2] + 1)
            row.append(cost)
        if min(row) > most:
            return most + 1
    return row[-1]
