"""How long a gain plan takes, rig solved and plan told; the habits are in ``gain_habits``."""

from __future__ import annotations

from benchmarks.bench_show import book_of, show_of
from benchmarks.harness import Call, benchmark
from levelhead.planning.gains.make import make_plan

GROUP = "gain plan"


def planned(name: str) -> Call:
    """Build, solve, plan, apply, solve again."""
    import scipy.optimize  # noqa: F401 -- its import is timed by whole processes

    show, book = show_of(name), book_of(name)
    return lambda: make_plan(show, book)


@benchmark(group=GROUP, name="16 channels", runs=3)
def sixteen() -> Call:
    """A small desk."""
    return planned("16")


@benchmark(group=GROUP, name="128 channels", runs=3, goal_s=2.0)
def many() -> Call:
    """A large one."""
    return planned("128")
