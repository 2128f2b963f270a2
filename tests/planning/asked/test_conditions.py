"""Conditions among the words of a question. Figures are worked out here, from the definitions."""

from __future__ import annotations

import math

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from levelhead.errors import AskError
from levelhead.planning.asked.answer import Answer, Question, answer
from levelhead.planning.asked.reading import read_question
from levelhead.planning.typed.conditions import read_text
from levelhead.verdicts.told.severity import Severity
from tests.planning.asking import BOOK, asked, point, remedies

FOOT_M = 0.3048  # the international foot of 1959


def said(told: Answer) -> list[str]:
    return [str(each) for each in told.conditions]


@pytest.mark.parametrize(
    ("text", "rest", "kind", "value"),
    [
        ("condenser mic with 48 V on", "condenser mic", "phantom", "on"),
        ("desk mic input, phantom off", "desk mic input", "phantom", "off"),
        ("mixer mic in without 48V", "mixer mic in", "phantom", "off"),
        ("mixer, no phantom power", "mixer", "phantom", "off"),
        ("DI box with pad in", "di box", "pad", "on"),
        ("desk, pad out", "desk", "pad", "off"),
        ("4 ohm loudspeaker", "loudspeaker", "ohm", 4.0),
        ("8Ω cab", "cab", "ohm", 8.0),
        ("amp at 100 W", "amp", "watt", 100.0),
        ("vocal mic with 30 m cable", "vocal mic", "length", 30.0),
        ("vocal mic with a 100 ft xlr cable", "vocal mic", "length", 100 * FOOT_M),
        ("keyboard turned all the way up", "keyboard", "volume", 1.0),
        ("laptop at half volume", "laptop", "volume", 0.5),
        ("desk with gain fully down", "desk", "gain", 0.0),
        ("mic at 120 dB SPL", "mic", "level", "120 dB SPL"),
        ("phone with an aux cable", "phone", "cable", "aux cable"),
        ("keyboard via passive DI", "keyboard", "through", "passive di"),
        ("two 8 ohm speakers", "speakers", "count", 2.0),
        ("keys L/R", "keys", "sides", ""),
    ],
)
def test_a_condition_is_taken_out_of_the_words(
    text: str, rest: str, kind: str, value: str | float
) -> None:
    read = read_text(text)
    (found,) = (each for each in read.conditions if each.kind == kind)
    assert read.rest == rest
    assert value in {found.text, found.value}


@pytest.mark.parametrize(
    "text",
    ["pad-20", "100 V line", "10 W tap loudspeaker", "-10 dBV source", "10 megohm DI",
     "active DI on phantom only", "phantom to plug-in power adaptor", "+4 dBu source"],
)  # fmt: skip
def test_names_of_gear_are_no_conditions(text: str) -> None:
    assert read_text(text).conditions == ()


def test_ids_of_gear_are_left_as_they_are() -> None:
    """What a page sends back: a type, or a type and its socket."""
    for each in BOOK.ids:
        for text in (each, f"{each}.out"):
            assert (read_text(text).rest, read_text(text).conditions) == (text, ())


def test_ohms_are_those_of_the_loudspeaker() -> None:
    """Into half of the ohms goes twice the current; the volts stay, so power rises by 3.01 dB."""
    eight, four = (asked("amp", f"{ohm} ohm passive speaker") for ohm in (8, 4))
    assert point(four, "passive-12.in").nominal == pytest.approx(
        point(eight, "passive-12.in").nominal, abs=0.2
    )
    assert four.trial.show.items["loudspeaker-passive-12"].figures["in.impedance"] == "4 ohm"
    assert eight.trial.show.items["loudspeaker-passive-12"].figures == {}


