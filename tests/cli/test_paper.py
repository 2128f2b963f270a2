"""``levelhead paper``: what is written, and whether what was printed still holds."""

from __future__ import annotations

import json
import re
import subprocess
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from levelhead.show.document import load_show
from levelhead.show.fingerprint import fingerprint
from levelhead.show.shipped import shipped_example

Levelhead = Callable[..., Any]


@pytest.fixture
def show(tmp_path: Path, duo: str) -> Path:
    place = tmp_path / "duo.yaml"
    place.write_bytes(Path(duo).read_bytes())
    return place


@pytest.mark.parametrize(
    ("name", "begins"), [("a.pdf", b"%PDF-"), ("a.xlsx", b"PK"), ("a.html", b"<!doctype html>")]
)
def test_the_name_says_what_is_written(
    levelhead: Levelhead, show: Path, name: str, begins: bytes
) -> None:
    place = show.with_name(name)
    ran = levelhead("paper", str(show), "-o", str(place), "--sheet", "patch", "start-up")
    assert ran.status == 0
    assert ran.err == f"{place}: patch, start-up and shut-down\n"
    assert place.read_bytes().startswith(begins)


def test_paper_holds_until_the_show_changes(levelhead: Levelhead, show: Path) -> None:
    printed = fingerprint(load_show(show).show)
    place, sheets = str(show.with_name("a.pdf")), ("input-list", "patch", "open-findings")
    levelhead("paper", str(show), "-o", place, "--sheet", *sheets)
    ran = levelhead("paper", str(show), "--is-current", printed)
    assert (ran.status, ran.out.split()[0]) == (0, "Yes:")
    show.write_text(
        show.read_text("utf-8").replace("gain: 35 dB, fader: 0", "gain: 30 dB, fader: 0"), "utf-8"
    )
    ran = levelhead("paper", str(show), "--is-current", printed)
    assert ran.status == 1
    assert ran.out.startswith("No: ")
    lines = ran.out.splitlines()
    assert "- Set Desk (desk.ch1.gain) to 30 dB (it was 35 dB)" in lines
    assert any(line.startswith("OLD     Input list (page 1 of 1: changed or new") for line in lines)
    assert "holds   Patch" in lines
    assert any(line.startswith("?       Open findings: its ways out") for line in lines)


def test_whether_paper_holds_as_json(levelhead: Levelhead, show: Path) -> None:
    """Yes; then no, with the edits and their words; never printed is unknown."""

    def asked(state: str) -> tuple[int, dict[str, Any]]:
        ran = levelhead("paper", str(show), "--is-current", state, "--json")
        return ran.status, json.loads(ran.out)

    printed = fingerprint(load_show(show).show)
    levelhead("paper", str(show), "-o", str(show.with_name("a.pdf")), "--sheet", "patch")
    yes = {"is_current": "yes", "show": "Duo in a pub", "asked": printed, "now": printed}
    assert asked(printed.upper()) == (0, {**yes, "changes": [], "edits": [], "sheets": []})
    show.write_text(
        show.read_text("utf-8").replace("gain: 35 dB, fader: 0", "gain: 30 dB, fader: 0"), "utf-8"
    )
    status, told = asked(printed)
    assert (status, told["is_current"], told["asked"]) == (1, "no", printed)
    assert told["now"] == fingerprint(load_show(show).show) != printed
    assert {"edit": "set", "address": "desk.ch1.gain", "value": "30 dB"} in told["edits"]
    assert "Set Desk (desk.ch1.gain) to 30 dB (it was 35 dB)" in told["changes"]
    status, told = asked("0badc0de")
    assert (status, told["is_current"], told["changes"]) == (2, "unknown", [])


def test_sheets_are_no_json(levelhead: Levelhead, show: Path) -> None:
    ran = levelhead("paper", str(show), "-o", str(show.with_name("a.pdf")), "--json")
    assert (ran.status, ran.out) == (2, "")
    assert "--json goes with --is-current" in ran.err


def test_what_changed_fits_80_columns(levelhead: Levelhead, show: Path) -> None:
    printed = fingerprint(load_show(show).show)
    levelhead("paper", str(show), "-o", str(show.with_name("a.pdf")), "--sheet", "patch")
    text = show.read_text("utf-8")
    show.write_text(text.replace("Mia's microphone", "Microphone of " + "Mia " * 20), "utf-8")
    ran = levelhead("paper", str(show), "--is-current", printed)
    assert ran.status == 1
    assert [line for line in ran.out.splitlines() if len(line) > 80] == []


