"""What cannot be read: exit status 2, what and where on stderr, nothing on stdout."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any, Final

import pytest

from levelhead.cli import parser
from levelhead.cli.entry import INTERRUPTED, UNREADABLE

Levelhead = Callable[..., Any]

COMMAND: Final = "import sys; from levelhead.cli import main; sys.exit(main())"


@pytest.mark.parametrize(
    ("argv", "said"),
    [
        (("check", "no-such-file.yaml"), "no-such-file.yaml"),
        (("levels", "no-such-file.yaml"), "no-such-file.yaml"),
        (("ask", "flux compensator", "mixer"), "levelhead gear --search"),
        (("ask", "laptop", "mixer", "--at", "+4 parsec"), "+4 parsec"),
        (("ask", "laptop", "mixer", "--length", "far"), "far"),
        (("ask", "laptop", "mixer", "--set", "louder"), "CONTROL=VALUE"),
        (("ask", "laptop", "mixer", "--cable", "cable-xrl"), "cable-xlr"),
        (("gear", "mixer-compakt"), "mixer-compact"),
        (("gear", "--kind", "submarine"), "microphone"),
        (("gear", "--gear", "no-such-folder"), "no-such-folder"),
        (("ask", "laptop", "mixer", "--gear", "no-such-folder"), "no-such-folder"),
    ],
)
def test_it_is_said_on_stderr(levelhead: Levelhead, argv: tuple[str, ...], said: str) -> None:
    ran = levelhead(*argv)
    assert (ran.status, ran.out) == (UNREADABLE, "")
    assert said in ran.err
    assert "Traceback" not in ran.err


@pytest.mark.parametrize("argv", [(), ("sing",), ("check",), ("ask", "laptop"), ("gear", "--loud")])
def test_a_command_that_is_none_shows_its_usage(
    levelhead: Levelhead, argv: tuple[str, ...]
) -> None:
    ran = levelhead(*argv)
    assert (ran.status, ran.out) == (UNREADABLE, "")
    assert ran.err.startswith("usage: levelhead")


def test_all_errors_of_a_show_are_told_at_once_with_line_and_column(
    levelhead: Levelhead, tmp_path: Path
) -> None:
    show = tmp_path / "wrong.yaml"
    show.write_text(
        "levelhead: 1\nshow: {name: Wrong}\nitems:\n  vox: {type: mic-vocal-dynamik}\n"
        "  desk: {type: mixer-compakt}\n"
    )
    ran = levelhead("check", str(show))
    assert (ran.status, ran.out) == (UNREADABLE, "")
    assert "wrong.yaml:4:" in ran.err
    assert "'mic-vocal-dynamic'" in ran.err
    assert "wrong.yaml:5:" in ran.err
    assert "'mixer-compact'" in ran.err


# ---------------------------------------------------------------- pipes and terminals


def test_a_dash_reads_standard_input(levelhead: Levelhead, duo: str) -> None:
    content = Path(duo).read_bytes()
    for command in ("check", "levels"):
        piped, named = levelhead(command, "-", stdin=content), levelhead(command, duo)
        assert piped.status == named.status
        assert piped.out.splitlines()[:10] == named.out.splitlines()[:10]
    assert "levelhead paper SHOW" in levelhead("check", "-", stdin=content).out


@pytest.mark.parametrize(
    "content", [b"show: [", b"levelhead: 1\nshow: {name: \xff}\n", b"", b"\x00"]
)
def test_standard_input_that_is_no_show(levelhead: Levelhead, content: bytes) -> None:
    ran = levelhead("check", "-", stdin=content)
    assert (ran.status, ran.out) == (UNREADABLE, "")
    assert ran.err.startswith("standard input")


def test_a_reader_who_has_seen_enough_is_no_error(village_hall: str) -> None:
    """The pipe is closed before anything is written; the verdict still counts."""
    with subprocess.Popen(
        [sys.executable, "-c", COMMAND, "levels", village_hall],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
    ) as process:
        assert process.stdout is not None
        assert process.stderr is not None
        process.stdout.close()
        said = process.stderr.read()
    assert (process.returncode, said) == (0, b"")


def test_a_terminal_without_the_letters_gets_question_marks(tmp_path: Path, duo: str) -> None:
    show = tmp_path / "show.yaml"
    text = Path(duo).read_text(encoding="utf-8")
    show.write_text(text.replace("Jon's keyboard", "Клавиши"), encoding="utf-8")
    ran = subprocess.run(
        [sys.executable, "-c", COMMAND, "levels", str(show)],
        env={"PYTHONIOENCODING": "ascii", "PATH": "", "PYTHONPATH": ":".join(sys.path)},
        capture_output=True,
        check=False,
    )
    assert (ran.returncode, ran.stderr) == (0, b"")
    assert b"??????? (keys)" in ran.stdout


def test_control_c_says_whether_anything_was_written(
    levelhead: Levelhead, monkeypatch: pytest.MonkeyPatch, duo: str, tmp_path: Path
) -> None:
    made = tmp_path / "hall.yaml"

    def interrupt(*_: object) -> None:
        raise KeyboardInterrupt

    def interrupted_late(*_: object) -> None:
        made.write_text("levelhead: 1", encoding="utf-8")
        raise KeyboardInterrupt

    monkeypatch.setattr(parser, "_run", interrupt)
    ran = levelhead("check", duo)
    assert (ran.status, ran.out, ran.err) == (INTERRUPTED, "", "Stopped; nothing was written.\n")
    ran = levelhead("gains", duo, "-o", str(made))
    assert ran.err == "Stopped; nothing was written.\n"
    monkeypatch.setattr(parser, "_run", interrupted_late)
    ran = levelhead("gains", duo, "-o", str(made))
    assert (ran.status, ran.err) == (INTERRUPTED, f"Stopped; {made} was written before that.\n")


def test_a_folder_that_cannot_be_written_is_named(levelhead: Levelhead, duo: str) -> None:
    ran = levelhead("paper", duo, "-o", "no-such-folder/list.pdf")
    assert (ran.status, ran.out) == (UNREADABLE, "")
    assert "no-such-folder/list.pdf: cannot be written" in ran.err


@pytest.mark.parametrize("argv", [("levels",), ("check", "a.yaml", "--bogus")])
def test_a_wrong_line_says_where_to_read_on(levelhead: Levelhead, argv: tuple[str, ...]) -> None:
    ran = levelhead(*argv)
    assert (ran.status, ran.out) == (2, "")
    assert "What there is: levelhead" in " ".join(ran.err.split())
