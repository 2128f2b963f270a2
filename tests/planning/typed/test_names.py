"""What people type, matched to gear."""

from __future__ import annotations

import pytest

from levelhead.planning.asked.little_rig import Question
from levelhead.planning.asked.reading import read_question
from levelhead.planning.typed import names
from levelhead.planning.typed.candidates import Side
from levelhead.planning.typed.names import find_candidates
from levelhead.planning.typed.words import plain_text, tokens
from tests.planning.asking import BOOK


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("the amp's speaker out", {"amplifier", "loudspeaker", "output"}),
        ("Mic into Desk", {"microphone", "mixer"}),
        ("", set()),
        ("-10 dBV source", {"-10", "dbv", "source"}),
    ],
)
def test_words_have_one_spelling(text: str, words: set[str]) -> None:
    assert tokens(text) == words


def test_words_that_need_no_respelling_are_those_that_keep_their_spelling() -> None:
    """With a sign behind it a phrase goes the long way."""
    phrases = {each.lower() for type_id in BOOK.ids for each in BOOK.sketch(type_id).phrases}
    asked = {"mini jack", "head phone jack", "loud speaker", "stereo mode", "amp in bridge"}
    asked |= {"sound desk", "mixing board", "pre amp", "quarter inch", "eighth inch", "jack jack"}
    for phrase in phrases | asked:
        assert f"{plain_text(phrase)} ;" == plain_text(f"{phrase} ;")


@pytest.mark.parametrize(
    ("text", "side", "address"),
    [
        ("amp speaker out", "from", "amplifier-two-channel.ch1.out"),
        ("loudspeaker output of the amplifier", "from", "amplifier-two-channel.ch1.out"),
        ("amp link", "from", "amplifier-two-channel.ch1.link"),
        ("laptop headphones", "from", "laptop.phones"),
        ("passive di", "from", "di-passive.out"),
        ("active di on battery", "from", "di-active.out"),
        ("powered speaker line input", "to", "loudspeaker-powered-12.in"),
        ("compact mixer mic", "to", "mixer-compact.ch1.mic"),
        ("stereo line input of compact mixer", "to", "mixer-compact.st1.in-left"),
        ("compact mixer line input with gain", "to", "mixer-compact.ch1.line"),
        ("line mixer", "to", "mixer-line-trims.ch1.line"),
        ("line input", "to", "mixer-compact.ch1.line"),
        ("mic in", "to", "mixer-compact.ch1.mic"),
        ("mic input with phantom", "to", "mixer-compact.ch1.mic"),
        ("recorder mic input with phantom", "to", "recorder-mic.ch1.mic"),
    ],
)
def test_the_usual_phrases_find_their_socket_first(text: str, side: Side, address: str) -> None:
    assert find_candidates(BOOK, text, side)[0].address == address


@pytest.mark.parametrize(
    ("text", "side", "settings"),
    [
        ("active di on battery", "from", {"battery": "fitted"}),
        ("active di on phantom only", "from", {"battery": "none"}),
        ("powered loudspeaker mic input", "to", {"input": "mic"}),
        ("powered loudspeaker line input", "to", {"input": "line"}),
        ("active di", "from", {}),
        ("mic input with phantom", "to", {"phantom": "on"}),
        ("mic input without phantom", "to", {"phantom": "off"}),
    ],
)
def test_positions_of_switches_are_heard(text: str, side: Side, settings: dict[str, str]) -> None:
    assert find_candidates(BOOK, text, side)[0].settings == settings


def test_only_outputs_give_and_only_inputs_take() -> None:
    gives = {each.address for each in find_candidates(BOOK, "amplifier", "from")}
    takes = {each.address for each in find_candidates(BOOK, "amplifier", "to")}
    assert "amplifier-two-channel.ch1.in" in takes - gives
    assert "amplifier-two-channel.ch1.out" in gives - takes


def test_words_that_mean_nothing_here_find_nothing() -> None:
    assert find_candidates(BOOK, "zither", "from") == []
    assert find_candidates(BOOK, "", "to") == []


def test_equal_channels_are_one_candidate() -> None:
    found = [each.address for each in find_candidates(BOOK, "compact mixer mic", "to")]
    assert len([each for each in found if each.startswith("mixer-compact.ch")]) == len(
        {each.rpartition(".")[2] for each in found if each.startswith("mixer-compact.ch")}
    )


def test_an_address_means_just_that_socket() -> None:
    """What a page sends back after somebody picked it from the list."""
    found = find_candidates(BOOK, "vocal mic", "from")
    for each in found:
        assert [one.address for one in find_candidates(BOOK, each.address, "from")] == [
            each.address
        ]
    assert find_candidates(BOOK, "mixer-compact.ch3.mic", "to")[0].port == "ch3.mic"
    assert find_candidates(BOOK, "mic-vocal-dynamic.cable", "to") == []


def test_an_output_that_is_named_is_no_input() -> None:
    """Who asks into an output is told so, and gets no answer about another socket."""
    assert find_candidates(BOOK, "amp speaker out", "to")[0].port == "ch1.out"
    assert find_candidates(BOOK, "compact mixer", "to")[0].port != "main-left.out"


def test_a_type_means_its_own_sockets() -> None:
    assert {each.type_id for each in find_candidates(BOOK, "di-active", "from")} == {"di-active"}


def test_a_question_walks_the_book_once_for_each_text_and_side() -> None:
    """Ten matches of two texts, read both ways round, were ten walks over the gear book."""
    names._matched.cache_clear()
    read_question(BOOK, Question("headphones", "desk"))
    kept = names._matched.cache_info()
    assert kept.misses == 4
    assert kept.hits >= 4


def test_what_was_matched_is_not_changed_by_who_asked() -> None:
    first = names.matched(BOOK, "desk", "to")
    first.clear()
    assert names.matched(BOOK, "desk", "to")
