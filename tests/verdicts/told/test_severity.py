"""Four words, in order."""

from __future__ import annotations

import pytest

from levelhead.verdicts.told.severity import Severity, worst


def test_they_rank_from_fine_to_harm() -> None:
    ranked = sorted(Severity, key=lambda severity: severity.rank)
    assert [severity.value for severity in ranked] == ["fine", "care", "fails", "harm"]


@pytest.mark.parametrize("severity", list(Severity))
def test_the_worst_of_one_and_fine_is_that_one(severity: Severity) -> None:
    assert worst([Severity.FINE, severity]) is severity


def test_the_worst_of_nothing_is_fine() -> None:
    assert worst(iter(())) is Severity.FINE
