"""A solution as the rules read it: what several of them need is worked out once."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

from levelhead.chain.hum import ChainHum, solve_hum
from levelhead.chain.solution import Solution
from levelhead.rig.model import Rig
from levelhead.verdicts.delivered import Delivered, arriving
from levelhead.verdicts.reach import Reach
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
    def reach(self) -> Reach:
        """Where signals can get from every point as everything stands."""
        return Reach(self.solution)

    @cached_property
    def strips(self) -> tuple[Strip, ...]:
        """Every strip that has a meter and a signal at its input."""
        return tuple(strips(self.solution))

    @cached_property
    def arriving(self) -> Mapping[str, Delivered]:
        """By port, the most that can arrive there through the copper; of two signals the larger."""
        found: dict[str, Delivered] = {}
        for address, most in arriving(self.solution):
            port = address if address in self.rig.ports else address.rpartition(".")[0]
            if port not in found or found[port].total_v < most.total_v:
                found[port] = most
        return found
