"""Sockets of gear that typed words may mean, as values."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Final, Literal

from levelhead.gear.book import GearBook
from levelhead.gear.plan import ItemPlan

__all__ = ["ROLES", "Candidate", "Side"]

Side = Literal["from", "to"]

ROLES: Final[Mapping[Side, frozenset[str]]] = {
    "from": frozenset({"out", "through", "loudspeaker"}),
    "to": frozenset({"in"}),
}


@dataclass(frozen=True, slots=True)
class Candidate:
    """A port of a gear type that what was typed may mean.

    ``settings`` are switches that were named; ``unmet`` are words that say nothing of it.
    """

    type_id: str
    port: str
    label: str
    score: float
    settings: Mapping[str, str] = field(default_factory=dict)
    unmet: frozenset[str] = frozenset()

    @property
    def address(self) -> str:
        """``type.port``, for lists and links."""
        return f"{self.type_id}.{self.port}"

    def plan(self, book: GearBook) -> ItemPlan:
        """The type with its switches as they were named."""
        return book.plan(self.type_id, dict(self.settings), {})
