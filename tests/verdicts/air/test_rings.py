"""Feedback as a finding: both chances, on both sides, and remedies that were solved."""

from __future__ import annotations

import pytest

from levelhead.gear.book import load_book
from levelhead.planning.remedy.remedies import remedies_for
from levelhead.planning.trial import try_show
from levelhead.show.document import parse_show
from levelhead.verdicts.air.words import INSIDE, RINGS
from levelhead.verdicts.told.finding import Severity
from tests.verdicts.air.halls import CARE, FAILS, FINE, one, show_text

GAIN_DB = 55.0


def chances(level_db: float) -> tuple[float, float, Severity]:
    """Even odds, nineteen of twenty, and what is told. [dB]"""
    found = one(show_text(level_db=level_db, gain_db=GAIN_DB), RINGS)
    assert found is not None
    return float(found.why[0].value or 0), float(found.why[1].value or 0), found.severity


@pytest.fixture(scope="module")
def quiet() -> tuple[float, float, Severity]:
    """As it stands at -20 dB."""
    return chances(-20.0)


def test_a_decibel_of_level_is_a_decibel_of_margin(quiet: tuple[float, float, Severity]) -> None:
    louder = chances(-15.0)
    assert louder[0] == pytest.approx(quiet[0] - 5, abs=0.1)
    assert louder[1] == pytest.approx(quiet[1] - 5, abs=0.1)


@pytest.mark.parametrize(
    ("which", "side_db", "severity"),
    [(1, -0.2, FINE), (1, 0.2, CARE), (0, -0.2, CARE), (0, 0.2, FAILS)],
)
def test_it_turns_at_both_chances(
    quiet: tuple[float, float, Severity], which: int, side_db: float, severity: Severity
) -> None:
    """Just under and just over the gain at which one in twenty and one in two ring."""
    margin_db = float(quiet[which])  # type: ignore[arg-type]
    assert chances(-20.0 + margin_db + side_db)[2] is severity


def test_the_remedy_turns_it_down_and_was_solved(quiet: tuple[float, float, Severity]) -> None:
    """By no more than is missing and a step of a knob; and nobody falls silent."""
    level_db = -20.0 + float(quiet[0]) + 3
    trial = try_show(
        parse_show(show_text(level_db=level_db, gain_db=GAIN_DB), "t").show, load_book()
    )
    found = next(each for each in trial.judgement.findings if each.code == RINGS)
    assert found.severity is FAILS
    remedies = remedies_for(trial, found)
    assert remedies
    assert remedies[0].verdict_after is FINE
    after = trial.after(remedies[0].edits)
    assert after is not None
    told = next(each for each in after.judgement.findings if each.code == RINGS)
    assert told.severity is FINE
    assert 0 <= float(told.why[1].value or 0) <= 1.1


def test_a_microphone_inside_a_loudspeaker_is_told() -> None:
    """Both typed to one place: no margin of the loop means anything there."""
    found = one(show_text(box="at: [0, -2, 1.5], aim: [0, 9, 1.2]"), INSIDE)
    assert found is not None
    assert found.severity is FAILS
    assert "Microphone stands inside Box" in found.what
