"""How far everything may go up until the first area is as loud as the show wants it."""

from __future__ import annotations

from levelhead.acoustics.seat_points import seat_points
from levelhead.chain.solution import Solution
from levelhead.quantity.levels import Level
from levelhead.quantity.parsing import parse

__all__ = ["wanted_room_db"]


def wanted_room_db(solution: Solution) -> float | None:
    """Wanted level less that of the loud passage, of the area that is nearest to it. [dB]

    Nothing where no area wants a level, or none hears anything.
    """
    wanted = {
        f"areas.{each.id}": level.value_db
        for each in solution.rig.show.areas.values()
        if each.level is not None and isinstance(level := parse(each.level), Level)
    }
    if not wanted:
        return None
    rooms = (
        wanted[each.at] - each.nominal
        for each in seat_points(solution)
        if each.at in wanted and each.nominal is not None
    )
    return min(rooms, default=None)
