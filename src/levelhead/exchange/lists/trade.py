"""The table of trade words: what people write in lists, and what it means in the gear book.

The table is data (``trade.yaml``), reviewed row by row. It holds no maker and no model: a word
that is not in it is asked about.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import lru_cache
from importlib.resources import files
from typing import Any, Final

from levelhead.exchange.lists.phrases import Words, words_of

__all__ = ["LANGUAGES", "GearRule", "Thing", "TradeWords", "Usual", "trade_words"]

LANGUAGES: Final = ("en", "de", "fr", "es", "it", "nl")


@dataclass(frozen=True, slots=True, kw_only=True)
class Thing:
    """What makes the sound, by the words of the trade. Types are those of the gear book.

    ``sound`` is what it is in the air (``like`` says what the book has in its place), ``socket``
    what it is with a plug of its own, ``di`` the box that usually goes with that, ``mics`` the
    microphones that it usually gets, likeliest first. ``way`` is how it usually reaches the desk;
    ``ask`` where nobody can tell. ``active`` is the same with a battery and a preamp inside.
    ``plugged`` is what it is reckoned as where it comes by a plug and has none of its own.
    ``one_of`` are things of which the word may mean each. ``pieces`` are those of a whole, by how
    many inputs it takes.
    """

    id: str
    label: str
    group: str
    way: str
    sound: str | None = None
    like: str | None = None
    socket: str | None = None
    di: str | None = None
    mics: tuple[str, ...] = ()
    one_of: tuple[str, ...] = ()
    is_name_too: bool = False
    active: str | None = None
    plugged: str | None = None
    pieces: Mapping[int, str] = field(default_factory=dict)

    @property
    def is_player(self) -> bool:
        """Whether it plays something back, in stereo."""
        return self.group == "players" and self.way == "di"


@dataclass(frozen=True, slots=True)
class GearRule:
    """What traits mean together: a type; ``guess`` says what the words leave open."""

    type: str
    needs: frozenset[str]
    guess: str = ""
    ask: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Usual:
    """Types of the gear book that are taken where the words leave the type open.

    ``microphones`` are offered where nobody knows what sounds; ``box_of_two`` takes the left and
    the right side of one thing, ``box_of_minijacks`` what comes out of a 3.5 mm jack.
    """

    microphones: tuple[str, ...]
    box: str
    box_of_two: str
    passive_box: str
    box_of_minijacks: str
    radio_pack: str

    @property
    def boxes(self) -> frozenset[str]:
        """Boxes that are made for no thing in particular."""
        return frozenset((self.box, self.box_of_two, self.passive_box, self.box_of_minijacks))


@dataclass(frozen=True, slots=True)
class TradeWords:
    """The whole table, by phrase."""

    things: Mapping[str, Thing]
    rules: tuple[GearRule, ...]
    usual: Usual
    thing_words: Mapping[Words, str] = field(repr=False)
    trait_words: Mapping[Words, str] = field(repr=False)
    column_words: Mapping[Words, tuple[str, ...]] = field(repr=False)
    marks: Mapping[str, frozenset[Words]] = field(repr=False)
    single_words: tuple[str, ...] = field(repr=False)

    def is_mark(self, mark: str, text: str) -> bool:
        """Whether a text is just such a mark: ``spare``, ``total``, ``yes``, ..."""
        return words_of(text) in self.marks[mark]

    def has_mark(self, mark: str, words: Words) -> bool:
        """Whether such a mark stands somewhere in words."""
        return any(
            words[at : at + len(phrase)] == phrase
            for phrase in self.marks[mark]
            for at in range(len(words) - len(phrase) + 1)
        )

    def rule_for(self, traits: frozenset[str]) -> GearRule | None:
        """The first row whose traits are all there."""
        return next((rule for rule in self.rules if rule.needs <= traits), None)


@lru_cache(maxsize=1)
def trade_words() -> TradeWords:
    """The table that comes with the program."""
    from ruamel.yaml import YAML

    text = (files("levelhead.exchange.lists") / "trade.yaml").read_text(encoding="utf-8")
    return _table(YAML(typ="safe", pure=True).load(text))


def phrases_of(by_language: Mapping[str, str]) -> list[Words]:
    """Phrases of a row, each once, in all its languages."""
    texts = (text for language in LANGUAGES for text in by_language.get(language, "").split(","))
    return list(dict.fromkeys(words for text in texts if (words := words_of(text))))


def _table(raw: Mapping[str, Any]) -> TradeWords:
    thing_words = _by_phrase({name: row["words"] for name, row in raw["things"].items()})
    trait_words = _by_phrase(raw["traits"])
    columns: dict[Words, tuple[str, ...]] = {}
    for name, row in raw["columns"].items():
        for phrase in phrases_of(row):
            columns[phrase] = (*columns.get(phrase, ()), name)
    singles = [each[0] for each in (*thing_words, *trait_words) if len(each) == 1]
    return TradeWords(
        things={name: _thing(name, row) for name, row in raw["things"].items()},
        rules=tuple(_rule(row) for row in raw["gear"]),
        usual=_usual(raw["usual"]),
        thing_words=thing_words,
        trait_words=trait_words,
        column_words=columns,
        marks={name: frozenset(phrases_of(row)) for name, row in raw["marks"].items()},
        single_words=tuple(dict.fromkeys(singles)),
    )


def _by_phrase(rows: Mapping[str, Mapping[str, str]]) -> dict[Words, str]:
    return {phrase: name for name, row in rows.items() for phrase in phrases_of(row)}


def _thing(name: str, row: Mapping[str, Any]) -> Thing:
    return Thing(
        id=name,
        label=row["label"],
        group=row["group"],
        way=row["way"],
        sound=row.get("sound"),
        like=row.get("like"),
        socket=row.get("socket"),
        di=row.get("di"),
        mics=tuple(row.get("mics", ())),
        one_of=tuple(row.get("is-one-of", ())),
        is_name_too=row.get("alone") == "ask",
        active=row.get("active"),
        plugged=row.get("plugged"),
        pieces=row.get("pieces", {}),
    )


def _rule(row: Mapping[str, Any]) -> GearRule:
    return GearRule(
        row["type"], frozenset(row["is"]), row.get("guess", ""), tuple(row.get("ask", ()))
    )


def _usual(row: Mapping[str, Any]) -> Usual:
    return Usual(
        microphones=tuple(row["microphones"]),
        box=row["box"],
        box_of_two=row["box-of-two"],
        passive_box=row["passive-box"],
        box_of_minijacks=row["box-of-minijacks"],
        radio_pack=row["radio-pack"],
    )
