"""What an answer holds: its form, its cost, its words, what else was meant."""

from __future__ import annotations

from typing import Final

import pytest

from levelhead.errors import AskError
from levelhead.planning.asked import answer as asking
from levelhead.planning.asked.answer import Question, answer
from levelhead.verdicts.told.severity import Severity
from tests.planning.asking import BOOK, PLUS_4, asked

QUESTIONS: Final = [
    ("amp speaker out", "powered loudspeaker line input", None),
    ("laptop headphones", "stereo line input of compact mixer", None),
    ("active di", "compact mixer mic", PLUS_4),
    ("passive di", "stereo line input of compact mixer", PLUS_4),
    ("media player", "line mixer", None),
]


@pytest.mark.parametrize("question", QUESTIONS, ids=lambda each: each[0])
def test_json_has_every_field_of_the_frozen_form(question: tuple[str, str, str | None]) -> None:
    told = asked(*question).to_json()
    assert set(told) == {
        "from", "to", "verdict", "why", "depends_on", "cable", "gain", "levels", "findings",
        "links", "cautions", "notes", "others", "conditions", "not_used",
    }  # fmt: skip
    assert set(told["cable"]) == {"type", "label", "length_m", "pins"}
    assert told["links"]
    assert all(set(each) == {"from", "to", "verdict"} for each in told["links"])
    for levels in told["levels"]:
        assert set(levels) == {"at", "unit", "nominal", "peak", "ceiling", "floor", "headroom"}


@pytest.mark.parametrize("question", QUESTIONS, ids=lambda each: each[0])
def test_an_answer_costs_few_solves(
    question: tuple[str, str, str | None], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Some 2 ms each: an answer stays under a tenth of a second."""
    solves = []
    solve = asking.try_show.__globals__["solve"]
    monkeypatch.setitem(
        asking.try_show.__globals__, "solve", lambda *given: solves.append(1) or solve(*given)
    )
    from_text, to_text, at = question
    answer(Question(from_text, to_text, at=at), BOOK)
    assert 1 <= len(solves) <= 30


@pytest.mark.parametrize("question", QUESTIONS, ids=lambda each: each[0])
def test_what_is_read_names_things_by_their_words(question: tuple[str, str, str | None]) -> None:
    """Addresses are for ``where`` and remedies; sentences and doubts are for people."""
    told = asked(*question)
    for each in told.findings:
        assert not any(port in each.what for port in told.trial.solution.rig.ports)
        assert all("." not in flip.input for flip in each.flips)


def test_nothing_that_fits_is_refused_with_a_way_out() -> None:
    with pytest.raises(AskError, match=r"nothing in the gear book fits 'zither'.*gear --search"):
        asked("zither", "compact mixer mic")


def test_other_readings_are_named() -> None:
    others = asked("media player", "stereo line input of compact mixer").others
    assert any("out-right" in other for other in others)


def test_a_capsule_on_plug_in_power_is_fine() -> None:
    """A two-pole plug holds the right channel to ground: that is no signal too low."""
    told = asked("plug-in power lavalier", "pocket recorder mic")
    assert told.verdict is Severity.FINE


def test_a_line_amplifier_on_a_ceiling_loudspeaker_is_fine() -> None:
    assert asked("100 V amplifier", "100 V ceiling speaker").verdict is Severity.FINE


def test_a_headphone_output_plays_what_the_mixer_hears() -> None:
    """The stereo jack goes into the pair by a Y lead, and the picture runs to the recorder."""
    told = asked("analogue mixer headphone output", "recorder line input left")
    assert told.verdict is Severity.FINE
    assert told.cable is not None
    assert told.cable.type == "lead-stereo-two-phonos"
    assert told.levels[-1].at == "recorder-line.converter-left"


def test_a_level_behind_another_gain_is_set_for_what_then_comes() -> None:
    """The recording level is planned again once the mixer's gain stands: -16 dBFS at the meter.

    A stage before that control (its input) limits no setting of it.
    """
    told = asked("analogue mixer headphone output", "recorder line input left")
    assert told.levels[-1].nominal == pytest.approx(-16.0, abs=0.1)
    assert told.gain is not None
    assert told.gain.low < told.gain.set < told.gain.high


def test_what_else_was_meant_shows_both_sides_first() -> None:
    giver, taker, *_ = asked("di box", "mixer line input").others
    assert giver.startswith("DI box")
    assert "ixer" in taker
