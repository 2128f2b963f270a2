"""Lists of our own invention: every row right or asked about, none silently wrong."""

from __future__ import annotations

from pathlib import Path

import pytest

from levelhead.exchange.lists import list_show, plan_list
from levelhead.gear.book import load_book
from levelhead.rig.build import build_rig
from levelhead.show.document import new_document
from tests.lists.counting import LISTS, counts_of, expected_of, read_of


def test_there_are_thirty_two() -> None:
    assert len(LISTS) == 32


@pytest.mark.parametrize("path", LISTS, ids=lambda path: path.name)
def test_every_row_is_right_or_asked_about(path: Path) -> None:
    assert counts_of(path).wrong == ()


@pytest.mark.parametrize("path", LISTS, ids=lambda path: path.name)
def test_what_nobody_can_tell_is_asked(path: Path) -> None:
    """Rows that the person marked with ``ask`` have an open question."""
    rows = zip(expected_of(path)["channels"], read_of(path).channels, strict=True)
    assert [row for row, channel in rows if row[1] == "ask" and not channel.open] == []


@pytest.mark.parametrize("path", LISTS, ids=lambda path: path.name)
def test_every_list_makes_a_show_that_is_sound(path: Path) -> None:
    """It can be written, read back and resolved; every row that is built is plugged."""
    read = read_of(path)
    plan = plan_list(read)
    show = list_show(read, plan)
    assert new_document(show, "show.yaml").show == show
    rig = build_rig(show, load_book())
    inputs = [at for port in rig.ports.values() if (at := port.address).startswith("desk.")]
    plugged = sum(rig.ports[at].link is not None for at in inputs)
    built = [each for each in read.channels if each.is_understood and not each.is_spare]
    assert plugged == sum(channel.count for channel in built) - sum(
        channel.count for channel in plan.left if channel in built
    )
