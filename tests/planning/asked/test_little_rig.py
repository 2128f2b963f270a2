"""The small show behind one question."""

from __future__ import annotations

import pytest

from levelhead.errors import AskError, LevelheadError
from levelhead.planning.asked.answer import Answer, Question, answer
from tests.planning.asking import BOOK, asked, point


def asked_at(from_text: str, to_text: str, at: str) -> Answer:
    return answer(Question(from_text, to_text, at=at), BOOK)


@pytest.mark.parametrize(("at", "level"), [("+4 dBu", 4.0), ("-10 dBV", -7.78), ("0.5 V", -3.8)])
def test_a_level_goes_into_an_item_that_passes_it_on(at: str, level: float) -> None:
    told = asked_at("passive di", "line mixer", at)
    assert point(told, "di-passive.in").nominal == pytest.approx(level, abs=0.05)


def test_a_level_is_that_of_an_item_that_makes_it() -> None:
    told = asked_at("keyboard", "compact mixer line input with gain", "0 dBu")
    assert point(told, ".volume-left").nominal == pytest.approx(0.0, abs=0.02)


def test_a_level_is_heard_by_a_microphone() -> None:
    told = asked_at("dynamic vocal mic", "compact mixer mic", "100 dB SPL")
    assert told.levels[0].nominal == pytest.approx(100.0, abs=0.01)


def test_a_digital_player_takes_a_digital_level_only() -> None:
    told = asked_at("laptop", "stereo line input of compact mixer", "-20 dBFS")
    assert told.levels[0].nominal == pytest.approx(-20.0)
    with pytest.raises(AskError, match=r"'\+4 dBu' is no level of a digital player.*dBFS"):
        asked_at("laptop", "stereo line input of compact mixer", "+4 dBu")


def test_without_a_level_a_line_feed_stands_before_what_passes_it_on() -> None:
    told = asked("amp link output", "powered loudspeaker line input")
    assert told.levels[0].nominal == pytest.approx(4.0, abs=0.01)


def test_a_cable_that_was_named_is_taken_with_its_length() -> None:
    question = Question(
        "passive di", "compact mixer mic", cable="cable-xlr", length_m=50.0, at="+4 dBu"
    )
    cable = answer(question, BOOK).cable
    assert cable is not None
    assert (cable.type, cable.length_m) == ("cable-xlr", 50.0)


def test_a_cable_that_does_not_fit_fails() -> None:
    told = answer(Question("passive di", "compact mixer mic", cable="cable-jack"), BOOK)
    assert told.verdict.value == "fails"
    assert "does not go into" in told.why
    assert told.cable is None


def test_an_unknown_cable_is_refused() -> None:
    with pytest.raises(LevelheadError, match=r"cable-xrl.*Did you mean 'cable-xlr'"):
        answer(Question("passive di", "compact mixer mic", cable="cable-xrl"), BOOK)


def test_two_of_a_kind_are_two_items() -> None:
    told = asked("compact mixer main out", "compact mixer line input with gain")
    assert told.from_address.partition(".")[0] != told.to_address.partition(".")[0]
