"""What somebody sees who types something that does not exist."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

Levelhead = Callable[..., Any]


def test_without_a_command_the_help_is_shown(levelhead: Levelhead) -> None:
    ran = levelhead()
    assert (ran.status, ran.out) == (2, "")
    assert "Sheets for the crew" in ran.err


@pytest.mark.parametrize(
    ("typed", "meant"), [("chek", "check"), ("papers", "paper"), ("imprt", "import")]
)
def test_a_command_that_does_not_exist_has_a_neighbour(
    levelhead: Levelhead, typed: str, meant: str
) -> None:
    ran = levelhead(typed, "hall.yaml")
    assert ran.status == 2
    assert f"no command '{typed}', did you mean {meant}?" in " ".join(ran.err.split())


def test_a_sheet_that_does_not_exist_has_a_neighbour(levelhead: Levelhead, duo: str) -> None:
    ran = levelhead("paper", duo, "-o", "x.pdf", "--sheet", "start_up")
    assert ran.status == 2
    assert "Did you mean 'start-up'?" in ran.err


@pytest.mark.parametrize(
    "typed", [["chek"], ["check"], ["paper", "x", "--page", "legal"], ["import"], ["ask"]]
)
def test_words_about_a_wrong_use_fit_80_columns(levelhead: Levelhead, typed: list[str]) -> None:
    ran = levelhead(*typed)
    assert ran.status == 2
    assert [line for line in ran.err.splitlines() if len(line) > 80] == []
