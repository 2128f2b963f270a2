"""What a show asks about the air, by what it says of places.

All of it where it says where it takes place or where people listen; whether it rings where a
microphone and a loudspeaker have their places.
"""

from __future__ import annotations

from typing import Final

from levelhead.chain.solution import Solution

__all__ = ["AIR", "has_place", "may_ring"]

AIR: Final = "air"  # the family


def has_place(solution: Solution) -> bool:
    """Whether the show says where it takes place, or where people listen."""
    return solution.rig.show.room is not None or bool(solution.rig.show.areas)


def may_ring(solution: Solution) -> bool:
    """Whether ringing can be told: there is a place, or a microphone and a loudspeaker have one."""
    return has_place(solution) or (_microphone_is_placed(solution) and _box_is_placed(solution))


def _microphone_is_placed(solution: Solution) -> bool:
    items = solution.rig.show.items
    return any(items[each].at is not None for each in solution.graph.wiring.ears)


def _box_is_placed(solution: Solution) -> bool:
    """Of loudspeakers in the room: what is worn at the ears goes back into no microphone."""
    items = solution.rig.items
    return any(
        each.at is not None
        and not items[each.id].plan.is_worn
        and any(path.to_air for _, path in items[each.id].paths())
        for each in solution.rig.show.items.values()
    )
