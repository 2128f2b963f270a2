"""Alike findings are told once."""

from __future__ import annotations

from dataclasses import replace

from levelhead.show.edits import Set
from levelhead.verdicts.told.finding import Finding, Remedy
from levelhead.verdicts.told.folding import folded
from levelhead.verdicts.told.limit_state import LimitState
from levelhead.verdicts.told.severity import Severity

BATTERY = Remedy("Set desk.phantom", (Set("desk.phantom", "on"),), Severity.FINE)


def at(
    where: str,
    code: str = "enough.too-low",
    *remedies: Remedy,
    fails: bool = False,
    margin_db: float | None = None,
) -> Finding:
    return Finding(
        code=code,
        severity=Severity.FAILS if fails else Severity.CARE,
        where=where,
        what="",
        why=(),
        source="",
        basis="",
        remedies=remedies,
        state=None if margin_db is None else LimitState(margin_db, "dB"),
    )


def groups(*findings: Finding) -> list[tuple[str, ...]]:
    return [group.places for group in folded(findings)]


def test_left_and_right_fold() -> None:
    assert groups(at("desk.st1.in-left"), at("desk.st1.in-right")) == [
        ("desk.st1.in-left", "desk.st1.in-right")
    ]


def test_like_sockets_of_one_item_fold() -> None:
    """Phantom missing on channels 3 to 6."""
    places = tuple(f"desk.ch{number}.mic" for number in range(3, 7))
    assert groups(*(at(place) for place in places)) == [places]


def test_what_one_and_the_same_remedy_mends_folds() -> None:
    """Three microphones, one switch."""
    found = [at(f"mic-{name}.out", "phantom.missing", BATTERY) for name in ("a", "b", "c")]
    assert len(groups(*found)) == 1


def test_counted_items_fold_and_named_ones_do_not() -> None:
    assert len(groups(at("pair-1.driver-left"), at("pair-2.driver-left"))) == 1
    assert len(groups(at("anna.driver-left"), at("bert.driver-left"))) == 2


def test_cares_of_named_items_of_one_type_fold() -> None:
    """Anna's and Ben's microphone, near its ceiling: one story. What fails is told of each."""
    types = {"anna": "mic", "ben": "mic", "desk": "mixer"}
    near = [at(f"{name}.capsule", margin_db=2.0) for name in types]
    assert [each.places for each in folded(near, types)] == [
        ("anna.capsule", "ben.capsule"),
        ("desk.capsule",),
    ]
    assert len(folded([at("anna.out", margin_db=0.5), at("ben.out", margin_db=4.0)], types)) == 2
    assert len(folded([at("anna.out", fails=True), at("ben.out", fails=True)], types)) == 2


def test_two_outputs_that_are_joined_are_told_once() -> None:
    """Each drives the other: one lead, one story."""
    one, other = (at(place, "loading.joined") for place in ("desk.main.out", "spare.main.out"))
    ends = ("desk.main.out", "spare.main.out")
    assert len(groups(replace(one, ports=ends), replace(other, ports=ends[::-1]))) == 1
    assert len(groups(replace(one, ports=ends), replace(other, ports=("spare.main.out",)))) == 2


def test_other_codes_severities_items_and_sockets_stay_apart() -> None:
    told = groups(
        at("desk.ch1.mic"),
        at("desk.ch1.line"),
        at("desk.ch2.mic", "enough.too-high"),
        at("desk.ch3.mic", fails=True),
        at("other.ch1.mic"),
    )
    assert len(told) == 5


def test_like_sockets_with_other_numbers_are_told_apart() -> None:
    near, far = at("desk.st1.in-left", margin_db=-2.0), at("desk.st2.in-left", margin_db=-20.0)
    assert len(groups(near, far)) == 2
    assert len(groups(far, at("desk.st1.in-left"))) == 2
    assert len(groups(near, at("desk.st2.in-left", margin_db=-2.5))) == 1


def test_the_order_of_the_first_of_each_is_kept() -> None:
    told = groups(at("b.ch1.mic"), at("a.ch1.mic"), at("b.ch2.mic"))
    assert told == [("b.ch1.mic", "b.ch2.mic"), ("a.ch1.mic",)]


def test_nothing_folds_to_nothing() -> None:
    assert folded([]) == ()


def test_two_stories_of_one_place_stay_apart_and_one_is_told_once() -> None:
    """The right side of each of two players ends at one sum; both sides of one socket are short."""
    deck, tablet = (replace(at("desk.mono"), what=f"The right side of {each}") for each in "ab")
    assert len(groups(deck, tablet)) == 2
    assert groups(at("cam.mic", margin_db=-3.0), at("cam.mic", margin_db=-3.0)) == [("cam.mic",)]
