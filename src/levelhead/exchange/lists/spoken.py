"""What a cell says: things, traits, sides, and words that nobody knows."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Final

from levelhead.exchange.lists.phrases import Found, Words, find_phrases, near_word, words_of
from levelhead.exchange.lists.trade import TradeWords

__all__ = ["MIC_TRAITS", "Spoken", "spoken"]

MIC_TRAITS: Final = frozenset(
    {
        "mic", "dynamic", "condenser", "small", "large", "clip", "kick-mic", "vocal-mic",
        "instrument-mic", "ribbon", "valve", "boundary", "gooseneck", "headset", "lavalier",
        "wireless", "handheld", "wireless-hand",
    }
)  # fmt: skip
_SAYS_NOTHING: Final = frozenset({"mic", "wired"})  # traits that leave everything open


@dataclass(frozen=True, slots=True)
class Spoken:
    """A text taken apart. ``strange`` are words without a meaning here, as they were typed."""

    text: str
    words: Words
    things: tuple[Found, ...]
    traits: tuple[Found, ...]
    strange: Words
    is_left: bool
    is_right: bool
    is_stereo: bool

    @property
    def key(self) -> str:
        """The text as answers name it."""
        return " ".join(self.words)

    @property
    def trait_names(self) -> frozenset[str]:
        """Traits by name."""
        return frozenset(each.meaning for each in self.traits)

    @property
    def decides(self) -> bool:
        """Whether a trait says more than that it is some microphone."""
        return bool(self.trait_names - _SAYS_NOTHING)

    @property
    def slips(self) -> tuple[Found, ...]:
        """What was read through a slip of the keyboard."""
        return tuple(each for each in (*self.things, *self.traits) if each.typed)


def spoken(text: str, trade: TradeWords) -> Spoken:
    """Things and traits of a text; slips of the keyboard count where nothing else is known."""
    words = words_of(text)
    things = find_phrases(words, trade.thing_words)
    traits = _outside(find_phrases(words, trade.trait_words), things)
    sides = _sides(words, trade, {at for each in (*things, *traits) for at in _span(each)})
    covered = {at for each in (*things, *traits) for at in _span(each)} | sides.places
    strange = [
        (at, word)
        for at, word in enumerate(words)
        if at not in covered and (word,) not in trade.marks["noise"] and not word.isdigit()
    ]
    if not things and not any(each.meaning != "mic" for each in traits):
        for at, word in list(strange):
            found = _slip(word, at, trade)
            if found is not None:
                (things if found.words in trade.thing_words else traits).append(found)
                strange.remove((at, word))
    return Spoken(
        text,
        words,
        tuple(things),
        tuple(traits),
        tuple(word for _, word in strange),
        sides.is_left,
        sides.is_right,
        sides.is_stereo or (sides.is_left and sides.is_right),
    )


def _span(found: Found) -> range:
    return range(found.start, found.end)


def _outside(traits: Iterable[Found], things: Iterable[Found]) -> list[Found]:
    """Traits but those that are only a part of a thing's longer name (``clip`` of a video clip)."""
    longer = [each for each in things if each.end - each.start > 1]
    return [
        trait
        for trait in traits
        if not any(
            thing.start <= trait.start
            and trait.end <= thing.end
            and trait.end - trait.start < thing.end - thing.start
            for thing in longer
        )
    ]


def _slip(word: str, at: int, trade: TradeWords) -> Found | None:
    near = _near_single(word)
    if near is None:
        return None
    phrase = (near,)
    meaning = trade.thing_words.get(phrase) or trade.trait_words[phrase]
    return Found(meaning, phrase, at, at + 1, typed=word)


@lru_cache(maxsize=5_000)
def _near_single(word: str) -> str | None:
    """The single word of the table that is nearest; the table is one for the whole program."""
    from levelhead.exchange.lists.trade import trade_words

    return near_word(word, trade_words().single_words)


@dataclass(frozen=True, slots=True)
class _Sides:
    is_left: bool
    is_right: bool
    is_stereo: bool
    places: set[int]


def _sides(words: Words, trade: TradeWords, taken: set[int]) -> _Sides:
    found = _marked(words, trade, taken)
    return _Sides(
        is_left=any(each.meaning == "left" for each in found),
        is_right=any(each.meaning == "right" for each in found),
        is_stereo=any(each.meaning == "stereo" for each in found),
        places={at for each in found for at in _span(each)},
    )


def _marked(words: Words, trade: TradeWords, taken: set[int]) -> list[Found]:
    """Marks of sides that are no part of something else; one letter only at the end."""
    phrases: Mapping[Words, str] = {
        phrase: name for name in ("left", "right", "stereo") for phrase in trade.marks[name]
    }
    last = len(words) - 1
    while last > 0 and words[last].isdigit():
        last -= 1
    return [
        each
        for each in find_phrases(words, phrases)
        if not taken & set(_span(each))
        and (len(each.text) > 1 or each.start == last)
        and each.start > 0 - (len(each.text) > 1)
    ]
