"""A show in which nothing stands yet, and one in which nothing is plugged."""

from __future__ import annotations

import pytest

from levelhead.chain.solve import solve
from levelhead.gear.book import load_book
from levelhead.rig.build import build_rig
from levelhead.show.model import Item, Show
from levelhead.verdicts.judge import judge
from levelhead.verdicts.told.severity import Severity


@pytest.mark.parametrize(
    "show",
    [
        Show("Nothing yet"),
        Show("A cable drum on the floor", items={"di": Item("di", "di-passive")}),
    ],
    ids=lambda show: show.name,
)
def test_nothing_plugged_is_judged_without_a_complaint(show: Show) -> None:
    """People begin with an empty file, and press check."""
    judgement = judge(solve(build_rig(show, load_book())))
    assert judgement.verdict is Severity.FINE
