"""Write the real output of commands into the README and the manual.

A block starts with ``<!-- output: levelhead check friday.yaml -->`` and ends with
``<!-- end -->``; what stands between is replaced. With ``, first 12 lines`` behind the command
only so much is shown. A block that starts with ``<!-- made by: tests.cases.confusion -->`` takes
what that module prints, as it is. Examples of Python in a block of ``pycon`` get what they print,
with the shows that come with the program as ``friday.yaml`` and ``hall.yaml``. ``--check`` writes
nothing and says which pages are out of date.
"""

from __future__ import annotations

import argparse
import contextlib
import doctest
import io
import os
import re
import shlex
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Final

ROOT: Final = Path(__file__).resolve().parents[1]
BLOCK: Final = re.compile(
    r"(?P<open><!-- output: (?P<command>levelhead .+?)(?:, first (?P<lines>\d+) lines)? -->\n)"
    r"(?P<body>.*?)(?P<close><!-- end -->)",
    re.DOTALL,
)
MADE: Final = re.compile(
    r"(?P<open><!-- made by: (?P<module>[\w.]+) -->\n)(?P<body>.*?)(?P<close><!-- end -->)",
    re.DOTALL,
)
PYTHON: Final = re.compile(r"(?<=```pycon\n)(?P<code>.*?)(?=```)", re.DOTALL)
SHOWS: Final = {"friday.yaml": "duo-in-a-pub.yaml", "hall.yaml": "village-hall.yaml"}
VERDICTS: Final = (0, 1)  # exit status of a command that could answer


def run_command(command: str) -> str:
    """Output of a levelhead command, 80 columns wide, as run in the project's folder."""
    code = "import sys; from levelhead.cli import main; sys.exit(main(sys.argv[1:]))"
    done = subprocess.run(
        [sys.executable, "-c", code, *shlex.split(command)[1:]],
        cwd=ROOT,
        env=dict(os.environ, COLUMNS="80", PYTHONIOENCODING="utf-8"),
        capture_output=True,
        encoding="utf-8",
        check=False,
    )
    if done.returncode not in VERDICTS or "Traceback" in done.stderr:
        raise SystemExit(f"{command} failed:\n{done.stderr}")
    return done.stdout


def run_module(module: str) -> str:
    """What a module of the project prints when it is run."""
    done = subprocess.run(
        [sys.executable, "-m", module],
        cwd=ROOT,
        env=dict(os.environ, PYTHONIOENCODING="utf-8"),
        capture_output=True,
        encoding="utf-8",
        check=False,
    )
    if done.returncode:
        raise SystemExit(f"{module} failed:\n{done.stderr}")
    return done.stdout


def fill(
    text: str,
    run: Callable[[str], str] = run_command,
    make: Callable[[str], str] = run_module,
) -> str:
    """Text with every block's output made anew."""

    def filled(block: re.Match[str]) -> str:
        lines = run(block["command"]).rstrip().splitlines()
        if block["lines"] and len(lines) > int(block["lines"]):
            lines = [*lines[: int(block["lines"])], "..."]
        shown = "\n".join([f"$ {block['command']}", *lines])
        return f"{block['open']}```text\n{shown}\n```\n{block['close']}"

    def made(block: re.Match[str]) -> str:
        return f"{block['open']}\n{make(block['module']).strip()}\n\n{block['close']}"

    return run_examples(MADE.sub(made, BLOCK.sub(filled, text)))


def run_examples(text: str) -> str:
    """Text with what its examples of Python print, all run in one go from the top."""
    if not PYTHON.search(text):
        return text
    names: dict[str, object] = {}
    with tempfile.TemporaryDirectory() as folder, contextlib.chdir(folder):
        for name, example in SHOWS.items():
            shutil.copy(ROOT / "src" / "levelhead" / "examples" / example, name)
        return PYTHON.sub(lambda block: _run_block(block["code"], names), text)


def _run_block(code: str, names: dict[str, object]) -> str:
    lines = []
    for example in doctest.DocTestParser().get_examples(code):
        first, *more = example.source.splitlines()
        lines += [f">>> {first}", *(f"... {line}" for line in more)]
        said = io.StringIO()
        with contextlib.redirect_stdout(said):
            exec(compile(example.source, "example", "single"), names)  # noqa: S102 - our own pages
        lines += said.getvalue().rstrip().splitlines()
    return "".join(f"{line}\n" for line in lines)


def pages(root: Path = ROOT) -> list[Path]:
    """Files that may hold blocks."""
    return [root / "README.md", *sorted((root / "docs").glob("*.md"))]


def main(arguments: Sequence[str] | None = None) -> int:
    """0 when all is up to date, 1 when ``--check`` found an old block."""
    parser = argparse.ArgumentParser(prog="make docs", description=__doc__)
    parser.add_argument("--check", action="store_true", help="write nothing, only compare")
    options = parser.parse_args(arguments)
    old = []
    for path in pages():
        text = path.read_text(encoding="utf-8")
        filled = fill(text)
        if filled != text:
            old.append(path.relative_to(ROOT).as_posix())
            if not options.check:
                path.write_text(filled, encoding="utf-8")
    said = "out of date" if options.check else "written"
    print(f"{said}: {', '.join(old)}" if old else "All printed outputs are up to date.")
    return 1 if options.check and old else 0


if __name__ == "__main__":
    sys.exit(main())
