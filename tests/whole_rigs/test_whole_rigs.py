"""Rigs of a second hand: the verdict that an engineer expects, or the reason why it is another."""

from __future__ import annotations

import pytest

from levelhead.verdicts.told.severity import Severity
from tests.whole_rigs.judged import RIGS, expected, is_accepted, told

BAD = frozenset({Severity.FAILS, Severity.HARM})


@pytest.mark.parametrize("name", RIGS)
def test_it_is_told_as_an_engineer_would_or_it_is_said_why_not(name: str) -> None:
    assert is_accepted(name) is ("differs" not in RIGS[name]), f"told as {told(name).value}"


@pytest.mark.parametrize("name", RIGS)
def test_no_harm_is_missed_and_nothing_sound_fails(name: str) -> None:
    if not is_accepted(name):
        assert expected(name) is not Severity.HARM
        assert (told(name) in BAD) <= (expected(name) in BAD)
