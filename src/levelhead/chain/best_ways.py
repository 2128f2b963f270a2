"""Ways that somebody wants to look at: those through a point, and the strongest of each source."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from levelhead.chain.solution import Solution
from levelhead.errors import SolveError
from levelhead.gear.names import did_you_mean
from levelhead.show.addresses import item_of

__all__ = ["called", "named_points", "silent_sources", "strongest_ways", "ways_through"]

Way = tuple[str, ...]


def named_points(solution: Solution, name: str) -> frozenset[str]:
    """Addresses of points that a name stands for.

    ``desk.ch1`` stands for all of channel 1 but not for channel 10; where no point has that name,
    it may be a beginning: ``desk.c``.

    Raises
    ------
    SolveError
        No point is called so, or begins so.
    """
    known = [point.address for point in solution.graph.points if not point.is_hidden]
    whole = frozenset(each for each in known if each == name or each.startswith(f"{name}."))
    found = whole or frozenset(each for each in known if each.startswith(name))
    if not found:
        near = did_you_mean(name, [*known, *solution.rig.items])
        raise SolveError(
            f"no point begins with '{name}'",
            where=solution.rig.show.name,
            expected="the address of a stage, a plugged socket or a source, or its beginning",
            remedy=near or "List them all with: levelhead levels SHOW",
        )
    return found


def ways_through(solution: Solution, names: Iterable[str]) -> tuple[Way, ...]:
    """Ways of a signal that pass a point of every name; all of them when there is none."""
    wanted = [named_points(solution, name) for name in names]
    return tuple(way for way in solution.paths if all(not at.isdisjoint(way) for at in wanted))


def strongest_ways(solution: Solution, ways: Sequence[Way]) -> tuple[Way, ...]:
    """Of each source the way that takes the strongest turn at every fork, in the order of ``ways``.

    A way that reaches the air again goes before one that ends in a socket. ``ways`` stand as in
    ``Solution.paths``: strongest first at each fork.
    """
    best: dict[str, Way] = {}
    for way in sorted(ways, key=lambda each: not _reaches_air(solution, each)):
        best.setdefault(item_of(way[0]), way)
    return tuple(way for way in ways if best[item_of(way[0])] is way)


def silent_sources(solution: Solution) -> tuple[str, ...]:
    """Ids of sources in the air whose sound goes nowhere."""
    heard = {way[0] for way in solution.paths}
    return tuple(dict.fromkeys(each.id for each in solution.rig.sources if each.id not in heard))


def called(solution: Solution, item: str) -> str:
    """What the crew calls an item or a source, by its id."""
    known = solution.rig.items.get(item)
    sources = (source.label for source in solution.rig.sources if source.id == item)
    return known.label if known is not None else next(sources, item)


def _reaches_air(solution: Solution, way: Way) -> bool:
    """Whether a way ends at a loudspeaker."""
    return solution.point(way[-1]).unit == "Pa"
