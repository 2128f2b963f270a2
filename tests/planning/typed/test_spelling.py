"""Slips of the finger: what is nearly a word of the book is read as that word, and said back."""

from __future__ import annotations

import pytest

from levelhead.gear.book import load_book
from levelhead.planning.asked.little_rig import Question
from levelhead.planning.asked.reading import read_question
from levelhead.planning.typed.spelling import respelt
from levelhead.planning.typed.words import plain_text, plain_texts


@pytest.mark.parametrize(
    ("typed", "read"),
    [
        ("condensor mic", "condenser mic"),
        ("labtop headfones", "laptop headphones"),
        ("turntabel", "turntable"),
        ("wierless reciever", "wireless receiver"),
        ("powerd speeker", "powered speaker"),
        ("Accoustic guitar", "acoustic guitar"),
        ("chior", "choir"),
        ("phantum off", "phantom off"),
        ("computer soundcard", "computer sound card"),
    ],
)
def test_a_slip_is_read_as_the_word_that_was_meant(typed: str, read: str) -> None:
    assert respelt(load_book(), typed)[0] == read


@pytest.mark.parametrize(
    "typed",
    [
        "guitar straight into stagebox",
        "teachers laptop",
        "singer talkback",
        "theremin",
        "amp speaker out",
        "desk.ch1.mic",
        "mic-vocal-dynamic",
        "keyboards turned all the way up",
        "two 8 ohm speakers over 30 m of thin speaker cable",
    ],
)
def test_what_is_known_or_near_nothing_stays_as_it_was_typed(typed: str) -> None:
    assert respelt(load_book(), typed) == (typed, ())


def test_words_of_the_show_are_no_slips() -> None:
    assert respelt(load_book(), "lectren", ["Lectren"]) == ("lectren", ())


def test_every_word_of_the_book_is_its_own_spelling() -> None:
    book = load_book()
    for type_id in book.ids:
        for phrase in book.sketch(type_id).phrases:
            assert respelt(book, phrase) == (phrase, ()), phrase


def test_a_condenser_misspelt_is_a_condenser_and_is_said_back() -> None:
    """It was answered for a dynamic microphone, without phantom power: fine."""
    asked = read_question(load_book(), Question("condensor mic", "mixer mic input"))
    assert "condenser" in asked.first[0].type_id
    assert [str(each) for each in asked.heard] == ["condensor: read as condenser"]


def test_a_connector_said_with_an_input_stands_for_that_of_a_desk() -> None:
    asked = read_question(load_book(), Question("laptop headphones", "xlr mic input"))
    assert asked.second[0].type_id.startswith("mixer-")


def test_many_texts_are_spelled_as_one_by_one() -> None:
    """No rule reaches from one text into the next, whatever stands at their ends."""
    texts = [*load_book().texts(), "jack", "jack", "d.i.", "in", "bridged", "4", "ohm", "", "A\0B"]
    texts += ["turn", "table", "sound", "desk", "mini", "jack lead", "1/4", "in."]
    assert plain_texts(texts) == {each: plain_text(each.replace("\0", " ")) for each in texts}
