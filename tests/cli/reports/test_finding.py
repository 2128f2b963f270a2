"""Findings in plain text: order, what is said and what is left to ``--all``."""

from __future__ import annotations

from typing import Any

from levelhead.cli.reports.finding import (
    caution_lines,
    full_lines,
    one_line,
    short_lines,
    turns_text,
)
from levelhead.gear.figures import Figure
from levelhead.show.edits import Set
from levelhead.verdicts.told.finding import Compared, Finding, Remedy
from levelhead.verdicts.told.limit_state import Doubt, Flip, LimitState
from levelhead.verdicts.told.severity import Severity

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


def test_like_sockets_are_named_as_one_range() -> None:
    first, *alike = [finding(f"desk.ch{number}.mic") for number in (3, 4, 5)]
    assert "Alike: desk.ch[4-5].mic." in " ".join(short_lines(first, alike))


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