def test_watts_are_held_against_the_load() -> None:
    """A sine of 100 W in 8 ohm has the root of 800 V squared; one of 50 W of rating, of 400."""
    told = asked("amp at 100 W", "50 W 8 ohm passive speaker")
    items = told.trial.show.items
    ceiling = items["amplifier-two-channel"].figures["ch.power.ceiling"]
    assert float(ceiling.split()[0]) == pytest.approx(math.sqrt(800), rel=1e-3)
    rating = items["loudspeaker-passive-12"].figures["in.long-term-rating"]
    assert float(rating.split()[0]) == pytest.approx(math.sqrt(400), rel=1e-3)


def test_loudspeakers_side_by_side_are_one_load() -> None:
    """Four of 8 ohm are 2 ohm, less than the 4 ohm that the amplifier is made for."""
    told = asked("amp", "four 8 ohm passive speakers")
    assert any("2 ohm" in each.what or "2.0 ohm" in each.what for each in told.findings)


def test_a_turned_up_volume_stays_there() -> None:
    told = asked("keyboard turned all the way up", "desk line in")
    assert told.trial.show.settings["keyboard-stereo.volume"] == "0 dB"
    assert any("fully up" in each for each in said(told))


def test_a_box_stands_between() -> None:
    """A transformer of 12 to 1 takes 21.6 dB."""
    told = asked("keyboard via passive DI", "desk mic input")
    fall = point(told, "out-left").nominal - point(told, "di-passive-1.out").nominal
    assert fall == pytest.approx(20 * math.log10(12), abs=0.5)


def test_both_sides_get_a_way_each() -> None:
    """Common practice: two outputs on one wire drive one another; two boxes, or a stereo one."""
    told = asked("keys L/R", "one DI")
    assert told.verdict is Severity.FAILS
    assert any("keyboard-stereo.out-right" in each.do for each in remedies(told))
    other = asked("keyboard L/R", "desk mic input")
    assert [each.words for each in other.not_used] == ["L/R"]


def test_what_is_set_beside_the_words_counts() -> None:
    """A switch moved by hand outranks a word for it, and the word is said to change nothing."""
    question = Question(
        "condenser mic", "desk mic input, phantom on", settings={"mixer-compact.phantom": "off"}
    )
    told = answer(question, BOOK)
    assert told.verdict is Severity.FAILS
    assert told.conditions == ()
    assert [each.words for each in told.not_used] == ["phantom on"]


@pytest.mark.parametrize("cable", ["multicore", "snake", "multicore-16-4"])
def test_a_multicore_is_no_cable_but_goes_between(cable: str) -> None:
    told = answer(Question("vocal mic", "desk mic input", cable=cable), BOOK)
    assert any("Multicore" in each for each in said(told))
    assert told.cable is None or told.cable.type != cable


@pytest.mark.parametrize("cable", ["garden hose", "cable-nonsense"])
def test_a_cable_that_nobody_knows_is_refused(cable: str) -> None:
    with pytest.raises(AskError, match="gear --kind cable"):
        answer(Question("vocal mic", "desk mic input", cable=cable), BOOK)


def test_gear_by_its_id_with_words_for_its_socket() -> None:
    read = read_question(BOOK, Question("mic-vocal-dynamic", "mixer-compact mic"))
    assert (read.first[0].address, read.second[0].address) == (
        "mic-vocal-dynamic.out", "mixer-compact.ch1.mic",
    )  # fmt: skip


STRANGE = st.text(alphabet="bcdfghjkqvxz", min_size=5, max_size=9)


@settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(word=STRANGE, place=st.integers(0, 2), side=st.integers(0, 1))
def test_no_word_is_dropped_in_silence(word: str, place: int, side: int) -> None:
    """A word that nobody knows is told, or the question is refused."""
    texts = [["compact", "mixer"], ["mic", "input", "with", "phantom"]]
    first, second = ["vocal", "mic"], texts[side]
    (second if side else first).insert(place, word)
    try:
        read = read_question(BOOK, Question(" ".join(first), " ".join(second)))
    except AskError:
        return
    assert word in [each.words for each in read.not_used(read.second[0])]
