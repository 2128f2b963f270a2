"""What is being typed: words that are not finished yet, and what a pick off the list keeps of them.

A list that follows the typing has to know ``vocal`` behind ``voc``. Only words that say nothing as
they stand are written out, each as words of the gear book that begin so.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from itertools import islice, product
from typing import Final
from weakref import WeakKeyDictionary

from levelhead.gear.book import GearBook
from levelhead.planning.typed.candidates import Candidate, Side
from levelhead.planning.typed.conditions import read_text
from levelhead.planning.typed.names import find_candidates, find_sources
from levelhead.planning.typed.phrases import port_words, positions
from levelhead.planning.typed.words import same_words, spelled_words, words_in_turn

__all__ = ["Offered", "completed", "offered"]

_LEAST_LETTERS: Final = 2  # of one letter nobody can tell anything
_MOST_ENDINGS: Final = 6  # of one word
_MOST_TEXTS: Final = 12
_MOST_OFFERED: Final = 40

_WORDS: Final[WeakKeyDictionary[GearBook, Counter[str]]] = WeakKeyDictionary()


@dataclass(frozen=True, slots=True)
class Offered:
    """A line of the list: what a pick of it asks for, and how it reads.

    Both have the conditions that were typed with the words, such as ``48 V on``.
    """

    address: str
    label: str
    score: float


def offered(book: GearBook, text: str, side: Side) -> list[Offered]:
    """Gear that a text may mean while it is typed, best first.

    >>> from levelhead.gear.book import load_book
    >>> offered(load_book(), "vocal condens 48 V on", "from")[0].label
    'Vocal microphone, condenser: output, 48 V on'
    """
    whole = completed(book, text, side)
    found = find_candidates(book, whole, side)[:_MOST_OFFERED]
    gear = [_with_kept(book, each, whole) for each in found]
    heard = side == "from" and not (found and book.sketch(found[0].type_id).kind == "microphone")
    return [*_sounds(book, whole, gear), *gear] if heard else gear


def _sounds(book: GearBook, text: str, gear: list[Offered]) -> list[Offered]:
    """A voice or an instrument in the air, where that is meant: some microphone hears it."""
    read = read_text(text)
    found = find_sources(book, read.rest)
    if not found or (gear and gear[0].score >= found[0].score):
        return []
    said = [f"{found[0].label}, by a microphone", *(each.words for each in read.conditions)]
    return [Offered(text, ", ".join(said), found[0].score)]


def completed(book: GearBook, text: str, side: Side) -> str:
    """The text with words that were only begun written out, as that fits best; else as it is.

    >>> from levelhead.gear.book import load_book
    >>> completed(load_book(), "voc dyn", "from")
    'vocal dynamic'
    """
    found = find_candidates(book, text, side)
    begun = _begun(text, found[0].unmet if found else None)
    if not begun:
        return text
    words = _words(book, text, begun, side)
    endings = [_endings(words, each) for each in begun]
    whole = [_respelled(text, begun, each) for each in islice(product(*endings), _MOST_TEXTS)]
    return max([text, *whole], key=lambda each: _fits(book, each, side))


def _fits(book: GearBook, text: str, side: Side) -> tuple[bool, float]:
    """How well the best fits; a sound in the air is no gear, and better than nothing."""
    gear = find_candidates(book, text, side)
    found = gear or find_sources(book, text)
    return bool(gear), found[0].score if found else 0.0


def _begun(text: str, unmet: frozenset[str] | None) -> list[str]:
    """Words that say nothing as they were typed; ``None`` where the whole text says nothing."""
    return [
        typed
        for word, typed in words_in_turn(read_text(text).rest)
        if (unmet is None or word in unmet) and len(typed) >= _LEAST_LETTERS and typed.isalpha()
    ]


def _words(book: GearBook, text: str, begun: list[str], side: Side) -> Counter[str]:
    """Words of the book by how many types have them, and those of sockets of what is named."""
    words = Counter(_words_of(book))
    rest = _respelled(text, begun, [""] * len(begun))
    for each in find_candidates(book, rest, side)[:_MOST_OFFERED]:
        for block in each.plan(book).blocks:
            for port in block.plan.ports.values():
                words.update(port_words(block, port))
    return words


def _words_of(book: GearBook) -> Counter[str]:
    """All words by which types go."""
    if book not in _WORDS:
        said = (
            {word for phrase in (sketch.label, *sketch.phrases) for word in spelled_words(phrase)}
            for sketch in map(book.sketch, book.ids)
        )
        _WORDS[book] = Counter(word for each in said for word in each)
        _WORDS[book].update(same_words())
    return _WORDS[book]


def _endings(words: Counter[str], begun: str) -> list[str]:
    """The word itself where it stands so, else the commonest that begin with it, else as typed."""
    if begun in words:
        return [begun]
    longer = [(count, word) for word, count in words.items() if word.startswith(begun)]
    longer.sort(key=lambda each: (-each[0], each[1]))
    return [word for _, word in longer[:_MOST_ENDINGS]] or [begun]


def _respelled(text: str, begun: list[str], instead: Iterable[str]) -> str:
    for typed, word in zip(begun, instead, strict=True):
        text = re.sub(rf"(?<!\w){re.escape(typed)}(?!\w)", word, text, count=1, flags=re.IGNORECASE)
    return text


def _with_kept(book: GearBook, found: Candidate, text: str) -> Offered:
    """A pick names the socket; what else was typed stays: conditions, positions, strange words."""
    read = read_text(text)
    in_turn = words_in_turn(read.rest)
    spoken = positions(found.plan(book), frozenset(word for word, _ in in_turn))[1]
    strange = {typed for word, typed in in_turn if word in found.unmet and _is_strange(book, typed)}
    kept = [typed for word, typed in in_turn if word in spoken or typed in strange]
    said = ", ".join(filter(None, [" ".join(kept), *(each.words for each in read.conditions)]))
    return Offered(
        f"{found.address} {said}".strip(),
        f"{found.label}, {said}" if said else found.label,
        found.score,
    )


def _is_strange(book: GearBook, typed: str) -> bool:
    """A word of nothing in the book, whole or begun: whoever picks learns that it says nothing."""
    is_begun = any(word.startswith(typed) for word in _words_of(book))
    return len(typed) >= _LEAST_LETTERS and not is_begun
