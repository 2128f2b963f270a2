"""Rules of the whole run: nothing skipped silently, nothing unsourced, nothing off this machine."""

from __future__ import annotations

import json
import os
import sys
import time
from collections import defaultdict
from ipaddress import ip_address
from pathlib import Path
from typing import Final

import pytest
from hypothesis import settings

import run

TESTS: Final = Path(__file__).parent
BUDGET_S: Final = 15 * 60.0  # of the whole of `make test`, on two cores
NEEDS: Final = {  # marker or fixture -> Debian package
    "oracle": "ngspice",
    "ngspice": "ngspice",
    "browser": "chromium",
    "chromium": "chromium",
    "pdftotext": "poppler-utils",
    "pdftoppm": "poppler-utils",
    "soffice": "libreoffice-calc",
}

settings.register_profile("here", deadline=None)  # two shared cores: time says nothing
settings.register_profile("ci", deadline=None, derandomize=True)  # the same inputs on each run
settings.load_profile("ci" if run.is_ci() else "here")


# ---------------------------------------------------------------- sources


def unsourced(items: list[pytest.Item]) -> list[str]:
    """Tests of published values that do not name their source."""
    bare = []
    for item in items:
        if TESTS / "reference" not in item.path.parents:
            continue
        marker = item.get_closest_marker("reference")
        if marker is None or not marker.args or not str(marker.args[0]).strip():
            bare.append(item.nodeid)
    return bare


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Refuse a test of a published value without `@pytest.mark.reference("source, place")`."""
    if bare := unsourced(items):
        message = 'tests/reference/ needs @pytest.mark.reference("source, place in it"): '
        raise pytest.UsageError(message + ", ".join(bare))


# ---------------------------------------------------------------- programs of the system


def packages_needed(items: list[pytest.Item]) -> set[str]:
    """Debian packages without which the collected tests cannot run."""
    needed = set()
    for item in items:
        reasons = {marker.name for marker in item.iter_markers()}
        reasons |= set(getattr(item, "fixturenames", ()))
        needed |= {NEEDS[reason] for reason in reasons & NEEDS.keys()}
    return needed


def pytest_collection_finish(session: pytest.Session) -> None:
    """Stop before the first test when a program is missing; no test is skipped for it."""
    needed = packages_needed(session.items)
    missing = [
        tool for tool in run.missing_tools(run.TOOLS + run.LONG_TOOLS) if tool.package in needed
    ]
    if missing and not session.config.option.collectonly:
        pytest.exit(run.what_to_type(missing), returncode=run.EXIT_NOT_READY)


def pytest_sessionstart(session: pytest.Session) -> None:
    """Where several processes share the tests, the one above them collects none.

    So it asks for all.
    """
    missing = run.missing_tools() if shares_out(session.config) else []
    if missing:
        pytest.exit(run.what_to_type(missing), returncode=run.EXIT_NOT_READY)


def shares_out(config: pytest.Config) -> bool:
    """Whether this process hands the tests to others (`-n 2`)."""
    return bool(getattr(config.option, "tx", None)) and not hasattr(config, "workerinput")


def path_of(*names: str) -> str:
    """Path of a program; `pytest_collection_finish` has made sure of it."""
    path = run.find_program(*names)
    if path is None:
        pytest.exit(f"{names[0]} is missing", returncode=run.EXIT_NOT_READY)
    return path


@pytest.fixture(scope="session")
def ngspice() -> str:
    """Path of the circuit simulator that our solver is compared with."""
    return path_of("ngspice")


@pytest.fixture(scope="session")
def chromium() -> str:
    """Path of the browser."""
    return path_of("chromium", "chromium-browser")


@pytest.fixture(scope="session")
def pdftotext() -> str:
    """Path of the program that reads the words of a PDF."""
    return path_of("pdftotext")


@pytest.fixture(scope="session")
def pdftoppm() -> str:
    """Path of the program that draws the pages of a PDF."""
    return path_of("pdftoppm")


@pytest.fixture(scope="session")
def soffice() -> str:
    """Path of the spreadsheet program that opens what we write; long tests only."""
    return path_of("soffice", "libreoffice")


# ---------------------------------------------------------------- nothing leaves this machine


def is_outside(host: str) -> bool:
    """Whether a connection to this host would leave the machine."""
    try:
        return not ip_address(host.partition("%")[0]).is_loopback
    except ValueError:
        return host not in {"localhost", ""}


def refuse_to_leave(event: str, arguments: tuple[object, ...]) -> None:
    """Fail a test that connects to another machine: levelhead works without a network."""
    if (
        event == "socket.connect"
        and isinstance(arguments[1], tuple)
        and is_outside(arguments[1][0])
    ):
        raise PermissionError(
            f"a test tried to reach {arguments[1][0]}; levelhead needs no network"
        )


sys.addaudithook(refuse_to_leave)


# ---------------------------------------------------------------- where the time goes


def part_of(nodeid: str) -> str:
    """Part of the run that a test belongs to: a folder of `tests/`, the doctests, the project."""
    folders = nodeid.partition("::")[0].split("/")
    if folders[0] != TESTS.name:
        return "doctests"
    return folders[1] if len(folders) > 2 else "project"


class Stopwatch:
    """Adds up the seconds of each part; a plugin of its own, so that it sees src/ as well.

    Where several processes share the tests, the parts add up to more than the total.
    """

    def __init__(self, processes: int = 1) -> None:
        self.processes = processes
        self.started_s = time.monotonic()
        self.spent_s: dict[str, float] = defaultdict(float)
        self.tests: dict[str, set[str]] = defaultdict(set)

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        """Note one step of one test; fixtures count too."""
        part = part_of(report.nodeid)
        self.spent_s[part] += report.duration
        self.tests[part].add(report.nodeid)

    def rows(self, checks_s: dict[str, float]) -> list[str]:
        """Lines of the time table: the checks before pytest, each part, the total."""
        run_s = time.monotonic() - self.started_s
        rest_s = run_s * self.processes - sum(self.spent_s.values())
        total_s = run_s + sum(checks_s.values())
        verdict = "over budget" if total_s > BUDGET_S else "within budget"
        rows = [(name, "", seconds, "") for name, seconds in checks_s.items()]
        rows += [
            (part, len(self.tests[part]), self.spent_s[part], "") for part in sorted(self.tests)
        ]
        rows += [
            ("collecting", "", rest_s, ""),
            ("total", "", total_s, f" of {BUDGET_S:.0f} s, {verdict}{self.shared()}"),
        ]
        return [
            f"{name:<14} {tests!s:>6} {seconds:8.1f} s{more}" for name, tests, seconds, more in rows
        ]

    def shared(self) -> str:
        """Words that explain why the parts add up to more than the total."""
        return f" ({self.processes} processes at once)" if self.processes > 1 else ""

    def pytest_terminal_summary(self, terminalreporter: pytest.TerminalReporter) -> None:
        """Print the table above pytest's closing line."""
        terminalreporter.section("seconds by part")
        for row in self.rows(json.loads(os.environ.get("LEVELHEAD_CHECK_SECONDS", "{}"))):
            terminalreporter.write_line(row)


def pytest_configure(config: pytest.Config) -> None:
    """Start the clock."""
    processes = len(config.option.tx) if shares_out(config) else 1
    config.pluginmanager.register(Stopwatch(processes), "stopwatch")
