"""Which findings a screen tells at length, which in a line, and what goes first."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from levelhead.cli.reports.check import _body
from levelhead.cli.reports.finding import short_lines
from levelhead.show.edits import Set
from levelhead.verdicts.told.finding import Finding, Remedy
from levelhead.verdicts.told.folding import Folded, folded
from levelhead.verdicts.told.severity import Severity

REMEDY = Remedy("Set desk.main to -6 dB", (Set("desk.main", "-6 dB"),), Severity.FINE)
LONG = "so it goes on and on " * 12


def told(*severities: Severity, **more: Any) -> tuple[Folded, ...]:
    """Findings at different items, in this order."""
    return folded(
        Finding(
            code="enough.too-low",
            severity=severity,
            where=f"item-{number}-of-its-own.in",  # counted items would fold
            what=LONG,
            why=(),
            source="a rule",
            basis="common practice",
            **more,
        )
        for number, severity in enumerate(severities)
    )


def heads(lines: list[str]) -> list[str]:
    """Words in the margin."""
    return [line.split()[0] for line in lines if line[:1] not in {"", " "}]


def test_with_room_everything_is_told_at_length_with_space_between() -> None:
    groups = told(Severity.HARM, Severity.FAILS, Severity.CARE)
    lines = _body(groups, room=40)
    assert lines.count("") == 3
    assert not any(line.endswith("...") for line in lines)


def test_space_is_the_first_thing_to_go() -> None:
    groups = told(Severity.FAILS, Severity.CARE)
    at_length = [line for each in groups for line in short_lines(each.finding, each.others)]
    assert _body(groups, room=len(at_length) + 1) == ["", *at_length]


def test_care_shrinks_to_a_line_and_harm_and_failures_never_do() -> None:
    lines = _body(told(Severity.HARM, Severity.FAILS, Severity.CARE, Severity.CARE), room=0)
    assert heads(lines) == ["HARM", "FAILS", "CARE", "CARE"]
    assert [line for line in lines if line.endswith("...")] == lines[-2:]


def test_remedies_of_what_is_told_in_a_line_come_as_far_as_there_is_room() -> None:
    groups = told(*(Severity.CARE,) * 4, remedies=(REMEDY,))[:1] * 4
    assert len(_body(groups, room=5)) == 5
    assert len(_body(groups, room=7)) == 7
    assert _body(groups, room=7)[2] == "      > Set desk.main to -6 dB: then fine."


def test_more_care_than_anybody_reads_is_counted() -> None:
    lines = _body(told(*(Severity.CARE,) * 100), room=0)
    assert heads(lines) == ["CARE"] * 12
    assert lines[-1].strip() == "88 more of these; --all shows everything."


CLIPS = """
levelhead: 1
show: {name: Clips}
items:
  m: {type: mic-vocal-dynamic}
  desk: {type: mixer-compact}
  pa: {type: loudspeaker-powered-12}
sources: {ann: {type: voice-singer, at: m, distance: 5 cm}}
links:
  - {from: m.out, to: desk.ch1.mic}
  - {from: desk.main-left.out, to: pa.in}
settings: {desk: {ch1: {gain: GAIN}}}
"""


@pytest.mark.parametrize(("gain", "command"), [("46 dB", "gains"), ("30 dB", "paper")])
def test_who_clips_is_led_to_the_gain_plan(
    levelhead: Callable[..., Any], tmp_path: Path, gain: str, command: str
) -> None:
    path = tmp_path / "c.yaml"
    path.write_text(CLIPS.replace("GAIN", gain), encoding="utf-8")
    assert f"levelhead {command} " in levelhead("check", str(path)).out
