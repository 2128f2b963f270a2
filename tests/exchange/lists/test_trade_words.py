"""The table of trade words: each type exists, no word means two things, all six languages."""

from __future__ import annotations

from importlib.resources import files
from typing import Any, Final

import pytest
from ruamel.yaml import YAML

from levelhead.exchange.lists.spoken import MIC_TRAITS
from levelhead.exchange.lists.trade import LANGUAGES, phrases_of, trade_words
from levelhead.exchange.lists.types_on_way import lives_on_phantom
from levelhead.gear.book import load_book

RAW: Final[dict[str, Any]] = YAML(typ="safe", pure=True).load(
    (files("levelhead.exchange.lists") / "trade.yaml").read_text(encoding="utf-8")
)
AIR: Final = {"voice", "instrument"}


def test_every_type_of_the_table_is_in_the_gear_book() -> None:
    """Sounds are in the air, sockets have a plug, microphones are microphones, boxes boxes."""
    book = load_book()
    for thing in trade_words().things.values():
        if thing.sound:
            assert book.entry(thing.sound).air is not None
            assert book.entry(thing.sound).kind in AIR
        if thing.socket:
            assert book.entry(thing.socket).air is None
        if thing.di:
            assert book.entry(thing.di).kind == "box"
        assert {book.entry(each).kind for each in thing.mics} <= {"microphone"}
    for rule in trade_words().rules:
        assert {book.entry(each).kind for each in (rule.type, *rule.ask)} == {"microphone"}


def test_types_that_are_usual_are_what_they_are_taken_for() -> None:
    """A passive box wants no phantom power, those that are active do."""
    book, usual = load_book(), trade_words().usual
    assert {book.entry(each).kind for each in usual.microphones} == {"microphone"}
    assert {book.entry(each).kind for each in usual.boxes} == {"box"}
    assert lives_on_phantom(book, usual.box)
    assert lives_on_phantom(book, usual.box_of_two)
    assert not lives_on_phantom(book, usual.passive_box)
    assert usual.radio_pack in book.ids


def test_what_comes_by_a_plug_has_one() -> None:
    """What has no plug of its own may be reckoned as a thing that has."""
    things = trade_words().things
    plugged = [each for each in things.values() if each.plugged is not None]
    assert plugged
    for thing in plugged:
        assert thing.socket is None
        assert things[str(thing.plugged)].socket is not None


@pytest.mark.parametrize("section", ["things", "traits"])
def test_no_word_means_two_things(section: str) -> None:
    """Not even in two languages: a list may be in both."""
    seen: dict[tuple[str, ...], str] = {}
    for name, row in RAW[section].items():
        for phrase in phrases_of(row["words"] if section == "things" else row):
            assert seen.setdefault(phrase, name) == name, phrase


def test_columns_are_known_in_every_language() -> None:
    for name in ("channel", "name", "gear", "phantom", "note"):
        assert set(RAW["columns"][name]) == set(LANGUAGES)


def test_what_may_be_two_things_names_them() -> None:
    things = trade_words().things
    for thing in things.values():
        assert set(thing.one_of) <= set(things)
        assert thing.way in {"mic", "di", "line", "ask"}
        assert thing.one_of or thing.sound or thing.socket or thing.group == "ambience"
        assert thing.way != "di" or (thing.socket and thing.di)


def test_traits_of_rules_are_spoken_of() -> None:
    """A rule whose trait no word brings could never count."""
    things = trade_words().things.values()
    about = {f"of-{each.id}" for each in things} | {f"of-{each.group}" for each in things}
    for rule in trade_words().rules:
        assert rule.needs <= set(RAW["traits"]) | about
    assert set(RAW["traits"]) >= MIC_TRAITS
