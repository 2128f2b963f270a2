"""A solution as the rules read it: what several of them need is worked out once."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

from levelhead.chain.graph import Edge
from levelhead.chain.hum import ChainHum, solve_hum
from levelhead.chain.solution import Solution
from levelhead.rig.model import Rig
from levelhead.verdicts.strips import Strip, strips

__all__ = ["Reading"]


@dataclass(frozen=True, eq=False)
class Reading:
    """A solved rig for the rules. ``hum_before`` is the hum of what stood before an edit."""

    solution: Solution
    hum_before: ChainHum | None = None

    @property
    def rig(self) -> Rig:
        """The rig that was solved."""
        return self.solution.rig

    @cached_property
    def hum(self) -> ChainHum:
        """Hum at every input and every loudspeaker."""
        return solve_hum(self.solution, previous=self.hum_before)

    @cached_property
    def strips(self) -> tuple[Strip, ...]:
        """Every strip that has a meter and a signal at its input."""
        return tuple(strips(self.solution))

    @cached_property
    def arriving_by_copper(self) -> Mapping[int, Sequence[Edge]]:
        """By the number of each point, the edges that reach it through an island."""
        found: dict[int, list[Edge]] = {}
        for edge in self.solution.graph.edges:
            if edge.through is not None:
                found.setdefault(edge.target, []).append(edge)
        return found
