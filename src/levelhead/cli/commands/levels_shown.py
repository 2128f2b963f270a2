"""What ``levelhead levels`` shows of a solution: points along the ways, or a drawing."""

from __future__ import annotations

import sys
from argparse import Namespace
from collections.abc import Collection, Sequence

from levelhead.chain.levels import PointLevels
from levelhead.chain.solution import Solution
from levelhead.show.addresses import item_of

__all__ = ["draw_levels", "points_along"]


def points_along(
    solution: Solution, ways: Sequence[Sequence[str]], at: Collection[str] | None
) -> list[PointLevels]:
    """Levels along the ways, each point once, in signal order; then the seats.

    Where only some ways are shown, seats get what begins them.
    """
    along = dict.fromkeys(address for way in ways for address in way)
    points = [solution.levels(each) for each in along if at is None or each in at]
    return points if at is not None else [*points, *_seats(solution, ways)]


def _seats(solution: Solution, ways: Sequence[Sequence[str]]) -> list[PointLevels]:
    """Areas that people listen in, if the show names any."""
    if not solution.rig.show.areas:
        return []
    from levelhead.acoustics.heard.seat_points import seat_points

    begins = {item_of(way[0]) for way in ways if way}
    every = {item_of(way[0]) for way in solution.paths if way}
    return seat_points(solution, None if begins == every else begins)


def draw_levels(solution: Solution, arguments: Namespace) -> None:
    """The level diagram, into the file behind ``--plot``."""
    from levelhead.api import plot
    from levelhead.drawing.levels.panels import panels_of

    through = [*arguments.path, *([arguments.at] if arguments.at else [])]
    plot(solution, arguments.plot, through=through)
    titles = [panel.title for panel in panels_of(solution, through)]
    said = "; ".join(titles) or "no way carries a signal here"
    print(f"{arguments.plot}: {said}", file=sys.stderr)
