"""One command sets everything up and runs it: ``make demo``, or ``py run.py demo`` on Windows.

Standard library only, because it runs before anything is installed. It makes ``.venv``, installs
levelhead into it when ``pyproject.toml`` or ``constraints.txt`` changed, then does what was asked.
"""

from __future__ import annotations

import hashlib
import importlib.util
import json
import os
import shutil
import subprocess
import sys
import time
from pathlib import Path
from typing import Any, NamedTuple

ROOT = Path(__file__).resolve().parent
OLDEST_PYTHON = (3, 11)
DEMO_SHOW = "src/levelhead/examples/village-hall.yaml"
TIGHTEST_POINTS = 5  # shown by the demo
EXIT_NOT_READY = 3  # something must be installed first; 1 and 2 are the tools' own


class Stop(Exception):
    """The work cannot go on; the message says what to do."""

    def __init__(self, message: str, status: int = EXIT_NOT_READY) -> None:
        super().__init__(message)
        self.status = status


class Tool(NamedTuple):
    """A program that tests need and pip cannot bring: in Debian, in Homebrew, on the PATH."""

    package: str
    brew: str
    programs: tuple[tuple[str, ...], ...]  # all of these are needed, any of the names will do


TOOLS = (
    Tool("ngspice", "ngspice", (("ngspice",),)),
    Tool("chromium", "--cask chromium", (("chromium", "chromium-browser"),)),
    Tool("poppler-utils", "poppler", (("pdftotext",), ("pdftoppm",))),
)
LONG_TOOLS = (  # only of the tests that take minutes
    Tool("libreoffice-calc", "--cask libreoffice", (("soffice", "libreoffice"),)),
)


def say(text: str) -> None:
    """Talk goes to stderr; stdout belongs to results."""
    print(text, file=sys.stderr, flush=True)


# ---------------------------------------------------------------- Python and .venv


def check_python(version: tuple[int, int], executable: str) -> None:
    """Stop unless this Python is new enough."""
    if version < OLDEST_PYTHON:
        have, need = (".".join(map(str, v)) for v in (version, OLDEST_PYTHON))
        raise Stop(
            f"levelhead needs Python {need} or newer; {executable} is {have}. "
            f"With a newer one installed, type: make demo PYTHON=python{need} "
            f"(Windows: py -{need} run.py demo)"
        )


def check_ensurepip(version: tuple[int, int]) -> None:
    """Stop when this Python cannot make environments: Debian and Ubuntu package that apart."""
    found = importlib.util.find_spec("ensurepip")
    if found is None or found.origin is None:  # no origin: only an empty folder is left of it
        package = "python{}.{}-venv".format(*version)
        raise Stop(
            f"This Python cannot make .venv, because its module ensurepip is missing. "
            f"Type: sudo apt-get install {package}"
        )


def venv_program(name: str, root: Path = ROOT) -> Path:
    """Path of a program in ``.venv``."""
    return root / ".venv" / ("Scripts/" + name + ".exe" if os.name == "nt" else "bin/" + name)


def is_working(python: Path) -> bool:
    """Whether ``.venv`` holds a Python that starts and is new enough."""
    question = f"import sys; sys.exit(sys.version_info < {OLDEST_PYTHON})"
    try:
        return subprocess.run([python, "-I", "-c", question], check=False).returncode == 0
    except OSError:
        return False


def stamp_of(root: Path) -> str:
    """Hash of what an installation depends on; the place counts, since scripts name it."""
    digest = hashlib.sha256(str(root).encode())
    for name in ("pyproject.toml", "constraints.txt"):
        digest.update(b"\0" + (root / name).read_bytes())
    return digest.hexdigest()


def ensure_environment(root: Path = ROOT) -> Path:
    """Python of an up-to-date ``.venv``, made or mended where necessary."""
    python, stamp = venv_program("python", root), root / ".venv" / "levelhead-stamp"
    if not is_working(python):
        check_ensurepip(sys.version_info[:2])
        say("Making .venv ...")
        command = [sys.executable, "-m", "venv", "--clear", str(root / ".venv")]
        if subprocess.run(command, check=False).returncode:
            raise Stop("Making .venv failed; the lines above say why.")
    wanted = stamp_of(root)
    if not stamp.exists() or stamp.read_text() != wanted:
        install(python, root)
        stamp.write_text(wanted)
    compile_sources(python, root)
    return python


