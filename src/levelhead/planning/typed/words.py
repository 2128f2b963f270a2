"""Words as people type them, one spelling each: ``spk``, ``48V``, ``quarter inch``, ``desks``."""

from __future__ import annotations

import re
from collections.abc import Iterable
from functools import lru_cache
from typing import Final

__all__ = [
    "plain_text",
    "plain_texts",
    "said_words",
    "same_words",
    "spelled_words",
    "tokens",
    "words_in_turn",
]

_SAME_WORD: Final = {
    "speaker": "loudspeaker",
    "spk": "loudspeaker",
    "spkr": "loudspeaker",
    "amp": "amplifier",
    "mic": "microphone",
    "mike": "microphone",
    "out": "output",
    "in": "input",
    "headphone": "headphones",
    "phone-jack": "headphones",
    "phones": "headphones",
    "console": "mixer",
    "desk": "mixer",
    "board": "mixer",
    "soundboard": "mixer",
    "soundesk": "mixer",
    "keys": "keyboard",
    "cab": "cabinet",
    "bridged": "bridge",
    "bridging": "bridge",
    "lifted": "lift",
    "preamplifier": "preamp",
    "cable": "lead",
    "no": "without",
    "rca": "phono",
    "volt": "v",
    "watt": "w",
    "active": "powered",
    "self-powered": "powered",
    "gtr": "guitar",
    "kbd": "keyboard",
    "vox": "vocal",
    "bt": "bluetooth",
    "rec": "record",
}
_NO_MEANING: Final = frozenset(
    """
    of the a an to into from on with s and my our your his her their this that these those one
    some any more extra please i we can plug it is there at via by for another second using
    """.split()  # noqa: SIM905 - words in turn
)
_WORD: Final = re.compile(r"[a-z0-9+\-]+(?:\.\d+)?")
_HYPHEN: Final = re.compile(r"(?<=[a-z0-9])-(?=[a-z0-9])")
_UNITS: Final = r"v|volts?|w|watts?|ohms?|m|mm|mm2|khz|hz|db|dbu|dbv|ft|inch|awg|mv|ma|kohm"
_RESPELLED: Final = (
    (re.compile(r"[’']s\b"), ""),
    (re.compile("[‐‑–—−]"), "-"),  # noqa: RUF001 - dashes of phones and of word processors
    (re.compile("[ωΩΩ]"), " ohm"),
    (re.compile(rf"(?<![\w-])([+-]?\d+(?:\.\d+)?)({_UNITS})\b"), r"\1 \2"),
    (re.compile(r'\b(?:1/4|quarter)(?:["”]|[- ]?in(?:ch)?\b)|\b6[.,]3(?:5)? ?mm\b'), "jack"),
    (re.compile(r'\b(?:1/8|eighth)(?:["”]|[- ]?in(?:ch)?\b)|\b3[.,]5 ?mm\b'), "minijack"),
    (re.compile(r"(?<![\w-])mini[- ]jack(s?)\b"), r"minijack\1"),
    (re.compile(r"\bjack jack\b"), "jack"),
    (re.compile(r"\bminijack jack\b"), "minijack"),
    (re.compile(r"\b(\d+)(?:[\"”]|[- ]inch(?:es)?\b)"), r"\1 inch"),
    (re.compile(r"\bhead ?phones?[- ]jack\b"), "headphones jack"),
    (re.compile(r"\bloud speaker"), "loudspeaker"),
    (re.compile(r"\b(stereo|mono) mode\b"), r"\1"),
    (re.compile(r"\bin (?=(?:bridged?|stereo|mono|parallel|series)\b)"), ""),
    (re.compile(r"\bsound ?(board|desk)\b"), "desk"),
    (re.compile(r"\bmixing (board|desk|console)\b"), "desk"),
    (re.compile(r"(?<=\d )watts?\b"), "w"),
    (re.compile(r"(?<=\d )volts?\b"), "v"),
    (re.compile(r"\bpre[- ]amp(s|lifiers?)?\b"), r"preamp"),
    (re.compile(r"\bd\.i\.?(?= |$)"), "di"),
    (re.compile(r"\bx-?lr\b"), "xlr"),
    (re.compile(r"\bturn (?=table)"), "turn"),
    (re.compile(r"\bfx send\b"), "aux send"),
    (re.compile(r"\bfold[- ]back"), "foldback"),
    (re.compile(r"\bgoose[- ]neck"), "gooseneck"),
    (re.compile(r"\bhi[- ]fi\b"), "hifi"),
    (re.compile(r"\b(?:mic|mike)[’']?d(?: up)?\b"), "miked"),
    (re.compile(r"\bbase (?=guitar|amp|player|di\b|cab|head)"), "bass "),
)
_PLAIN: Final = re.compile(r"[a-z ]*")  # of one spelling, but for the words that follow
_RESPELLED_WORDS: Final = re.compile(
    r"jack|quarter|eighth|loud speaker|mode|\bin |sound|mixing|\bpre|turn table|fx send|"
    r"fold back|goose neck|hi fi|micd|miked|base "
)
_MARK: Final = "\0"  # nobody types it, and no spelling rule reaches over it
_BETWEEN: Final = f" {_MARK} "
_SHORTEST_PLURAL: Final = 4  # letters: aux, bus and di's stay as they are
_NO_PLURAL: Final = ("ss", "us", "is", "'s")


