"""Findings in plain text: folding, order, what is said and what is left to ``--all``."""

from __future__ import annotations

from typing import Any

from levelhead.cli.finding_text import (
    caution_lines,
    folded,
    full_lines,
    one_line,
    short_lines,
    turns_text,
)
from levelhead.gear.figures import Figure
from levelhead.show.edits import Set
from levelhead.verdicts.finding import Compared, Finding, Remedy
from levelhead.verdicts.limit_state import Doubt, Flip, LimitState
from levelhead.verdicts.severity import Severity

PHANTOM_ON = Remedy("Set desk.phantom to on", (Set("desk.phantom", "on"),), Severity.FINE)


IMPEDANCE = Doubt("impedance of di, output", "fact", Figure(150, 50, 600, "ohm", "typical"), 0.5)
CURRENT = Doubt("current of di", "fact", Figure(4e-3, 2e-3, 8e-3, "A", "typical"), 0.5)


def finding(where: str, *, doubts: tuple[Doubt, ...] = (), **more: Any) -> Finding:
    """A finding 2 dB short of its limit; a doubt of 0.5 turns it where its figure is 4 dB off."""
    fields: dict[str, Any] = {
        "code": "enough.too-low",
        "severity": Severity.CARE,
        "where": where,
        "what": f"{where} gets too little.",
        "why": (Compared("gain needed", 40.0, 20.0, "dB"),),
        "state": LimitState(-2.0, "dB", lambda: doubts),
        "source": "a rule",
        "basis": "common practice",
    }
    return Finding(**fields | more)


def places(groups: list[Any]) -> list[list[str]]:
    return [[first.where, *(each.where for each in alike)] for first, alike in groups]


def test_like_sockets_of_one_item_are_told_once() -> None:
    found = [finding(f"desk.ch{number}.mic") for number in (3, 4, 5)]
    assert places(folded(found)) == [["desk.ch3.mic", "desk.ch4.mic", "desk.ch5.mic"]]
    (first, alike) = folded(found)[0]
    assert "Alike: desk.ch[4-5].mic." in " ".join(short_lines(first, alike))


def test_left_and_right_are_told_once_and_other_sockets_are_not() -> None:
    found = [finding("desk.st1.in-left"), finding("desk.st1.in-right"), finding("desk.ch1.line")]
    assert places(folded(found)) == [["desk.st1.in-left", "desk.st1.in-right"], ["desk.ch1.line"]]


def test_what_one_remedy_mends_is_told_once_whatever_it_hangs_on() -> None:
    found = [
        finding("vox-1.out", code="phantom.missing", remedies=(PHANTOM_ON,)),
        finding("vox-2.out", code="phantom.missing", remedies=(PHANTOM_ON,)),
        finding("di.out", code="phantom.missing"),
    ]
    assert places(folded(found)) == [["vox-1.out", "vox-2.out"], ["di.out"]]


def test_like_sockets_with_other_numbers_are_told_apart() -> None:
    far = finding("desk.st2.in-left", state=LimitState(-20.0, "dB"))
    assert len(folded([finding("desk.st1.in-left"), far])) == 2
    assert len(folded([far, finding("desk.st1.in-left", state=None)])) == 2


def test_different_severities_and_codes_never_fold() -> None:
    found = [
        finding("desk.ch1.mic"),
        finding("desk.ch2.mic", severity=Severity.FAILS),
        finding("desk.ch3.mic", code="enough.too-high"),
    ]
    assert len(folded(found)) == 3


def test_in_short_it_says_what_turns_it_and_what_was_tried() -> None:
    doubtful = finding("desk.ch1.mic", doubts=(IMPEDANCE,), remedies=(PHANTOM_ON,) * 3)
    lines = short_lines(doubtful)
    assert lines[0] == "CARE    desk.ch1.mic gets too little."
    assert lines[1] == "        Turns if impedance of di, output is 238 ohm (taken as 150 ohm)."
    assert lines[2:] == ["      > Set desk.phantom to on: then fine."] * 2


def test_what_would_settle_it_is_said_where_nothing_helps() -> None:
    lines = short_lines(finding("desk.ch1.mic", doubts=(IMPEDANCE,)))
    assert lines[-1].startswith("        Look up or measure: impedance of di, output")
    helped = short_lines(finding("a.b", doubts=(IMPEDANCE,), remedies=(PHANTOM_ON,)))
    assert "Look up" not in " ".join(helped)


def test_in_full_it_gives_numbers_chance_and_source() -> None:
    doubtful = finding("desk.ch1.mic", doubts=(IMPEDANCE, CURRENT))
    text = " ".join(" ".join(full_lines(doubtful)).split())
    assert "gain needed 40.0 dB, limit 20.0 dB" in text
    assert f"holds {100 * doubtful.p_holds:.0f} times in 100" in text
    assert "by a rule (common practice)." in text


def test_one_line_is_one_line() -> None:
    long = finding("desk.ch1.mic", what="word " * 60)
    line = one_line(long, (long,))
    assert len(line) <= 80
    assert line.endswith("... (2 alike)")


def test_a_caution_is_said_once() -> None:
    found = [finding("a.b", caution="Mind the step."), finding("c.d", caution="Mind the step.")]
    assert caution_lines(found) == ["CAUTION Mind the step."]


def test_two_flips_are_one_sentence() -> None:
    flips = [Flip("gain", "choice", "0 dB", "6 dB"), Flip("level of x", "chance", "1 V", "2 V")]
    assert turns_text(flips) == (
        "if gain is 6 dB (taken as 0 dB), or if level of x is 2 V (taken as 1 V)"
    )
