"""How long a person waits before levelhead has answered: whole processes."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path
from typing import Final

from benchmarks.harness import Call, as_installed, benchmark

GROUP: Final = "start of a process"
COMMAND: Final = "import sys; from levelhead.cli import main; main(sys.argv[1:])"
DEMO: Final = Path(__file__).parents[1] / "src" / "levelhead" / "examples" / "village-hall.yaml"
RUNS: Final = 7


def process(*arguments: str) -> Call:
    """Start this Python with these arguments and wait for its end."""

    def start() -> None:
        command = [sys.executable, *arguments]
        subprocess.run(command, stdout=subprocess.DEVNULL, check=True, env=as_installed())

    return start


@benchmark(group=GROUP, name="Python alone", runs=RUNS)
def python_alone() -> Call:
    """Measure the yardstick: nobody can be faster."""
    return process("-c", "pass")


@benchmark(group=GROUP, name="import levelhead", runs=RUNS)
def import_levelhead() -> Call:
    """Import the Python API."""
    return process("-c", "import levelhead")


@benchmark(group=GROUP, name="import numpy", runs=RUNS)
def import_numpy() -> Call:
    """Import what the solvers need anyway."""
    return process("-c", "import numpy")


@benchmark(group=GROUP, name="levelhead --help", runs=RUNS, goal_s=0.3)
def command_help() -> Call:
    """Ask the command what it can do."""
    return process("-c", COMMAND, "--help")


@benchmark(group=GROUP, name="levelhead gear", runs=RUNS)
def command_gear() -> Call:
    """List the gear book."""
    return process("-c", COMMAND, "gear")


@benchmark(group=GROUP, name="levelhead ask", runs=RUNS, goal_s=0.7)
def command_ask() -> Call:
    """Ask one question."""
    return process("-c", COMMAND, "ask", "amp speaker out", "powered loudspeaker line input")


@benchmark(group=GROUP, name="levelhead levels, the demo", runs=RUNS)
def command_levels() -> Call:
    """Levels of the demo show."""
    return process("-c", COMMAND, "levels", str(DEMO))


@benchmark(group=GROUP, name="levelhead check, the demo", runs=RUNS)
def command_check() -> Call:
    """Check the demo show."""
    return process("-c", COMMAND, "check", str(DEMO))
