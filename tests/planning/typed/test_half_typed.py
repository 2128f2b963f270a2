"""Words that are being typed: written out, offered with the conditions that stand beside them."""

from __future__ import annotations

import pytest

from levelhead.gear.book import load_book
from levelhead.planning.asked.answer import Question, answer
from levelhead.planning.typed.candidates import Side
from levelhead.planning.typed.half_typed import completed, offered

BOOK = load_book()


@pytest.mark.parametrize(
    ("text", "side", "whole"),
    [
        ("voc", "from", "vocal"),
        ("vocal condens", "from", "vocal condenser"),
        ("voc dyn", "from", "vocal dynamic"),
        ("lapt", "from", "laptop"),
        ("trum", "from", "trumpet"),
        ("condens 48 V on", "from", "condenser 48 V on"),
        ("mixer lin", "to", "mixer line"),
        ("powered sp", "to", "powered speaker"),
    ],
)
def test_a_word_that_was_begun_is_written_out(text: str, side: Side, whole: str) -> None:
    assert completed(BOOK, text, side) == whole


@pytest.mark.parametrize("text", ["vocal mic", "di", "mic 48 V on", "zither", "", "v"])
def test_a_word_that_says_something_or_nothing_stays(text: str) -> None:
    assert completed(BOOK, text, "from") == text


def test_a_pick_keeps_the_conditions_typed_with_it() -> None:
    """What stands in the list is what is asked: the switch as it was said, no longer the usual."""
    picked = offered(BOOK, "condenser mic 48 V on", "from")[0]
    assert picked.address == "mic-instrument-condenser.out 48 V on"
    assert picked.label.endswith(": output, 48 V on")
    given = answer(Question(picked.address, "mixer-compact.ch1.mic"), BOOK)
    assert [each.words for each in given.conditions] == ["48 V on"]
    assert given.from_address == "mic-instrument-condenser.out"
    assert not given.not_used


def test_a_pick_keeps_a_position_that_was_named() -> None:
    picked = next(
        each for each in offered(BOOK, "column speaker line", "to") if " line" in each.address
    )
    given = answer(Question("mixer-compact.main-left.out", picked.address), BOOK)
    assert given.trial.show.settings["loudspeaker-column.input"] == "line"


def test_a_strange_word_is_kept_and_told_as_not_used() -> None:
    picked = offered(BOOK, "vocal mic with wobble", "from")[0]
    assert picked.address == "mic-vocal-dynamic.out wobble"
    given = answer(Question(picked.address, "mixer-compact.ch1.mic"), BOOK)
    assert [each.words for each in given.not_used] == ["wobble"]


def test_a_sound_in_the_air_is_offered_before_gear_that_only_has_its_name() -> None:
    first = offered(BOOK, "drums", "from")[0]
    assert (first.address, first.label) == (
        "drums",
        "Drum kit with its cymbals, from above, by a microphone",
    )
