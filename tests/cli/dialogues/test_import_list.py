"""``levelhead import`` at a terminal: a pseudo-terminal, so that it asks as it asks people."""

from __future__ import annotations

import os
import select
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import Final

import pytest

from levelhead.show.document import load_show

if sys.platform == "win32":
    pytest.skip("a pseudo-terminal is a thing of POSIX", allow_module_level=True)

import pty

PROGRAM: Final = "import sys; from levelhead.cli import main; sys.exit(main())"
PROMPTS: Final = (b"leave it open: ", b"[Y/n] ")
PATIENCE_S: Final = 60
END: Final = "\x04"  # Ctrl+D
INTERRUPT: Final = "\x03"  # Ctrl+C


def typed(arguments: Sequence[str], answers: Sequence[str]) -> tuple[str, int]:
    """Everything on the screen, and the exit status, after one answer at each prompt."""
    child, screen = pty.fork()
    if child == 0:
        os.execv(sys.executable, [sys.executable, "-c", PROGRAM, *arguments])  # noqa: S606 - itself
    said, waiting, read = b"", list(answers), 0
    while select.select([screen], [], [], PATIENCE_S)[0]:
        try:
            piece = os.read(screen, 4096)
        except OSError:  # how Linux says that the other side is closed
            break
        if not piece:
            break
        said += piece
        if said[read:].endswith(PROMPTS):
            assert waiting, f"no answer left for: {said[read:].decode()}"
            read = len(said)
            os.write(screen, waiting.pop(0).encode())
    os.close(screen)
    status = os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])
    assert waiting == [], f"never asked for: {waiting}; screen: {said.decode()}"
    return said.decode().replace("\r\n", "\n"), status


@pytest.fixture
def band(tmp_path: Path) -> Path:
    path = tmp_path / "band.txt"
    path.write_text("1 kick\n2 gtr\n3 zork\n", encoding="utf-8")
    return path


def test_a_number_and_a_word_are_answers(band: Path) -> None:
    """The first choice by its number, a trumpet by its name; the preview comes before the yes."""
    target = band.with_suffix(".yaml")
    said, status = typed(["import", str(band), "-o", str(target)], ["1\n", "trumpet\n", "y\n"])
    assert status == 0
    assert said.index("1 guitar-electric: electric guitar") < said.index("What is 'zork'?")
    assert said.index("trumpet, ~mic-") < said.index("[Y/n]")
    assert said.index("[Y/n]") < said.index("Next    levelhead check")
    assert len(load_show(target).show.sources) == 3


def test_an_answer_without_a_meaning_is_asked_for_again(band: Path) -> None:
    said, status = typed(["import", str(band)], ["1\n", "blah\n", "vocal\n"])
    assert status == 0
    assert "the answer 'blah' means nothing here" in said
    assert said.count("Is 'gtr'") == 1  # what was answered before stands
    assert said.count("What is 'zork'?") == 2


def test_nothing_typed_leaves_a_question_open(band: Path) -> None:
    target = band.with_suffix(".yaml")
    said, status = typed(["import", str(band), "-o", str(target)], ["\n", "1\n", "\n"])
    assert status == 1
    assert '--answer "gtr=guitar-electric"' in said
    assert load_show(target).show.link_at("desk.ch2.mic") is None


def test_no_writes_nothing(band: Path) -> None:
    target = band.with_suffix(".yaml")
    said, status = typed(["import", str(band), "-o", str(target)], ["1\n", "1\n", "n\n"])
    assert status == 0
    assert not target.exists()
    assert "Next    Write it with" in said


def test_the_end_of_the_input_is_no_yes(band: Path) -> None:
    """Ctrl+D at the question, and again at the last one."""
    target = band.with_suffix(".yaml")
    _, status = typed(["import", str(band), "-o", str(target)], [END, END])
    assert (status, target.exists()) == (1, False)


def test_an_interrupt_ends_it(band: Path) -> None:
    target = band.with_suffix(".yaml")
    said, status = typed(["import", str(band), "-o", str(target)], [INTERRUPT])
    assert (status, target.exists()) == (130, False)
    assert "Traceback" not in said


def test_yes_asks_nothing(band: Path) -> None:
    target = band.with_suffix(".yaml")
    said, status = typed(["import", str(band), "-o", str(target), "--yes"], [])
    assert (status, target.exists()) == (1, True)
    assert "leave it open" not in said


def test_questions_fit_80_columns() -> None:
    lists = Path(__file__).parents[2] / "lists"
    said, _ = typed(["import", str(lists / "made-up-models.csv")], ["\n"] * 5)
    assert [line for line in said.splitlines() if len(line) > 80] == []
