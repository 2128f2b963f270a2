"""Who gets to which end of a rig: loudspeakers, headphones, recorders, streams."""

from __future__ import annotations

from typing import TypeAlias

from levelhead.chain.solution import Solution
from levelhead.gear.plan import PathPlan
from levelhead.rig.model import Rig
from levelhead.show.addresses import item_of, strip_of

__all__ = ["Arrival", "arrivals_of"]

Arrival: TypeAlias = tuple[str, str]
"""Where a signal begins (its item, or a source in the air), and an end that it gets to."""


def arrivals_of(solution: Solution) -> frozenset[Arrival]:
    """Each signal with each end that it gets to.

    An end is where somebody hears or keeps what comes: out of a loudspeaker, at the last stage of
    what leads nowhere further, in a socket behind which nothing is known.
    """
    pairs = {(item_of(way[0]), way[-1]) for way in solution.paths}
    ends = {end for end in {end for _, end in pairs} if _counts(solution, end)}
    return frozenset(each for each in pairs if each[1] in ends)


def _counts(solution: Solution, end: str) -> bool:
    """Whether the end of a way is one for somebody, not an output without a plug."""
    if end in solution.in_air:
        return True
    rig = solution.rig
    port = rig.port_at(end)
    if port is not None:
        return port.plan.role == "in"
    path = _path(rig, end)
    return path is not None and path.to_port is None


def _path(rig: Rig, stage: str) -> PathPlan | None:
    """The path that a stage is the last of."""
    item = rig.items.get(item_of(stage))
    block = strip_of(stage).partition(".")[2]
    name = stage.rpartition(".")[2]
    for each in () if item is None else item.plan.blocks:
        for path in each.plan.paths if each.name == block else ():
            if path.stages and path.stages[-1].name == name:
                return path
    return None