def test_an_unknown_fingerprint_is_told_so(levelhead: Levelhead, show: Path) -> None:
    ran = levelhead("paper", str(show), "--is-current", "0badc0de")
    assert (ran.status, ran.out.split()[0]) == (2, "Unknown:")
    assert not show.with_name("duo.yaml.history").exists()


def test_printing_needs_a_place(levelhead: Levelhead, show: Path) -> None:
    ran = levelhead("paper", str(show))
    assert ran.status == 2
    assert "-o FILE is missing" in ran.err


def test_a_name_that_nothing_writes_is_refused(levelhead: Levelhead, show: Path) -> None:
    ran = levelhead("paper", str(show), "-o", "hall.docx")
    assert ran.status == 2
    assert "expected a name that ends in .pdf, .xlsx, .html" in ran.err


def test_changed_since_printed_and_only_that_printed_anew(levelhead: Levelhead, show: Path) -> None:
    """The input list tells a gain, the patch does not; with -o the old one alone is renewed."""
    first = show.with_name("a.pdf")
    levelhead("paper", str(show), "-o", str(first), "--sheet", "input-list", "patch")
    assert levelhead("paper", str(show), "--changed").status == 0
    show.write_text(
        show.read_text("utf-8").replace("gain: 35 dB, fader: 0", "gain: 30 dB, fader: 0"), "utf-8"
    )
    ran = levelhead("paper", str(show), "--changed")
    assert ran.status == 1
    assert "OLD     Input list" in ran.out
    assert "holds   Patch" in ran.out
    assert "gain 30 dB (was 35 dB)" in ran.out
    told = json.loads(levelhead("paper", str(show), "--changed", "--json").out)
    assert [each["is_current"] for each in told["since"][0]["sheets"]] == [False, True]
    assert told["since"][0]["changes"][0]["by"] == "the file"
    place = show.with_name("b.pdf")
    ran = levelhead("paper", str(show), "--changed", "-o", str(place))
    assert ran.err == f"{place}: changes, input-list page 1 of 1\n"
    assert place.read_bytes().startswith(b"%PDF-")
    assert levelhead("paper", str(show), "--changed").status == 0


def test_only_pages_that_changed_are_printed_anew(
    levelhead: Levelhead, show: Path, pdftotext: str
) -> None:
    """A gain of the bass moves two ways of five: their pages come, by number, the others stay."""
    text = shipped_example("outdoor-stage").text
    show.write_text(text, "utf-8")
    first, changed = show.with_name("a.pdf"), show.with_name("b.pdf")
    levelhead("paper", str(show), "-o", str(first), "--sheet", "levels", "--page", "letter")
    state = json.loads(levelhead("paper", str(show), "--changed", "--json").out)
    old = state["since"][0]["fingerprint"]
    show.write_text(text.replace("ch6: {gain: 38 dB", "ch6: {gain: 34 dB"), "utf-8")
    told = json.loads(levelhead("paper", str(show), "--changed", "--json").out)
    pages = told["since"][0]["sheets"][0]["pages"]
    assert 0 < len(pages["print"]) < pages["count"]
    assert [each["page"] for each in pages["throw_away"]] == pages["print"]
    assert {each["fingerprint"] for each in pages["throw_away"]} == {old}
    ran = levelhead("paper", str(show), "--changed", "-o", str(changed))
    assert ran.err.startswith(f"{changed}: changes, levels page")
    told_by = [pdftotext, "-layout", str(changed), "-"]
    printed = subprocess.run(told_by, capture_output=True, check=True).stdout.decode()
    changes, *anew = printed.split("\f")[:-1]
    assert "throw away page" in changes
    assert "put in page" in changes
    numbers = [f"Page {number} of {pages['count']}" for number in pages["print"]]
    assert [re.findall(r"Page \d+ of \d+", page)[0] for page in anew] == numbers
    assert all(old not in page for page in anew)
    assert levelhead("paper", str(show), "--changed").status == 0


def test_changed_of_what_was_never_printed_says_what_to_do(
    levelhead: Levelhead, show: Path
) -> None:
    ran = levelhead("paper", str(show), "--changed")
    assert ran.status == 2
    assert "Print first: levelhead paper" in ran.err.replace("\n", " ")
