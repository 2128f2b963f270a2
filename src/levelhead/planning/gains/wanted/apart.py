"""Loudspeakers that play without the desk: a guitar cabinet on its amplifier, a player on its own.

One performance, no meter and nothing to mix on the way: whoever plays sets it by ear, and a plan
for the rest of the rig would turn it with a hall that it has no part in.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from levelhead.chain.solution import Solution
from levelhead.planning.gains.wanted.ceilings import leading_to
from levelhead.planning.gains.wanted.ends import End
from levelhead.planning.gains.wanted.marks import meters_of

__all__ = ["apart_words", "played_apart"]


def played_apart(solution: Solution, ends: Sequence[End]) -> tuple[End, ...]:
    """Loudspeakers that hear one source with no meter on its way, beside others that do."""
    meters = set(meters_of(solution))
    found = tuple(
        end
        for end in ends
        if end.kind in {"audience", "performers"} and _is_alone(solution, end, meters)
    )
    rest = [end for end in ends if end.kind == "audience" and end not in found]
    return found if rest else ()


def _is_alone(solution: Solution, end: End, meters: set[int]) -> bool:
    graph, before = solution.graph, leading_to(solution, [end.point])
    playing = {
        graph.components[each.component].origin
        for each in graph.entries
        if each.point in before and solution.nominal[each.point] > 0
    }
    return len(playing) == 1 and not meters & before


def apart_words(solution: Solution, ends: Sequence[End]) -> Iterator[str]:
    """What the plan leaves to whoever plays."""
    for end in ends:
        item = solution.rig.show.items[solution.point(end.address).item]
        yield (
            f"{item.called} plays without the desk: whoever plays there sets it, and the plan does "
            "not."
        )
