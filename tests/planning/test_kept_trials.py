"""Trials that are kept: within a budget, those asked for last."""

from __future__ import annotations

from dataclasses import dataclass, field

import pytest

from levelhead.gear.book import load_book
from levelhead.planning.check import check_show
from levelhead.planning.kept_trials import Budget, bytes_of
from levelhead.planning.trial import try_show
from levelhead.show.edits import Set
from tests.planning.test_properties import shipped


@dataclass(eq=False)
class Shelf:
    """Keeps names."""

    kept: list[str] = field(default_factory=list)

    def let_go(self, edits: str) -> None:
        self.kept.remove(edits)


def filled(budget: Budget, shelf: Shelf, count: int) -> None:
    for name in map(str, range(count)):
        shelf.kept.append(name)
        budget.hold(shelf, name, 10)


def test_the_one_asked_for_longest_ago_goes_first() -> None:
    budget, shelf = Budget(most_bytes=200), Shelf()
    filled(budget, shelf, 20)
    assert len(shelf.kept) == 20
    budget.asked(shelf, "0")
    shelf.kept.append("new")
    budget.hold(shelf, "new", 15)
    assert shelf.kept == ["0", *map(str, range(3, 20)), "new"]


def test_a_dozen_is_kept_however_large() -> None:
    budget, shelf = Budget(most_bytes=1), Shelf()
    filled(budget, shelf, 30)
    assert shelf.kept == list(map(str, range(18, 30)))


def test_what_nobody_holds_any_more_does_not_count() -> None:
    """Trials of a trial go with it."""
    budget, gone, shelf = Budget(most_bytes=200), Shelf(), Shelf()
    filled(budget, gone, 20)
    del gone
    filled(budget, shelf, 20)
    assert len(shelf.kept) == 20
    budget.forget(shelf)
    other = Shelf()
    filled(budget, other, 20)
    assert len(shelf.kept) == len(other.kept) == 20


def test_a_trial_that_was_let_go_is_solved_again_alike() -> None:
    trial = try_show(shipped("pub-duo.yaml"), load_book())
    edits = (Set("desk.ch1.gain", "20 dB"),)
    first = trial.after(edits)
    assert first is not None
    assert trial.after(edits) is first
    assert bytes_of(first.solution, trial.solution) == pytest.approx(71 * 10_000, rel=0.1)
    trial.let_go_all()
    assert not trial.has_tried(edits)
    again = trial.after(edits)
    assert again is not None
    assert again is not first
    assert [each.to_json() for each in again.judgement.findings] == [
        each.to_json() for each in first.judgement.findings
    ]


def test_a_check_keeps_none() -> None:
    assert not check_show(shipped("duo-in-a-pub.yaml"), load_book()).trial._kept
