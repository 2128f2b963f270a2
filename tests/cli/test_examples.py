"""The shows that come with levelhead: honest mistakes in one, none in the other."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from levelhead.gear.book import load_book
from levelhead.planning.check import check_show
from levelhead.show.document import load_show
from levelhead.show.edits import Plug, Set, Unplug, apply
from levelhead.show.model import Cable, Link
from levelhead.verdicts.told.severity import Severity

Levelhead = Callable[..., Any]

MISTAKES = {  # where each of them is seen, and how bad it is
    "harm": {"foyer.in"},
    "fails": {"vox-ines.out"},
    "care": {"desk.ch2.gain"},
}


def test_the_demo_has_its_mistakes(levelhead: Levelhead, village_hall: str) -> None:
    findings = levelhead("check", village_hall, "--json").json["findings"]
    for severity, places in MISTAKES.items():
        seen = {each["where"] for each in findings if each["severity"] == severity}
        assert places <= seen
    assert any(
        each["severity"] == "care" and each["where"].startswith(("desk.st1.", "laptop."))
        for each in findings
    )


@pytest.mark.parametrize("where", ["foyer.in", "vox-ines.out", "desk.ch2.gain"])
def test_each_mistake_has_a_remedy_that_was_tried(
    levelhead: Levelhead, village_hall: str, where: str
) -> None:
    findings = levelhead("check", village_hall, "--json").json["findings"]
    first = next(each for each in findings if each["where"] == where)
    assert first["remedies"][0]["verdict_after"] == "fine"


def test_the_laptop_at_a_quarter_has_a_remedy(levelhead: Levelhead, village_hall: str) -> None:
    findings = levelhead("check", village_hall, "--json").json["findings"]
    offered = [
        remedy["do"]
        for each in findings
        if each["where"].startswith(("desk.st1.", "laptop."))
        for remedy in each["remedies"]
    ]
    assert any("laptop.volume" in do for do in offered)


def test_the_demo_is_fit_to_go_on_once_its_four_mistakes_are_mended(village_hall: str) -> None:
    show = load_show(village_hall).show
    wrong = show.link_at("foyer.in")
    assert wrong is not None
    right = Link({"a": "amp-wedges.ch2.link", "b": "foyer.in"}, (Cable("cable-xlr", 20.0),))
    mended, _ = apply(
        show,
        [
            Unplug(wrong),
            Plug(right),
            Set("desk.phantom", "on"),
            Set("laptop.volume", "0 dB"),
            Set("desk.ch2.gain", "30 dB"),
        ],
    )
    check = check_show(mended, load_book())
    assert check.verdict is Severity.CARE
    assert {each.where.split(".")[0] for each in check.shown(include_fine=False)} == {"desk"}


def test_the_duo_has_nothing_that_fails(levelhead: Levelhead, duo: str) -> None:
    ran = levelhead("check", duo)
    assert ran.status == 0
    assert ran.out.startswith(("FINE", "CARE"))
    assert "levelhead paper" in ran.out


def test_the_demo_fits_about_one_screen(levelhead: Levelhead, village_hall: str) -> None:
    """24 lines of a small terminal, and the next step is the last thing one reads."""
    lines = levelhead("check", village_hall).out.splitlines()
    assert len(lines) <= 26
    assert lines[-1].startswith("Next ")
    assert "--all" in lines[1]
    assert sum(line.startswith("CAUTION") for line in lines) == 1
