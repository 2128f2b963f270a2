"""The benchmark harness: what it counts, and that every benchmark of the project runs."""

from __future__ import annotations

from types import ModuleType

import pytest

from benchmarks.harness import (
    Benchmark,
    Call,
    Timing,
    benchmark,
    benchmarks_in,
    format_s,
    table,
    time_group,
)
from benchmarks.run import discover, main


def counting(group: str, counter: list[str], *, runs: int = 3) -> Benchmark:
    """Make a benchmark that notes each call."""

    @benchmark(group=group, name=f"call {len(counter)}", runs=runs)
    def noted() -> Call:
        counter.append("prepared")
        return lambda: counter.append("called")

    return noted


def test_smoke_calls_each_once() -> None:
    calls: list[str] = []
    time_group([counting("a", calls)], smoke=True)
    assert calls == ["prepared", "called"]


def test_every_run_is_a_sample() -> None:
    (timing,) = time_group([counting("a", [], runs=4)])
    assert len(timing.samples_s) == 4
    assert timing.median_s > 0


def test_short_calls_are_repeated_until_the_clock_can_see_them() -> None:
    calls: list[str] = []
    time_group([counting("a", calls, runs=2)])
    assert calls.count("called") > 100


def test_the_table_prints_ratios_to_the_first_row() -> None:
    rows = [
        Timing(Benchmark(group="g", name="ours", prepare=lambda: print), (0.002, 0.003, 0.010)),
        Timing(Benchmark(group="g", name="theirs", prepare=lambda: print, goal_ratio=50), (0.3,)),
    ]
    heading, ours, theirs = table(rows).splitlines()
    assert heading.split() == ["g", "median", "fastest", "slowest", "ratio"]
    assert ours.split() == ["ours", "3", "ms", "2", "ms", "10", "ms", "x", "1"]
    assert theirs.split() == ["theirs", *["300", "ms"] * 3, "x", "100", "goal", "x", "50"]


@pytest.mark.parametrize(
    ("seconds", "text"),
    [(1.234, "1.23 s"), (0.0204, "20.4 ms"), (3.3e-6, "3.3 us"), (4e-9, "4 ns")],
)
def test_times_are_printed_with_three_digits(seconds: float, text: str) -> None:
    assert format_s(seconds) == text


def test_benchmarks_are_found_in_names_and_lists() -> None:
    module = ModuleType("bench_x")
    one, two, three = (counting("a", []) for _ in range(3))
    vars(module).update(one=one, more=[two, three], other=5)
    found = list(benchmarks_in(module))
    assert [any(a is b for b in found) for a in (one, two, three)] == [True] * 3


def test_an_unknown_name_is_an_error(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["no such thing"]) == 2
    assert "'no such thing'" in capsys.readouterr().err


@pytest.mark.parametrize(
    "entry",
    [
        pytest.param(
            entry,
            id=f"{entry.group}: {entry.name}",
            marks=[pytest.mark.long] if entry.measures else [],  # servers and their devices
        )
        for entry in discover()
    ],
)
def test_every_benchmark_runs(entry: Benchmark) -> None:
    """Once, without a limit on time."""
    entry.prepare()()
