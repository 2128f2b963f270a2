"""How far everything may go up until the first area is as loud as the show wants it."""

from __future__ import annotations

from levelhead.acoustics.heard.seat_points import seat_points
from levelhead.acoustics.placed.of_room import locate
from levelhead.chain.solution import Solution
from levelhead.quantity.levels import Level
from levelhead.quantity.parsing import parse
from levelhead.show.model import Show

__all__ = ["wanted_levels", "wanted_room_db", "wanted_short"]


def wanted_levels(show: Show) -> dict[str, float]:
    """Levels that areas want, by their address; not where nothing can be told of seats. [dB(A)]"""
    impossible = {each.where for each in locate(show).remarks if each.severity == "fails"}
    if any(each.partition(".")[0] == "room" for each in impossible):
        return {}
    return {
        f"areas.{each.id}": level.value_db
        for each in show.areas.values()
        if each.level is not None
        and each.id not in impossible
        and isinstance(level := parse(each.level), Level)
    }


def wanted_room_db(solution: Solution) -> float | None:
    """Wanted level less that of the loud passage, of the area that is nearest to it. [dB]

    Nothing where no area wants a level, none hears anything, or nothing can be told of its seats.
    """
    return min((room_db for room_db, _ in _rooms(solution)), default=None)


def wanted_short(solution: Solution) -> tuple[float, str] | None:
    """The same with the id of that area. [dB]"""
    return min(_rooms(solution), default=None)


def _rooms(solution: Solution) -> list[tuple[float, str]]:
    """By how much each area that wants a level is too soft, and its id. [dB]"""
    wanted = wanted_levels(solution.rig.show)
    if not wanted:
        return []
    return [
        (wanted[each.at] - each.nominal, each.at.partition(".")[2])
        for each in seat_points(solution)
        if each.at in wanted and each.nominal is not None
    ]
