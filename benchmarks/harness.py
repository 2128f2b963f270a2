"""A small harness: named benchmarks, medians of several runs, ratios within one run.

A benchmark is a function that prepares its input and returns the call to be timed::

    @benchmark(group="network", name="1 island, 31 bands")
    def one_island() -> Call:
        network = build()
        return lambda: solve_networks([network], MID_HZ)

The first of a group is its yardstick. Times differ from machine to machine and from day to day;
ratios of one run hardly do, so nothing here asserts a time.
"""

from __future__ import annotations

import atexit
import gc
import math
import os
import shutil
import statistics
import sys
import tempfile
import time
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import cache
from itertools import groupby
from types import ModuleType
from typing import Final

Call = Callable[[], object]

RUNS: Final = 15
FEWEST_FOR_P95: Final = 20
WARM_UPS: Final = 2
SHORTEST_SAMPLE_S: Final = (
    2e-3  # shorter calls are repeated, so that the clock's steps do not count
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Benchmark:
    """Something to be timed; its goals are printed beside it, never asserted."""

    group: str
    name: str
    prepare: Callable[[], Call]
    runs: int = RUNS
    goal_s: float | None = None
    goal_ratio: float | None = None
    count: int | None = None  # of like things in it, to tell the time of each
    measures: bool = False  # the call itself returns the seconds


@dataclass(frozen=True, slots=True)
class Timing:
    """Seconds of each run of one benchmark."""

    benchmark: Benchmark
    samples_s: tuple[float, ...]

    @property
    def median_s(self) -> float:
        """Middle run."""
        return statistics.median(self.samples_s)

    @property
    def p95_s(self) -> float | None:
        """Time within which 95 % of many runs were done; ``None`` for few."""
        if len(self.samples_s) < FEWEST_FOR_P95:
            return None
        return statistics.quantiles(self.samples_s, n=20)[-1]


@cache
def _byte_code() -> str:
    """A folder for byte code, which an installed program has beside its sources."""
    folder = tempfile.mkdtemp(prefix="levelhead-byte-code-")
    atexit.register(shutil.rmtree, folder, ignore_errors=True)
    return folder


def as_installed() -> dict[str, str]:
    """The environment of a process that is to start as an installed program does.

    Sources are compiled once, as an installer does it and ``make demo``, also where this machine
    keeps no byte code; the first start pays for that.
    """
    kept = {name: text for name, text in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
    paths = os.pathsep.join(each for each in sys.path if each)
    return {**kept, "PYTHONPATH": paths, "PYTHONPYCACHEPREFIX": _byte_code()}


def benchmark(
    *,
    group: str,
    name: str,
    runs: int = RUNS,
    goal_s: float | None = None,
    goal_ratio: float | None = None,
    count: int | None = None,
) -> Callable[[Callable[[], Call]], Benchmark]:
    """Turn a function that prepares a call into a benchmark."""

    def turn(prepare: Callable[[], Call]) -> Benchmark:
        return Benchmark(
            group=group,
            name=name,
            prepare=prepare,
            runs=runs,
            goal_s=goal_s,
            goal_ratio=goal_ratio,
            count=count,
        )

    return turn


def benchmarks_in(module: ModuleType) -> Iterator[Benchmark]:
    """Benchmarks of a module, also those in lists, in the order of the file."""
    for value in vars(module).values():
        for candidate in value if isinstance(value, list | tuple) else [value]:
            if isinstance(candidate, Benchmark):
                yield candidate


# ---------------------------------------------------------------- timing


def sample_s(call: Call, calls: int) -> float:
    """Seconds of one call, as the mean of several in a row, without the garbage collector."""
    was_enabled = gc.isenabled()
    gc.disable()
    try:
        started = time.perf_counter()
        for _ in range(calls):
            call()
        return (time.perf_counter() - started) / calls
    finally:
        if was_enabled:
            gc.enable()


def taken_s(entry: Benchmark, call: Call, calls: int) -> float:
    """Seconds of one call: timed here, or measured by the call."""
    return float(str(call())) if entry.measures else sample_s(call, calls)


def time_group(benchmarks: Sequence[Benchmark], *, smoke: bool = False) -> list[Timing]:
    """Time one group, taking turns: a slow moment of the machine then falls on all of them."""
    calls = [entry.prepare() for entry in benchmarks]
    if smoke:
        return [
            Timing(entry, (taken_s(entry, call, 1),))
            for entry, call in zip(benchmarks, calls, strict=True)
        ]
    repeats = []
    for entry, call in zip(benchmarks, calls, strict=True):
        warm_s = min(taken_s(entry, call, 1) for _ in range(WARM_UPS))
        repeats.append(max(1, math.ceil(SHORTEST_SAMPLE_S / max(warm_s, 1e-9))))
    samples: list[list[float]] = [[] for _ in benchmarks]
    for turn in range(max(entry.runs for entry in benchmarks)):
        for entry, call, repeat, taken in zip(benchmarks, calls, repeats, samples, strict=True):
            if turn < entry.runs:
                taken.append(taken_s(entry, call, repeat))
    return [Timing(entry, tuple(taken)) for entry, taken in zip(benchmarks, samples, strict=True)]


def time_all(benchmarks: Iterable[Benchmark], *, smoke: bool = False) -> Iterator[list[Timing]]:
    """Time all benchmarks, a list a group."""
    in_order = sorted(benchmarks, key=lambda entry: entry.group)
    for _, group in groupby(in_order, key=lambda entry: entry.group):
        yield time_group(list(group), smoke=smoke)


# ---------------------------------------------------------------- printing


def format_s(seconds: float) -> str:
    """Time with three digits: ``1.23 ms``."""
    for unit, factor in (("s", 1.0), ("ms", 1e3), ("us", 1e6)):
        if seconds * factor >= 1:
            return f"{seconds * factor:.3g} {unit}"
    return f"{seconds * 1e9:.3g} ns"


def format_goal(entry: Benchmark) -> str:
    """Goal of a benchmark, as the table prints it."""
    goals = [] if entry.goal_s is None else [format_s(entry.goal_s)]
    goals += [] if entry.goal_ratio is None else [f"x {entry.goal_ratio:g}"]
    return ", ".join(goals)


def table(timings: Sequence[Timing]) -> str:
    """Table of one group: median, fastest and slowest run, ratio to the first row, goal."""
    first = timings[0]
    lines = [
        f"{first.benchmark.group:<38} {'median':>9} {'fastest':>9} {'slowest':>9} {'ratio':>8}"
    ]
    for timing in timings:
        row = (timing.median_s, min(timing.samples_s), max(timing.samples_s))
        times = " ".join(f"{format_s(seconds):>9}" for seconds in row)
        ratio = timing.median_s / first.median_s if first.median_s else math.nan
        goal = format_goal(timing.benchmark)
        line = f"  {timing.benchmark.name:<36} {times} {'x ' + format(ratio, '.3g'):>8}"
        count = timing.benchmark.count
        line += f"   {format_s(timing.median_s / count)} each" if count else ""
        line += f"   p95 {format_s(timing.p95_s)}" if timing.p95_s is not None else ""
        lines.append(line + (f"   goal {goal}" if goal else ""))
    return "\n".join(lines)
