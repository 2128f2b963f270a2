"""The rules of the test run itself: they stop what they say they stop."""

from __future__ import annotations

import os
import shutil
import socket
import subprocess
import sys
from pathlib import Path

import pytest

import run

TESTS = Path(__file__).parent
SOURCED = '@pytest.mark.reference("IEC 61938:2018, clause 7")\ndef test_x():\n    pass\n'


def run_pytest(
    folder: Path, files: dict[str, str], path: str | None = None, words: tuple[str, ...] = ()
) -> str:
    """Run pytest, under our rules, on a project of a few files; return what it printed."""
    for name in ("pyproject.toml", "run.py", "tests/conftest.py"):
        (folder / name).parent.mkdir(exist_ok=True)
        shutil.copy(run.ROOT / name, folder / name)
    (folder / "src").mkdir()
    for name, text in files.items():
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_text("import pytest\n" + text)
    environment = {**os.environ, "PATH": path} if path is not None else dict(os.environ)
    done = subprocess.run(
        [sys.executable, "-m", "pytest", "-p", "no:cacheprovider", *words],
        cwd=folder,
        env=environment,
        capture_output=True,
        text=True,
        check=False,
    )
    return done.stdout + done.stderr + f"\nstatus {done.returncode}"


def test_a_published_value_names_its_source(tmp_path: Path) -> None:
    said = run_pytest(tmp_path, {"tests/reference/test_a.py": SOURCED})
    assert "1 passed" in said


@pytest.mark.parametrize("mark", ["", "@pytest.mark.reference\n", "@pytest.mark.reference(' ')\n"])
def test_a_published_value_without_source_is_refused(tmp_path: Path, mark: str) -> None:
    text = SOURCED + mark + "def test_bare():\n    pass\n"
    said = run_pytest(tmp_path, {"tests/reference/test_a.py": text})
    assert "tests/reference/test_a.py::test_bare" in said
    assert "passed" not in said
    assert said.endswith("status 4")


@pytest.mark.parametrize(
    ("text", "package"),
    [
        ("@pytest.mark.oracle\ndef test_x():\n    pass\n", "ngspice"),
        ("def test_x(ngspice):\n    pass\n", "ngspice"),
        ("@pytest.mark.browser\ndef test_x():\n    pass\n", "chromium"),
        ("def test_x(pdftotext):\n    pass\n", "poppler-utils"),
    ],
)
def test_a_missing_program_stops_the_run(tmp_path: Path, text: str, package: str) -> None:
    """It neither skips nor runs the rest."""
    files = {"tests/oracle/test_a.py": text, "tests/test_b.py": "def test_y():\n    pass\n"}
    said = run_pytest(tmp_path, files, path="")
    assert f"The tests need {package}." in said
    assert "passed" not in said
    assert said.endswith(f"status {run.EXIT_NOT_READY}")


def test_a_missing_program_stops_a_shared_run(tmp_path: Path) -> None:
    """Before any process starts, whichever tests would need it."""
    files = {"tests/test_b.py": "def test_y():\n    pass\n"}
    said = run_pytest(tmp_path, files, path="", words=("-n", "2"))
    assert "The tests need ngspice chromium poppler-utils." in said
    assert "passed" not in said
    assert said.endswith(f"status {run.EXIT_NOT_READY}")


def test_a_missing_program_that_nobody_needs_is_no_matter(tmp_path: Path) -> None:
    said = run_pytest(tmp_path, {"tests/test_b.py": "def test_y():\n    pass\n"}, path="")
    assert said.endswith("status 0")


def test_a_warning_is_a_failure(tmp_path: Path) -> None:
    text = "import warnings\ndef test_x():\n    warnings.warn('old', DeprecationWarning)\n"
    said = run_pytest(tmp_path, {"tests/test_a.py": text})
    assert "1 failed" in said


def test_an_unknown_marker_is_a_failure(tmp_path: Path) -> None:
    said = run_pytest(tmp_path, {"tests/test_a.py": "@pytest.mark.slow\ndef test_x():\n    pass\n"})
    assert "'slow' not found in `markers`" in said


def test_examples_in_docstrings_are_tests(tmp_path: Path) -> None:
    said = run_pytest(tmp_path, {"src/a.py": "def f():\n    '''\n    >>> 1 + 1\n    3\n    '''\n"})
    assert "1 failed" in said


def test_the_seconds_of_each_part_stand_above_the_closing_line(tmp_path: Path) -> None:
    test = "import time\ndef test_x():\n    time.sleep(0.3)\n"
    files = {
        "src/a.py": "def f():\n    '''\n    >>> 1 + 1\n    2\n    '''\n",
        "tests/unit/test_a.py": test,
        "tests/unit/deep/test_a.py": test,
        "tests/test_b.py": test,
    }
    lines = [line.split() for line in run_pytest(tmp_path, files).splitlines()]
    rows = {row[0]: row for row in lines if len(row) > 3}
    assert rows["unit"][1] == "2"
    assert float(rows["unit"][2]) == pytest.approx(0.6, abs=0.2)
    assert rows["project"][1] == "1"
    assert rows["doctests"][1] == "1"
    assert "within budget" in " ".join(rows["total"])
    assert lines.index(rows["total"]) < next(n for n, row in enumerate(lines) if "passed" in row)


def test_a_shared_run_counts_the_seconds_of_all(tmp_path: Path) -> None:
    test = "import time\ndef test_x():\n    time.sleep(0.3)\n"
    files = {"tests/unit/test_a.py": test, "tests/unit/test_b.py": test}
    lines = [line.split() for line in run_pytest(tmp_path, files, words=("-n", "2")).splitlines()]
    rows = {row[0]: row for row in lines if len(row) > 3}
    assert rows["unit"][1] == "2"
    assert "(2 processes at once)" in " ".join(rows["total"])


def test_a_test_that_leaves_this_machine_fails() -> None:
    """The address is one that RFC 5737 reserves for documentation: nobody is there."""
    with pytest.raises(PermissionError, match="needs no network"), socket.socket() as outside:
        outside.connect(("192.0.2.1", 80))


def test_a_test_may_talk_to_this_machine() -> None:
    with socket.create_server(("127.0.0.1", 0)) as server:
        socket.create_connection(server.getsockname()).close()
