"""``levelhead import``: exit status, 80 columns, what is written and what stays."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any, Final

import pytest
from openpyxl import load_workbook

from levelhead.show.document import load_show

Levelhead = Callable[..., Any]

ROOT: Final = Path(__file__).parents[2]
LISTS: Final = ROOT / "tests" / "lists"
UNDERSTOOD: Final = "1 kick\n2 snare - dynamic\n3 vox Anna, condenser\n"


@pytest.fixture
def band(tmp_path: Path) -> Path:
    path = tmp_path / "band.txt"
    path.write_text(UNDERSTOOD, encoding="utf-8")
    return path


def test_all_understood_is_status_0_and_nothing_is_written(
    levelhead: Levelhead, band: Path
) -> None:
    ran = levelhead("import", str(band))
    assert ran.status == 0
    assert [path.name for path in band.parent.iterdir()] == ["band.txt"]
    assert "~mic-kick-dynamic" in ran.out
    assert "'kick'" in ran.out  # the words that the guess came from


@pytest.mark.parametrize("name", ["made-up-models.csv", "festival-changeover.xlsx"])
def test_a_question_is_status_1_and_fits_80_columns(levelhead: Levelhead, name: str) -> None:
    ran = levelhead("import", str(LISTS / name))
    assert ran.status == 1
    assert "Ask " in ran.out
    assert [line for line in ran.out.splitlines() if len(line) > 80] == []
    assert "Traceback" not in ran.err


@pytest.mark.parametrize("content", [b"", b"%PDF-1.4" + bytes(range(256)) * 9, b"PK\x03\x04"])
def test_what_is_no_list_is_status_2(levelhead: Levelhead, tmp_path: Path, content: bytes) -> None:
    path = tmp_path / "list.xlsx"
    path.write_bytes(content)
    ran = levelhead("import", str(path))
    assert (ran.status, ran.out) == (2, "")
    assert "expected" in ran.err
    assert levelhead("import", str(tmp_path / "no.csv")).status == 2


def test_a_new_show_is_written_and_another_file_is_not_written_over(
    levelhead: Levelhead, band: Path
) -> None:
    target = band.with_suffix(".yaml")
    assert levelhead("import", str(band), "-o", str(target)).status == 0
    show = load_show(target).show
    assert show.name == "Band"
    assert show.settings["desk.phantom"] == "on"
    assert "desk.ch1.gain" in show.settings
    again = levelhead("import", str(band), "-o", str(target))
    assert again.status == 2
    assert "another file stands there" in again.err
    assert levelhead("import", str(band), "-o", str(target), "--yes").status == 0


def test_comments_of_a_show_stay(levelhead: Levelhead, band: Path) -> None:
    target = band.with_suffix(".yaml")
    levelhead("import", str(band), "-o", str(target))
    text = target.read_text(encoding="utf-8").replace("links:", "# Anna comes late\nlinks:")
    target.write_text(text, encoding="utf-8")
    band.write_text(UNDERSTOOD + "4 trumpet\n", encoding="utf-8")
    into = ("import", str(band), "--into", str(target))
    ran = levelhead(*into)
    assert ran.status == 0
    assert "Change" in ran.out
    assert target.read_text(encoding="utf-8") == text
    assert levelhead(*into, "-o", str(target)).status == 0
    changed = target.read_text(encoding="utf-8")
    assert "# Anna comes late" in changed
    lost = set(text.splitlines()) - set(changed.splitlines())
    assert [line for line in lost if not line.startswith("  desk: {phantom")] == []
    assert load_show(target).show.link_at("desk.ch4.mic") is not None


def test_answers_are_taken_and_wrong_ones_refused(levelhead: Levelhead) -> None:
    path = str(LISTS / "jazz-quartet.txt")
    assert levelhead("import", path).status == 1
    assert levelhead("import", path, "--answer", "double bass: way=di").status == 0
    wrong = levelhead("import", str(LISTS / "made-up-models.csv"), "--answer", "quist 58=zz")
    assert wrong.status == 2
    assert "means nothing here" in wrong.err


def test_json_holds_rows_guesses_questions_and_edits(levelhead: Levelhead) -> None:
    ran = levelhead("import", str(LISTS / "made-up-models.csv"), "--json")
    found = json.loads(ran.out)
    assert ran.status == 1
    assert {each["key"] for each in found["questions"]} >= {"borlo 91", "quist 58"}
    assert found["channels"][3]["box"] == "di-active"
    assert found["edits"][0]["edit"] == "add-item"


def test_a_list_comes_from_standard_input(levelhead: Levelhead) -> None:
    ran = levelhead("import", "-", stdin=b"1\tKick\n2\tSnare\n")
    assert ran.status == 0
    assert "Snare" in ran.out


def test_the_spreadsheet_that_was_printed_comes_back(levelhead: Levelhead, tmp_path: Path) -> None:
    """All sheets in one workbook: only the input list is read, and only what was changed lands."""
    show = tmp_path / "hall.yaml"
    text = (ROOT / "src/levelhead/examples/village-hall.yaml").read_text(encoding="utf-8")
    show.write_text(text, encoding="utf-8")
    printed = tmp_path / "hall.xlsx"
    assert levelhead("paper", str(show), "-o", str(printed)).status == 0
    into = ("import", str(printed), "--into", str(show), "-o", str(show))
    untouched = levelhead(*into)
    assert (untouched.status, show.read_text(encoding="utf-8")) == (0, text)
    assert "Change  Nothing." in untouched.out
    book = load_workbook(printed)
    sheet = book["Input list"]
    heads = {cell.value: cell.column for cell in sheet[1]}
    sheet.cell(2, heads["Gain"]).value = 38
    sheet.cell(3, heads["Length"]).value = "7,5"
    book.save(printed)
    assert levelhead(*into).status == 0
    lines = zip(text.splitlines(), show.read_text(encoding="utf-8").splitlines(), strict=True)
    assert [new.strip() for old, new in lines if old != new] == [
        "- {from: di-keys.out, to: desk.ch2.mic, via: [cable-xlr 7.5 m]}",
        "ch1: {gain: 38 dB, fader: 0 dB, aux: -3 dB}",
    ]


def test_notes_of_a_list_are_told(levelhead: Levelhead, tmp_path: Path) -> None:
    """They are for people; whoever checks the preview sees that they are kept."""
    path = tmp_path / "band.csv"
    path.write_text("Ch,Source,Notes\n1,Kick,\n5,Vox,NOT in PA\n", encoding="utf-8")
    assert "5 'NOT in PA'" in levelhead("import", str(path)).out
