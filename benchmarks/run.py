"""Find the benchmarks in ``benchmarks/bench_*.py``, time them, print a table for each group."""

from __future__ import annotations

import argparse
import importlib
import sys
from collections.abc import Iterator, Sequence
from pathlib import Path

HERE = Path(__file__).resolve().parent
sys.path.insert(0, str(HERE.parent))  # bench_*.py import benchmarks.harness

from benchmarks.harness import Benchmark, benchmarks_in, table, time_all  # noqa: E402 - needs the path


def discover(folder: Path = HERE) -> Iterator[Benchmark]:
    """All benchmarks of the project."""
    for path in sorted(folder.glob("bench_*.py")):
        yield from benchmarks_in(importlib.import_module(f"benchmarks.{path.stem}"))


def main(arguments: Sequence[str] | None = None) -> int:
    """0 when something ran, 2 when no benchmark has such a name."""
    parser = argparse.ArgumentParser(prog="make bench", description=__doc__)
    parser.add_argument("word", nargs="?", default="", help="only groups and names that contain it")
    parser.add_argument("--smoke", action="store_true", help="run each once, to see that it runs")
    options = parser.parse_args(arguments)
    chosen = [entry for entry in discover() if options.word in f"{entry.group} {entry.name}"]
    if not chosen:
        print(f"No benchmark is called anything like {options.word!r}.", file=sys.stderr)
        return 2
    for timings in time_all(chosen, smoke=options.smoke):
        print(table(timings), end="\n\n", flush=True)
    return 0


if __name__ == "__main__":
    sys.exit(main())