def compile_sources(python: Path, root: Path) -> None:
    """Byte code of our package, as pip makes it for every package that is not editable.

    Each command starts 0.4 s sooner, also where Python itself is told to write no byte code.
    """
    command = [python, "-m", "compileall", "-q", str(root / "src" / "levelhead")]
    subprocess.run(command, stdout=subprocess.DEVNULL, check=False)  # else it only starts slower


def install(python: Path, root: Path) -> None:
    """Install levelhead, editable, with everything that its tests need."""
    say("Installing levelhead and its libraries into .venv (the first time about 630 MB) ...")
    started = time.monotonic()
    pip = [python, "-m", "pip", "install", "--quiet", "--disable-pip-version-check"]
    command = [*pip, "--constraint", "constraints.txt", "--editable", ".[dev]"]
    if subprocess.run(command, cwd=root, check=False).returncode:
        raise Stop(
            "pip could not install; the lines above say why. It needs the network once; "
            "run the same command again."
        )
    say(f"Installed in {time.monotonic() - started:.0f} s.")


# ---------------------------------------------------------------- programs from the system


def find_program(*names: str) -> str | None:
    """Path of the first of these programs that is installed."""
    return next((path for path in map(shutil.which, names) if path), None)


def missing_tools(tools: tuple[Tool, ...] = TOOLS) -> list[Tool]:
    """Those tools of the tests that are not installed."""
    return [tool for tool in tools if not all(find_program(*names) for names in tool.programs)]


def what_to_type(tools: list[Tool]) -> str:
    """One line that says how to install tools on this machine."""
    packages = " ".join(tool.package for tool in tools)
    if shutil.which("apt-get"):
        return (
            f"The tests need {packages}. Type: sudo apt-get install {packages}   (or: make setup)"
        )
    if sys.platform == "darwin":
        commands = "; ".join("brew install " + tool.brew for tool in tools)
        return f"The tests need {packages}. Type: {commands}"
    programs = ", ".join(" or ".join(names) for tool in tools for names in tool.programs)
    return f"The tests need {packages}. Install them so that these are on the PATH: {programs}"


def ensure_tools(*, may_install: bool, tools: tuple[Tool, ...] = TOOLS) -> None:
    """Stop, or install, when a tool of the tests is missing; nothing is ever skipped for it."""
    missing = missing_tools(tools)
    if missing and may_install and shutil.which("apt-get"):
        apt_install([tool.package for tool in missing])
        missing = missing_tools(tools)
    if missing:
        raise Stop(what_to_type(missing))


def apt_install(packages: list[str]) -> None:
    """Install Debian packages, asking sudo for the right where necessary."""
    say("Installing " + " ".join(packages) + " with apt-get ...")
    prefix = [] if os.geteuid() == 0 else ["sudo"]
    quiet = dict(os.environ, DEBIAN_FRONTEND="noninteractive")
    for command in (["update", "-qq"], ["install", "-y", "-qq", *packages]):
        done = subprocess.run(
            [*prefix, "apt-get", *command], env=quiet, stdout=subprocess.DEVNULL, check=False
        )
        if done.returncode:
            raise Stop("apt-get " + command[0] + " failed; the lines above say why.")


def is_ci() -> bool:
    """Whether this is an unattended run, where packages may be installed without asking."""
    return os.environ.get("CI", "").lower() not in {"", "0", "false"}


# ---------------------------------------------------------------- the commands


def run_setup(rest: list[str]) -> int:
    """Prepare .venv and the system packages that the tests need."""
    del rest
    ensure_environment()
    ensure_tools(may_install=True)
    say("All set: make demo, make test.")
    return 0


def run_demo(rest: list[str]) -> int:
    """Print the result for the demo show; its verdict never counts as a failure."""
    ensure_environment()
    levelhead = str(venv_program("levelhead").relative_to(ROOT))
    show = rest[0] if rest else DEMO_SHOW
    levels = subprocess.run(
        [levelhead, "levels", show, "--json"], cwd=ROOT, stdout=subprocess.PIPE, check=False
    )
    try:
        print(f"{show} in short, from {levelhead} levels {show}:")
        print(summary(json.loads(levels.stdout)))
    except (ValueError, KeyError) as error:
        raise Stop(f"levelhead levels {show} gave no levels ({error!r}).", 1) from error
    print(f"\n$ {levelhead} check {show}", flush=True)
    check = subprocess.run(
        [levelhead, "check", show], cwd=ROOT, stderr=subprocess.PIPE, text=True, check=False
    )
    sys.stderr.write(check.stderr)
    if check.returncode not in {0, 1} or "Traceback" in check.stderr:
        return check.returncode
    print(f"\nThe same in the app:  {levelhead} open {show}")
    return 0


