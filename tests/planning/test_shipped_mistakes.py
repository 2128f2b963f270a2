"""Each example opens with one honest mistake, and is well once its remedy is applied."""

from __future__ import annotations

from functools import cache
from typing import Final

import pytest

from levelhead.gear.book import load_book
from levelhead.planning.check import Check, check_show
from levelhead.show.edits import Edit, apply
from levelhead.show.shipped import shipped_example, shipped_examples
from levelhead.verdicts.told.finding import Finding
from levelhead.verdicts.told.severity import Severity

# A mistake of a family of its own each, and where it shows.
MISTAKES: Final = {
    "guitar-and-bass-in-a-pub": ("wiring.battery", "bass-tom.out"),  # a three-pole jack lead
    "church-with-band": ("routing.loop", "desk.aux4.sum"),  # the reverb goes into itself
    "conference": ("phantom.missing", "chair.out"),
    "school-play": ("enough.too-low", "desk.ch4.line"),  # a receiver left at mic level
    "wedding": ("loudspeaker.excursion", "top-right.in"),  # full range into a small top
    "outdoor-stage": ("amplifier.load", "amp-wedges.ch1.out"),  # three wedges on one channel
}
OTHERS: Final = {"duo-in-a-pub", "village-hall"}  # none, and four: tests/planning/test_check.py
MOST_CARES: Final = 2
BAD: Final = frozenset({Severity.FAILS, Severity.HARM})


@cache
def checked(name: str, edits: tuple[Edit, ...] = ()) -> Check:
    show, _ = apply(shipped_example(name).document.show, list(edits))
    return check_show(show, load_book(), None)


def worse_than(check: Check, severities: frozenset[Severity]) -> list[Finding]:
    return [each for each in check.shown(include_fine=False) if each.severity in severities]


def test_every_example_is_told_about() -> None:
    assert {each.name for each in shipped_examples()} == MISTAKES.keys() | OTHERS
    assert len({code.partition(".")[0] for code, _ in MISTAKES.values()}) == len(MISTAKES)


@pytest.mark.parametrize("name", MISTAKES)
def test_an_example_shows_one_mistake_with_a_remedy_that_makes_it_fine(name: str) -> None:
    check = checked(name)
    (mistake,) = worse_than(check, BAD)
    assert (mistake.code, mistake.where) == MISTAKES[name]
    assert mistake.remedies[0].verdict_after is Severity.FINE
    assert len(worse_than(check, frozenset({Severity.CARE}))) <= MOST_CARES


@pytest.mark.parametrize("name", MISTAKES)
def test_the_first_remedy_leaves_nothing_that_fails_or_harms(name: str) -> None:
    (mistake,) = worse_than(checked(name), BAD)
    after = checked(name, mistake.remedies[0].edits)
    assert after.verdict not in BAD
    assert worse_than(after, frozenset({Severity.CARE})) == []
