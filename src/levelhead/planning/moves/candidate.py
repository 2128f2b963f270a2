"""A remedy before it was tried: edits that might help, and what they cost a pair of hands."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from levelhead.show.edits import Edit, Plug, Unplug
from levelhead.show.model import Link

__all__ = [
    "COST_OF_CABLE",
    "COST_OF_PURCHASE",
    "COST_OF_SOCKET",
    "COST_OF_STOCK",
    "COST_OF_STRIP",
    "COST_OF_SWITCH",
    "COST_OF_TURN",
    "Candidate",
    "instead",
]

COST_OF_TURN: Final = 0
COST_OF_SWITCH: Final = 1
COST_OF_SOCKET: Final = 2
COST_OF_CABLE: Final = 3
COST_OF_STRIP: Final = 3  # another mains outlet
COST_OF_STOCK: Final = 4
COST_OF_PURCHASE: Final = 6


@dataclass(frozen=True, slots=True)
class Candidate:
    """Edits that might help, and what they cost: a turn least, a purchase most."""

    edits: tuple[Edit, ...]
    cost: int


def instead(link: Link, other: Link, cost: int) -> Candidate:
    """One link pulled, another plugged."""
    return Candidate((Unplug(link), Plug(other)), cost)