def summary(levels: dict[str, Any]) -> str:
    """Size of the show and its points of least headroom, from ``levelhead levels --json``."""
    points = [point for point in levels["points"] if point["headroom"] is not None]
    points.sort(key=lambda point: point["headroom"])
    lines = [
        "{} points on {} paths; least headroom on peaks:".format(
            len(levels["points"]), len(levels["paths"])
        )
    ]
    row = "  {at:<32} peak {peak:+6.1f}, ceiling {ceiling:+6.1f} {unit}, headroom {headroom:.1f} dB"
    lines += [row.format(**point) for point in points[:TIGHTEST_POINTS]]
    return "\n".join(lines)


CHECKS = {
    "ruff check": ["ruff", "check", "--quiet"],
    "ruff format": ["ruff", "format", "--check", "--quiet"],
    "mypy": ["mypy", "--no-error-summary"],
}


def lint(python: Path) -> dict[str, float]:
    """Seconds each check took; all of them run, then any failure stops."""
    seconds, failed = {}, []
    for name, command in CHECKS.items():
        started = time.monotonic()
        status = subprocess.run([python, "-m", *command], cwd=ROOT, check=False).returncode
        seconds[name] = time.monotonic() - started
        say(f"{name:<12} {seconds[name]:6.1f} s  {'failed' if status else 'fine'}")
        failed += [name] if status else []
    if failed:
        raise Stop(
            "Not clean: " + ", ".join(failed) + ". (Layout: .venv's ruff format mends it.)", 1
        )
    return seconds


def run_lint(rest: list[str]) -> int:
    """Check the code: ruff, its layout, mypy."""
    del rest
    lint(ensure_environment())
    return 0


TEST_PROCESSES = 2  # the budget of the tests is for two cores


def run_tests(rest: list[str]) -> int:
    """Check the code, then run all tests but the long ones; words after it go to pytest."""
    python = ensure_environment()
    ensure_tools(may_install=is_ci())
    # tests/conftest.py prints these with the seconds of each part, so that pytest has the last word
    checks = dict(os.environ, LEVELHEAD_CHECK_SECONDS=json.dumps(lint(python)))
    checks.setdefault("OPENBLAS_NUM_THREADS", "1")  # the cores are shared out already
    command = [python, "-m", "pytest", "-n", str(TEST_PROCESSES), "--dist", "worksteal", *rest]
    return subprocess.run(command, cwd=ROOT, env=checks, check=False).returncode


def run_long_tests(rest: list[str]) -> int:
    """Run the tests that take minutes."""
    python = ensure_environment()
    ensure_tools(may_install=is_ci(), tools=TOOLS + LONG_TOOLS)
    return subprocess.run(
        [python, "-m", "pytest", "-m", "long", *rest], cwd=ROOT, check=False
    ).returncode


def run_bench(rest: list[str]) -> int:
    """Time the benchmarks; --smoke runs each once."""
    command = [ensure_environment(), "benchmarks/run.py", *rest]
    return subprocess.run(command, cwd=ROOT, check=False).returncode


def run_docs(rest: list[str]) -> int:
    """Write the real output of commands into the README and the manual."""
    command = [ensure_environment(), "docs/fill.py", *rest]
    return subprocess.run(command, cwd=ROOT, check=False).returncode


def run_pictures(rest: list[str]) -> int:
    """Take the pictures of the manual anew, with Chromium."""
    command = [ensure_environment(), "docs/pictures.py", *rest]
    return subprocess.run(command, cwd=ROOT, check=False).returncode


COMMANDS = {
    "setup": run_setup,
    "demo": run_demo,
    "test": run_tests,
    "test-long": run_long_tests,
    "lint": run_lint,
    "bench": run_bench,
    "docs": run_docs,
    "pictures": run_pictures,
}


def usage() -> str:
    """List the commands, a line each."""
    rows = (f"  make {name:<10} {(call.__doc__ or '').strip()}" for name, call in COMMANDS.items())
    return "\n".join([*rows, "Without make: python3 run.py demo (Windows: py run.py demo)"])


def main(arguments: list[str]) -> int:
    """Run one command; 3 says that something must be installed first."""
    if not arguments or arguments[0] not in COMMANDS:
        print(usage())
        return 0 if arguments in ([], ["help"], ["--help"], ["-h"]) else 2
    try:
        check_python(sys.version_info[:2], sys.executable)
        return COMMANDS[arguments[0]](arguments[1:])
    except Stop as stop:
        say(str(stop))
        return stop.status
    except KeyboardInterrupt:
        return 130


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
