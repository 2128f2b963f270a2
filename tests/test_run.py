"""The one command that sets everything up: what it says when something is missing."""

from __future__ import annotations

import subprocess
import sys
from importlib.util import cache_from_source
from pathlib import Path

import pytest

import run

LEVELS = {
    "points": [
        {"at": "desk.ch1.mic", "unit": "dBu", "peak": -20.0, "ceiling": 0.0, "headroom": 20.0},
        {"at": "desk.ch2.mic", "unit": "dBu", "peak": -1.5, "ceiling": 0.0, "headroom": 1.5},
        {"at": "pa.air", "unit": "dB SPL", "peak": 99.0, "ceiling": None, "headroom": None},
    ],
    "paths": [["desk.ch1.mic"], ["desk.ch2.mic"]],
}


@pytest.fixture
def project(tmp_path: Path) -> Path:
    """Make a folder with what an installation depends on."""
    (tmp_path / "pyproject.toml").write_text("[project]\n")
    (tmp_path / "constraints.txt").write_text("numpy==2.4.6\n")
    return tmp_path


def test_an_old_python_is_told_which_one_is_needed() -> None:
    with pytest.raises(run.Stop, match=r"3\.11 or newer; /x/python is 3\.9.*PYTHON=python3\.11"):
        run.check_python((3, 9), "/x/python")
    run.check_python((3, 11), "python")


def test_a_missing_ensurepip_names_the_exact_package(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(run.importlib.util, "find_spec", lambda _: None)
    with pytest.raises(run.Stop, match=r"Type: sudo apt-get install python3\.12-venv$"):
        run.check_ensurepip((3, 12))


@pytest.mark.parametrize("name", ["pyproject.toml", "constraints.txt"])
def test_a_change_of_what_is_required_installs_again(project: Path, name: str) -> None:
    before = run.stamp_of(project)
    assert run.stamp_of(project) == before
    with (project / name).open("a") as file:
        file.write("# changed\n")
    assert run.stamp_of(project) != before


def test_a_moved_folder_installs_again(project: Path) -> None:
    """Scripts in .venv name the folder where they were installed."""
    before = run.stamp_of(project)
    assert run.stamp_of(project.rename(project.with_name("moved"))) != before


def test_an_environment_is_made_once_and_reused(
    project: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A broken one is made anew; nothing is installed twice."""
    installed: list[Path] = []
    monkeypatch.setattr(run, "install", lambda python, _: installed.append(python))
    (project / ".venv").mkdir()
    python = run.ensure_environment(project)
    assert run.is_working(python)
    assert run.ensure_environment(project) == python
    assert installed == [python]


def test_sources_are_kept_as_byte_code(project: Path) -> None:
    """Also where Python is told to write none: commands start sooner."""
    module = project / "src" / "levelhead" / "module.py"
    module.parent.mkdir(parents=True)
    module.write_text("number = 1")
    run.compile_sources(Path(sys.executable), project)
    assert Path(cache_from_source(str(module))).exists()


def test_an_interrupted_install_is_begun_again(
    project: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The stamp is set last."""

    def fail(*_: object) -> None:
        raise run.Stop("no network")

    monkeypatch.setattr(run, "is_working", lambda _: True)
    monkeypatch.setattr(run, "install", fail)
    (project / ".venv").mkdir()
    for _ in range(2):
        with pytest.raises(run.Stop, match="no network"):
            run.ensure_environment(project)


@pytest.mark.parametrize(
    ("programs", "platform", "said"),
    [
        ({"apt-get"}, "linux", "Type: sudo apt-get install ngspice chromium poppler-utils "),
        (set(), "darwin", "Type: brew install ngspice; brew install --cask chromium; brew install"),
        (set(), "win32", "on the PATH: ngspice, chromium or chromium-browser, pdftotext, pdftoppm"),
    ],
)
def test_missing_programs_stop_with_one_line(
    monkeypatch: pytest.MonkeyPatch, programs: set[str], platform: str, said: str
) -> None:
    """The line says what to type, on each kind of machine."""
    monkeypatch.setattr(run.shutil, "which", lambda name: name if name in programs else None)
    monkeypatch.setattr(run.sys, "platform", platform)
    with pytest.raises(run.Stop) as stopped:
        run.ensure_tools(may_install=False)
    assert said in str(stopped.value)
    assert "\n" not in str(stopped.value)
    assert stopped.value.status != 0


def test_missing_programs_are_installed_where_that_is_allowed(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    present = {"apt-get", "ngspice", "chromium-browser", "pdftotext"}
    monkeypatch.setattr(run.shutil, "which", lambda name: name if name in present else None)
    monkeypatch.setattr(
        run, "apt_install", lambda packages: present.update(["pdftoppm", *packages])
    )
    run.ensure_tools(may_install=True)
    assert "poppler-utils" in present
    assert "ngspice-doc" not in present


@pytest.mark.parametrize(
    ("value", "is_ci"), [("true", True), ("1", True), ("", False), ("false", False)]
)
def test_only_ci_installs_without_asking(
    monkeypatch: pytest.MonkeyPatch,
    value: str,
    is_ci: bool,  # noqa: FBT001 - a column of the table
) -> None:
    monkeypatch.setenv("CI", value)
    assert run.is_ci() is is_ci


def test_the_summary_shows_the_least_headroom_first() -> None:
    heading, first, second = run.summary(LEVELS).splitlines()
    assert heading == "3 points on 2 paths; least headroom on peaks:"
    assert first.split()[0] == "desk.ch2.mic"
    assert first.endswith("peak   -1.5, ceiling   +0.0 dBu, headroom 1.5 dB")
    assert second.split()[0] == "desk.ch1.mic"


def test_the_makefile_offers_every_command() -> None:
    """Windows and make have the same ones."""
    makefile = (run.ROOT / "Makefile").read_text()
    assert f"\n{' '.join(run.COMMANDS)}:" in makefile


@pytest.mark.parametrize(("words", "status"), [([], 0), (["help"], 0), (["bake"], 2)])
def test_every_command_is_listed_with_what_it_does(words: list[str], status: int) -> None:
    started = subprocess.run(
        [sys.executable, "run.py", *words],
        cwd=run.ROOT,
        capture_output=True,
        text=True,
        check=False,
    )
    assert started.returncode == status
    for name in run.COMMANDS:
        assert f"make {name} " in started.stdout


def test_run_needs_nothing_but_the_standard_library() -> None:
    """It starts before anything is installed."""
    started = subprocess.run(
        [sys.executable, "-I", "-S", "run.py"],
        cwd=run.ROOT,
        capture_output=True,
        text=True,
        check=False,
    )
    assert (started.returncode, started.stderr) == (0, "")
