"""``levelhead levels SHOW``."""

from __future__ import annotations

from argparse import Namespace

from levelhead.chain.best_ways import named_points, ways_through
from levelhead.chain.solve import solve
from levelhead.cli.commands.levels_shown import draw_levels, points_along
from levelhead.cli.given import tried
from levelhead.cli.reports.levels import level_table
from levelhead.cli.typed import Outcome, as_json, book_of, document_of
from levelhead.rig.build import build_rig

__all__ = ["levels"]


def levels(arguments: Namespace) -> Outcome:
    """Levels as a table, as JSON, or drawn."""
    given = tried(document_of(arguments.show), arguments.set, arguments.figure)
    solution = solve(build_rig(given.show, book_of(arguments), given.locator))
    ways = ways_through(solution, arguments.path)
    at = None if arguments.at is None else named_points(solution, arguments.at)
    if arguments.plot is not None:
        draw_levels(solution, arguments)
    if arguments.json:
        points = [each.to_json() for each in points_along(solution, ways, at)]
        return Outcome(as_json({"points": points, "paths": [list(way) for way in ways]}))
    if arguments.plot is not None:
        return Outcome("")
    table = level_table(solution, points_along(solution, ways, at))
    return Outcome("\n".join([table, *given.lines()]))
