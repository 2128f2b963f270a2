"""Objects that lead to a whole solution print as a line: a debugger, a log, a failing test."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator, Mapping
from typing import Any, Final

import pytest

from levelhead.gear.book import GearBook, load_book
from levelhead.planning.check import check_show
from tests.planning.test_properties import shipped

LINE: Final = 200
MOST: Final = 20_000  # characters of anything at all: arrays shorten themselves


def inside(thing: object) -> Iterator[object]:
    """What a value holds; a gear book is not looked into, it is none of a show's."""
    if isinstance(thing, Mapping):
        yield from [*thing.keys(), *thing.values()]
    elif isinstance(thing, list | tuple | set | frozenset):
        yield from thing
    elif dataclasses.is_dataclass(thing) or hasattr(thing, "__dict__"):
        if isinstance(thing, GearBook | type) or callable(thing):
            return
        names = [each.name for each in dataclasses.fields(thing)] if _is_value(thing) else []
        yield from [getattr(thing, name) for name in names]
        yield from list(getattr(thing, "__dict__", {}).values())


def _is_value(thing: Any) -> bool:
    return dataclasses.is_dataclass(thing) and not isinstance(thing, type)


def reached(start: object) -> Iterator[Any]:
    """Every dataclass that can be reached from one, each once."""
    seen: dict[int, object] = {}
    waiting = [start]
    while waiting:
        thing = waiting.pop()
        if id(thing) not in seen:
            seen[id(thing)] = thing
            waiting += inside(thing)
            if _is_value(thing):
                yield thing


@pytest.mark.parametrize("name", ["pub-duo.yaml", "school-play.yaml"])
def test_nothing_that_a_check_holds_prints_at_length(name: str) -> None:
    """One of a few items printed as gigabytes, for each finding led to the whole solution."""
    check = check_show(shipped(name), load_book())
    kinds: dict[str, int] = {}
    for each in reached(check):
        kind = type(each).__qualname__
        kinds[kind] = max(kinds.get(kind, 0), len(repr(each)))
    assert {"Trial", "Solution", "Judgement", "Rig", "Finding", "LimitState"} <= kinds.keys()
    too_long = {kind: length for kind, length in kinds.items() if length > MOST}
    assert too_long == {}


def test_a_check_says_which_show_and_how_it_stands() -> None:
    """The line names the show, the verdict and how much there is."""
    check = check_show(shipped("pub-duo.yaml"), load_book())
    points = len(check.trial.solution.nominal)
    trial = f"Trial({check.trial.show.name!r}, {points} points)"
    assert repr(check.trial) == trial
    assert repr(check) == f"Check({check.verdict.value}, {len(check.findings)} findings, {trial})"
    assert len(repr(check.trial.judgement)) < LINE
