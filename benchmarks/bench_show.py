"""A whole show: how long from the file to the verdict, and after one edit."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import cache, partial
from pathlib import Path
from typing import Final

import numpy as np

from benchmarks.harness import Benchmark, Call, benchmark
from benchmarks.shows import book_for, condensers_text, show_text
from levelhead.chain.draws.levels import draw_levels_db
from levelhead.chain.solution import Solution
from levelhead.chain.solve import solve
from levelhead.gear.book import GearBook, load_book
from levelhead.planning.check import check_show
from levelhead.rig.build import build_rig
from levelhead.show.document import parse_show
from levelhead.show.edits import Edit, Recable, Set, apply
from levelhead.show.model import Cable, Show
from levelhead.verdicts.judge import judge

DEMO: Final = Path(__file__).parents[1] / "src" / "levelhead" / "examples" / "village-hall.yaml"
RIGS: Final = Path(__file__).parents[1] / "tests" / "rigs"
LARGER: Final = {  # of those, with many findings to be mended, and the time that each may take
    "choir-concert": None,
    "brass-band": None,
    "odd-leads": 5.0,
    "box-of-mistakes": 5.0,
}
CONDENSERS: Final = 200
RUNS: Final = 5
DRAWS: Final = 10_000
GAIN: Final = Set("desk.ch1.gain", "20 dB")
CABLE: Final = Recable("desk.ch1.mic", (Cable("cable-xlr", 33.0),))


@cache
def text_of(name: str) -> str:
    """Text of a show by the name of its group."""
    if name == "demo":
        return DEMO.read_text(encoding="utf-8")
    if name in LARGER:
        return (RIGS / f"{name}.yaml").read_text(encoding="utf-8")
    channels, _, kind = name.partition(" ")
    return show_text(int(channels), are_alike=kind == "alike")


@cache
def book_of(name: str) -> GearBook:
    """Gear book of a show."""
    return book_for(4 if name in ("demo", *LARGER) else int(name.partition(" ")[0]))


@cache
def show_of(name: str) -> Show:
    """A show, read."""
    return parse_show(text_of(name), name).show


@cache
def solution_of(name: str) -> Solution:
    """A show, solved."""
    return solve(build_rig(show_of(name), book_of(name)))


def whole(name: str) -> Call:
    """Everything that ``levelhead check`` does but starting and printing."""
    text, book = text_of(name), book_of(name)
    return lambda: check_show(parse_show(text, name).show, book)


def whole_with_mistakes(name: str) -> Call:
    """The same with eight gains far too low; the remedies of each are tried and solved."""
    channels, _, kind = name.partition(" ")
    text = show_text(int(channels), are_alike=kind == "alike", mistakes=8)
    return lambda: check_show(parse_show(text, name).show, book_of(name))


def read(name: str) -> Call:
    """Read and validate the file."""
    text = text_of(name)
    return lambda: parse_show(text, name)


def rig(name: str) -> Call:
    """Resolve a show against the gear book."""
    show, book = show_of(name), book_of(name)
    return lambda: build_rig(show, book)


def solved(name: str) -> Call:
    """Solve all circuits and the chain, from nothing."""
    built = build_rig(show_of(name), book_of(name))
    return lambda: solve(built)


def judged(name: str) -> Call:
    """Apply every rule."""
    solution = solution_of(name)
    return lambda: judge(solution)


def levels(name: str) -> Call:
    """Read ways and levels from a solution."""

    def call() -> object:
        fresh = replace(solution_of(name))  # ways are kept once they were asked for
        return list(fresh.live_points())

    return call


def after(name: str, edit: Edit) -> Call:
    """Apply an edit, resolve, and solve with what was solved before."""
    show, book, previous = show_of(name), book_of(name), solution_of(name)

    def call() -> object:
        edited, _ = apply(show, [edit])
        return solve(build_rig(edited, book, previous=previous.rig), previous)

    return call


def after_gain(name: str) -> Call:
    """A gain is turned: no circuit changes."""
    return after(name, GAIN)


def after_cable(name: str) -> Call:
    """Another cable: one circuit changes."""
    return after(name, CABLE)


def judged_after(name: str, edit: Edit) -> Call:
    """Apply every rule after an edit, with what was found before it."""
    previous = solution_of(name)
    before = judge(previous)
    edited, _ = apply(show_of(name), [edit])
    solution = solve(build_rig(edited, book_of(name), previous=previous.rig), previous)
    return lambda: judge(solution, before)


def judged_after_gain(name: str) -> Call:
    """What hangs on the gain is judged again."""
    return judged_after(name, GAIN)


def judged_after_cable(name: str) -> Call:
    """What hangs on the cable is judged again."""
    return judged_after(name, CABLE)


def drawn(name: str) -> Call:
    """Levels of every strip and every loudspeaker, drawn ten thousand times."""
    solution = solution_of(name)
    index = solution.graph.index
    strips = [each for each in index if each.endswith((".preamp", ".driver"))]
    live = [each for each in strips if solution.levels(each).nominal is not None]

    def call() -> object:
        return draw_levels_db(solution, live, draws=DRAWS, rng=np.random.default_rng(1))

    return call


PARTS: Final[dict[str, Callable[[str], Call]]] = {
    "read and validate": read,
    "resolve": rig,
    "solve": solved,
    "judge": judged,
    "ways and levels": levels,
    "a gain turned, solved again": after_gain,
    "a cable changed, solved again": after_cable,
    "a gain turned, judged again": judged_after_gain,
    "a cable changed, judged again": judged_after_cable,
}
LARGE: Final[dict[str, Callable[[str], Call]]] = {"10,000 draws of every strip": drawn}
GOALS_S: Final = {  # of a show with 128 channels
    "file to verdict, 8 mistakes": 0.3,
    "read and validate": 0.3,
    "solve": 0.1,
    "a gain turned, solved again": 0.01,
    "a cable changed, solved again": 0.01,
    "a gain turned, judged again": 0.05,
    "a cable changed, judged again": 0.15,
    "10,000 draws of every strip": 2.0,
}


Steps = dict[str, Callable[[str], Call]]


def benchmarks_of(name: str, wholes: Steps) -> list[Benchmark]:
    """All steps for one show; the whole is the yardstick of its parts."""
    goals_s = GOALS_S if name.startswith("128") else {}
    return [
        benchmark(group=f"show: {name}", name=step, runs=RUNS, goal_s=goals_s.get(step))(
            partial(make, name)
        )
        for step, make in (wholes | PARTS).items()
    ]


def growth() -> list[Benchmark]:
    """Solving from nothing as a show grows: the time of one channel should stay."""
    return [
        benchmark(group="growth: solve", name=f"{channels} channels", runs=3, count=channels)(
            partial(solved, f"{channels} different")
        )
        for channels in (16, 64, 256, 1024)
    ]


def mended() -> list[Benchmark]:
    """Larger shows with all their mistakes: nearly all of it is remedies, tried and solved."""
    return [
        benchmark(
            group=f"show: {name}", name="file to verdict, with its remedies", runs=1, goal_s=goal_s
        )(partial(whole, name))
        for name, goal_s in LARGER.items()
    ]


@benchmark(
    group="show: many alike", name=f"{CONDENSERS} condensers without phantom", runs=1, goal_s=20
)
def many_condensers() -> Call:
    """As many findings as microphones, each with its remedy."""
    text, book = condensers_text(CONDENSERS), load_book()
    return lambda: check_show(parse_show(text, "condensers").show, book)


FINE: Final[Steps] = {"file to verdict, all fine": whole}
MISTAKEN: Final[Steps] = {"file to verdict, 8 mistakes": whole_with_mistakes}
ALL: Final = [
    *growth(),
    *benchmarks_of("demo", {"file to verdict, with its remedies": whole}),
    *mended(),
    *benchmarks_of("16 different", FINE | MISTAKEN),
    *benchmarks_of("128 different", FINE | MISTAKEN | LARGE),
    *benchmarks_of("128 alike", FINE),
]
