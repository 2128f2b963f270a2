"""Rules that judge place by place, and what of their findings outlives an edit.

Such a rule names its places, and for each of them what it reads there: strips, islands, stamps of
points (``verdicts.stamps``). Where all that is as it was when a place was judged last, its findings
are taken from there (``verdicts.kept``); they are those of a fresh start, to the last field.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable, Iterator, Mapping
from functools import update_wrapper, wraps
from typing import Generic, NamedTuple, TypeVar

from levelhead.circuit.drawn.islands import Island
from levelhead.circuit.solving.solved import Solved
from levelhead.verdicts.read.kept import Told
from levelhead.verdicts.read.reading import Reading
from levelhead.verdicts.told.finding import Finding

__all__ = [
    "At",
    "ByPlace",
    "IslandAt",
    "by_place",
    "carrying_ways",
    "islands",
    "kept_while",
    "open_ways",
    "plugged",
]

_Place = TypeVar("_Place")


class At(NamedTuple, Generic[_Place]):
    """A place, its name in all readings, and all that its findings hang on."""

    name: Hashable
    place: _Place
    reads: tuple[object, ...]


# All places of a reading; with an address, at least those whose findings may bear it.
Places = Callable[[Reading, str | None], Iterable[At[_Place]]]
Judge = Callable[[Reading, _Place], Iterable[Finding]]


class ByPlace(Generic[_Place]):
    """A rule whose places are judged one by one; called like any rule, it judges all afresh.

    It is local where a place hangs on nothing but what is plugged there and all that leads there.
    """

    def __init__(
        self, places: Places[_Place], judge: Judge[_Place], *, is_local: bool = False
    ) -> None:
        self.is_local = is_local
        self._places = places
        self._judge = judge
        update_wrapper(self, judge)

    def __call__(self, reading: Reading) -> Iterator[Finding]:
        """All findings of a reading, nothing taken from before."""
        for at in self._places(reading, None):
            yield from self._judge(reading, at.place)

    def judged(self, reading: Reading, before: Mapping[Hashable, Told]) -> dict[Hashable, Told]:
        """What is found at every place, what stayed as it was taken from before."""
        found: dict[Hashable, Told] = {}
        for at in self._places(reading, None):
            told = before.get(at.name)
            if told is None or told.reads != at.reads:
                told = self._told(reading, at)
            found[at.name] = told
        return found

    def found_at(self, reading: Reading, where: str) -> Iterator[Finding]:
        """Findings at one address, without those elsewhere."""
        for at in self._places(reading, where):
            yield from (each for each in self._judge(reading, at.place) if each.where == where)

    def _told(self, reading: Reading, at: At[_Place]) -> Told:
        return Told(at.reads, tuple(self._judge(reading, at.place)), reading.stamps.number)


def by_place(
    places: Places[_Place], *, is_local: bool = False
) -> Callable[[Judge[_Place]], ByPlace[_Place]]:
    """A rule made of a function that judges one of some places."""
    return lambda judge: ByPlace(places, judge, is_local=is_local)


# --- rules that are judged as a whole ---


def kept_while(
    reads: Callable[[Reading], tuple[object, ...]],
) -> Callable[[Callable[[Reading], Iterable[Finding]]], ByPlace[None]]:
    """A rule that says the same as long as all that it ``reads`` stays: the rig is one place."""

    def rule(judge: Callable[[Reading], Iterable[Finding]]) -> ByPlace[None]:
        @wraps(judge)
        def judged(reading: Reading, place: None) -> Iterable[Finding]:
            del place
            return judge(reading)

        def whole(reading: Reading, where: str | None) -> Iterator[At[None]]:
            del where
            yield At("the rig", None, reads(reading))

        return ByPlace(whole, judged)

    return rule


def plugged(reading: Reading) -> tuple[object, ...]:
    """What is plugged by which leads, and how switches stand; no gain, and no level."""
    return reading.stamps.gear, reading.stamps.copper


def open_ways(reading: Reading) -> tuple[object, ...]:
    """The same, which ways are open, and where anything sounds; no gain, and no level."""
    return *plugged(reading), reading.stamps.open


def carrying_ways(reading: Reading) -> tuple[object, ...]:
    """The same, and the ways that carry more than a trace, which levels decide."""
    return *plugged(reading), reading.solution.paths


# --- islands ---


class IslandAt(NamedTuple):
    """A network between active stages, solved, and its number in the solution."""

    number: int
    island: Island
    solved: Solved


def islands(reading: Reading, where: str | None) -> Iterator[At[IslandAt]]:
    """Every island, for rules that read nothing but copper, and what stands on the panel at it."""
    del where  # what a finding is about may be any socket of it
    solution, gear = reading.solution, reading.stamps.gear
    solved = enumerate(zip(solution.islands, solution.solved, strict=True))
    for number, (island, each) in solved:
        yield At(number, IslandAt(number, island, each), (gear, island))
