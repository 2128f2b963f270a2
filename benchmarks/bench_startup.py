"""How long a person waits before levelhead does anything: whole processes."""

from __future__ import annotations

import subprocess
import sys

from benchmarks.harness import Call, benchmark

GROUP = "start of a process"


def process(*arguments: str) -> Call:
    """Start this Python with these arguments and wait for its end."""

    def start() -> None:
        subprocess.run([sys.executable, *arguments], stdout=subprocess.DEVNULL, check=True)

    return start


@benchmark(group=GROUP, name="Python alone")
def python_alone() -> Call:
    """Measure the yardstick: nobody can be faster."""
    return process("-c", "pass")


@benchmark(group=GROUP, name="import levelhead")
def import_levelhead() -> Call:
    """Import the Python API."""
    return process("-c", "import levelhead")


@benchmark(group=GROUP, name="import numpy")
def import_numpy() -> Call:
    """Import what the solvers need anyway."""
    return process("-c", "import numpy")


@benchmark(group=GROUP, name="levelhead --help", goal_s=0.3)
def command_help() -> Call:
    """Ask the command what it can do."""
    return process("-c", "import sys; from levelhead.cli import main; sys.exit(main(['--help']))")
