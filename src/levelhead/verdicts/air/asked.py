"""Whether a show asks about the air: it says where it takes place, or where people listen."""

from __future__ import annotations

from typing import Final

from levelhead.chain.solution import Solution

__all__ = ["AIR", "has_place"]

AIR: Final = "air"  # the family


def has_place(solution: Solution) -> bool:
    """Whether the show says where it takes place, or where people listen."""
    return solution.rig.show.room is not None or bool(solution.rig.show.areas)
