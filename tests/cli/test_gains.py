"""``levelhead gains``: what a person reads, what a program reads, and the planned show."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any, Final

import pytest

from levelhead.gear.book import load_book
from levelhead.show.document import load_show
from levelhead.show.edit_json import edit_from_json
from levelhead.show.edits import apply

Levelhead = Callable[..., Any]

EXAMPLES: Final = Path(__file__).parents[2] / "src" / "levelhead" / "examples"
DUO: Final = str(EXAMPLES / "duo-in-a-pub.yaml")
HALL: Final = str(EXAMPLES / "village-hall.yaml")


@pytest.mark.parametrize("show", [DUO, HALL])
def test_the_report_has_80_columns_and_a_next_step(show: str, levelhead: Levelhead) -> None:
    ran = levelhead("gains", show)
    assert ran.status == 0
    lines = ran.out.splitlines()
    assert max(len(line) for line in lines if not line.startswith("  levelhead")) <= 80
    assert lines[-2] == "Next: take it over into a new file:"
    assert "Solved to 0.00 dB of what is possible at best." in ran.out


def test_json_says_what_the_plan_is_and_its_edits_apply(levelhead: Levelhead) -> None:
    printed = levelhead("gains", HALL, "--json").json
    assert [each["goal"] for each in printed["goals"]] == [
        "clipping", "loudness", "meters", "noise", "faders", "changes",
    ]  # fmt: skip
    show = load_show(HALL).show
    planned, _ = apply(show, [edit_from_json(each) for each in printed["edits"]])
    moved = {each["control"]: each["planned"] for each in printed["positions"] if each["moved"]}
    assert moved
    assert {each: planned.settings[each] for each in moved} == moved


def test_the_page_names_every_field(levelhead: Levelhead) -> None:
    """docs/formats.md, section 4.6."""
    page = (Path(__file__).parents[2] / "docs" / "formats.md").read_text(encoding="utf-8")
    section = page.partition("### 4.6")[2].partition("\n## ")[0]
    printed = levelhead("gains", HALL, "--json").json
    fields = set(printed)
    for name in ("goals", "positions", "meters", "ends", "lineups"):
        fields |= set(printed[name][0])
    fields |= set(printed["positions"][0]["binds"]) | set(printed["lineups"][0]["planned"])
    assert [each for each in sorted(fields) if f"`{each}`" not in section] == []


def test_the_planned_show_is_written_once_with_its_comments(
    levelhead: Levelhead, tmp_path: Path
) -> None:
    planned = tmp_path / "planned.yaml"
    ran = levelhead("gains", DUO, "-o", str(planned))
    assert (ran.status, f"levelhead check {planned}" in ran.out) == (0, True)
    comments = [line for line in Path(DUO).read_text("utf-8").splitlines() if line.startswith("#")]
    text = planned.read_text("utf-8")
    assert all(comment in text for comment in comments)
    again = levelhead("gains", str(planned))
    assert "Next: everything stands where it goes. Nothing to do." in again.out
    refused = levelhead("gains", DUO, "-o", str(planned))
    assert (refused.status, "is there already" in refused.err) == (2, True)


def test_a_reserve_that_is_none_is_refused_with_its_reason(levelhead: Levelhead) -> None:
    ran = levelhead("gains", DUO, "--reserve", "plenty")
    assert ran.status == 2
    assert (
        "--reserve: 'plenty' is no reserve; expected headroom on peaks from 0 to 40 dB" in ran.err
    )


def test_more_reserve_is_less_loud(levelhead: Levelhead) -> None:
    six, ten = (levelhead("gains", DUO, "--json", *each).json for each in ([], ["--reserve", "10"]))
    peaks = [max(end["peak_planned"] for end in plan["ends"]) for plan in (six, ten)]
    assert peaks[0] - peaks[1] == pytest.approx(4.0, abs=0.3)


def test_the_book_of_the_person_is_used(levelhead: Levelhead, tmp_path: Path) -> None:
    (tmp_path / "own.yaml").write_text(
        "my-desk: {like: mixer-compact, label: My desk}\n", encoding="utf-8"
    )
    assert "my-desk" not in load_book()
    assert levelhead("gains", DUO, "--gear", str(tmp_path)).status == 0


def test_a_loudspeaker_that_gets_louder_is_told_with_a_caution(levelhead: Levelhead) -> None:
    """The church is set 6 dB under what its gear gives; the duo as loud as it goes."""
    church = str(Path(__file__).parents[1] / "rigs" / "church-band.yaml")
    ran = levelhead("gains", church)
    assert "Caution:" in ran.out
    assert "hurt hearing" in " ".join(ran.out.split())
    assert "Caution:" not in levelhead("gains", DUO).out


def test_a_show_without_a_signal_is_sent_to_check(levelhead: Levelhead, tmp_path: Path) -> None:
    path = tmp_path / "empty.yaml"
    path.write_text("levelhead: 1\nshow: {name: Empty}\nitems: {desk: {type: mixer-compact}}\n")
    ran = levelhead("gains", str(path))
    assert (ran.status, ran.out.splitlines()[-1]) == (0, f"  levelhead check {path}")


def test_a_source_that_arrives_nowhere_is_named_and_not_planned(levelhead: Levelhead) -> None:
    """A condenser without phantom power gives nothing to set a gain by."""
    show = b"""levelhead: 1
show: {name: t}
items:
  m1: {type: mic-vocal-dynamic}
  m2: {type: mic-large-condenser}
  desk: {type: mixer-compact}
  box: {type: loudspeaker-powered-12}
sources: {nar: {type: voice-talker, at: m1}, choir: {type: voice-choir, at: m2}}
links:
  - {from: m1.out, to: desk.ch1.mic}
  - {from: m2.out, to: desk.ch2.mic}
  - {from: desk.main-left.out, to: box.in}
"""
    turns = levelhead("gains", "-", "--json", stdin=show).json["turns_on"]
    assert [each for each in turns if "choir" in each] == [
        "Nothing of choir arrives anywhere, so nothing is planned for it: check says why."
    ]
    assert any("The gain of nar turns on" in each for each in turns)