def plain_text(text: str) -> str:
    """Small letters, with one spelling of dashes, units and connectors.

    >>> plain_text("48V, quarter inch")
    '48 v, jack'
    """
    plain = text.lower()
    if _is_plain(plain):
        return plain
    for pattern, instead in _RESPELLED:
        plain = pattern.sub(instead, plain)
    return plain


def plain_texts(texts: Iterable[str]) -> dict[str, str]:
    """Each text with what :func:`plain_text` makes of it, all of them in one go.

    >>> plain_texts(["48V, quarter inch", "Loud speaker"])
    {'48V, quarter inch': '48 v, jack', 'Loud speaker': 'loudspeaker'}
    """
    plain = {text: text.lower().replace(_MARK, " ") for text in texts}
    rest = [text for text, small in plain.items() if not _is_plain(small)]
    whole = _BETWEEN.join(plain[text] for text in rest)
    for pattern, instead in _RESPELLED:
        whole = pattern.sub(instead, whole)
    return plain | dict(zip(rest, whole.split(_BETWEEN)))


def _is_plain(small: str) -> bool:
    """Whether no rule of spelling touches a text, as most of the gear book."""
    return bool(_PLAIN.fullmatch(small)) and not _RESPELLED_WORDS.search(small)


@lru_cache(maxsize=8192)
def tokens(text: str) -> frozenset[str]:
    """Words of a phrase, one spelling each, without those that say nothing.

    >>> sorted(tokens("the amp's speaker out"))
    ['amplifier', 'loudspeaker', 'output']
    """
    return frozenset(token for token, _ in words_in_turn(text))


@lru_cache(maxsize=8192)
def words_in_turn(text: str) -> tuple[tuple[str, str], ...]:
    """Each word that says something, with how it was typed, in its place.

    >>> words_in_turn("my 4 ohm cabs")
    (('4', '4'), ('ohm', 'ohm'), ('cabinet', 'cabs'))
    """
    words = _WORD.findall(_HYPHEN.sub(" ", plain_text(text)))
    return tuple((_same(word), word) for word in words if word not in _NO_MEANING)


def spelled_words(phrase: str) -> frozenset[str]:
    """Words of a phrase as they are typed, before they get one spelling.

    >>> sorted(spelled_words("speaker of the amp"))
    ['amp', 'speaker']
    """
    return frozenset(typed for _, typed in words_in_turn(phrase))


def same_words() -> frozenset[str]:
    """Words of which each has another spelling that means the same."""
    return frozenset({*_SAME_WORD, *_SAME_WORD.values()})


def said_words() -> frozenset[str]:
    """Words that have another spelling, or say nothing: none of them is a slip."""
    return same_words() | _NO_MEANING


def _same(word: str) -> str:
    """The one spelling of a word, in the singular."""
    if word in _SAME_WORD:
        return _SAME_WORD[word]
    if len(word) >= _SHORTEST_PLURAL and word.endswith("s") and not word.endswith(_NO_PLURAL):
        word = word[:-1]
    return _SAME_WORD.get(word, word)
