"""How an answer is arranged."""

from __future__ import annotations

from typing import Any

import pytest

from levelhead.web.views.answer import NOTHING_TO_SAY, AnswerView
from tests.web.fake_asker import ANSWERS, DI_FAILS, MIC_FINE, finding

BARE: dict[str, Any] = {"verdict": "fine", "from": "a.out", "to": "b.in"}


def view(answer: dict[str, Any], **more: Any) -> AnswerView:
    return AnswerView.from_json({"from": "a.out", "to": "b.in", **answer, **more})


@pytest.mark.parametrize("source", ANSWERS)
def test_ready_answers_can_be_arranged(source: str) -> None:
    assert view(ANSWERS[source]).verdict == ANSWERS[source]["verdict"]


def test_an_answer_without_findings_says_so() -> None:
    arranged = view(BARE)
    assert arranged.why == NOTHING_TO_SAY
    assert (arranged.gain, arranged.cable, arranged.pictures) == (None, None, ())


def test_the_worst_finding_comes_first_and_gives_the_reason() -> None:
    found = [
        finding("a.b", severity, "x", severity) for severity in ("care", "fine", "harm", "fails")
    ]
    arranged = view({**BARE, "findings": found})
    assert [f.severity for f in arranged.findings] == ["harm", "fails", "care", "fine"]
    assert arranged.why == "harm"


def test_a_severity_that_we_do_not_know_is_never_taken_for_fine() -> None:
    arranged = view({**BARE, "verdict": "odd", "findings": [finding("a.b", "odd", "x", "odd")]})
    assert arranged.mark.word == "Depends"


def test_remedies_keep_their_rank_and_come_once() -> None:
    twice = {**DI_FAILS, "findings": [*DI_FAILS["findings"], *DI_FAILS["findings"]]}
    does = [remedy.do for remedy in view(twice).remedies]
    assert does == [remedy["do"] for remedy in DI_FAILS["findings"][0]["remedies"]]


def test_figures_carry_their_units() -> None:
    arranged = view(DI_FAILS)
    entries = {entry.name: (entry.value, entry.limit) for entry in arranged.findings[0].why}
    assert entries == {
        "nominal at the input": ("−17.6 dBu", "0.0 dBu"),
        "input impedance": ("20 kohm", ""),
    }
    assert arranged.findings[0].margin == "−17.6 dB"


def test_the_knob_is_said_and_drawn() -> None:
    gain = view(MIC_FINE).gain
    assert gain is not None
    assert (gain.set, gain.range) == ("32.0 dB", "26.0 dB to 42.0 dB")
    assert gain.place == "half past 1 (64 % of its travel)"
    assert gain.picture is not None


def test_a_control_without_a_place_is_said_only() -> None:
    gain = view({**MIC_FINE, "gain": {"control": "x.gain", "set": 20, "unit": "dB"}}).gain
    assert gain is not None
    assert (gain.place, gain.range, gain.picture) == ("", "", None)


def test_branches_show_the_verdict_of_each_way() -> None:
    (branch,) = view(ANSWERS["media-player.out"]).depends_on
    assert branch.ways == (("stereo", "fails"), ("balanced", "fine"))


def test_cautions_come_from_findings_each_once() -> None:
    found = [finding("a.b", "harm", "x", "y", caution="Mind.")] * 2
    assert view({**BARE, "findings": found}).cautions == ("Mind.",)


def test_the_planners_own_reason_comes_first() -> None:
    assert view({**DI_FAILS, "why": "Because."}).why == "Because."


def test_levels_may_come_with_their_paths() -> None:
    points = MIC_FINE["levels"]
    assert view({**BARE, "levels": {"points": points, "paths": []}}) == view(
        {**BARE, "levels": points}
    )


def test_silence_and_no_ceiling_are_said() -> None:
    rows = view(ANSWERS["media-player.out"]).levels
    assert (rows[1].room, rows[1].figures[:2]) == ("silent", ("–", "–"))
    assert view(MIC_FINE).levels[0].room == "no ceiling here"
