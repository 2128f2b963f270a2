"""The copper of a rig: its islands, solved for signals and phantom power, kept while it stays."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from levelhead.chain.passages import PassageColumns, Passages, passages_of
from levelhead.circuit.assembly import Island, assemble
from levelhead.circuit.network import Network
from levelhead.circuit.phantom import PhantomArrival, solve_phantom
from levelhead.circuit.solve import Solved, solve_networks
from levelhead.quantity.bands import BANDS, mid_hz
from levelhead.rig.model import Rig

__all__ = ["Copper", "solve_copper"]


@dataclass(frozen=True, eq=False)
class Copper:
    """Islands of a rig with their solutions, and what phantom power arrives where."""

    rig: Rig
    islands: tuple[Island, ...]
    solved: tuple[Solved, ...]
    passages: tuple[Passages, ...]
    phantom: tuple[PhantomArrival, ...]

    def is_laid_like(self, other: Copper) -> bool:
        """Whether the same outputs drive and the same addresses are sensed, island by island."""
        if self is other:
            return True
        return [(each.senses, each.drivers) for each in self.passages] == [
            (each.senses, each.drivers) for each in other.passages
        ]

    @cached_property
    def columns(self) -> PassageColumns:
        """All passages as rows."""
        return PassageColumns.of(self.passages)

    @cached_property
    def thermal_v2_per_hz(self) -> NDArray[np.float64]:
        """Noise density of the resistances at every sense of every island, (senses, bands)."""
        found = [each.noise_v2_per_hz for each in self.solved]
        return np.concatenate(found) if found else np.zeros((0, BANDS))


def solve_copper(rig: Rig, previous: Copper | None = None) -> Copper:
    """Solve the islands of a rig; those of equal content are solved once, or taken from before."""
    if previous is not None and is_same_copper(rig, previous.rig):
        return previous
    islands = tuple(assemble(rig))
    known = {} if previous is None else {each.network.key: each for each in previous.solved}
    solved = _solved([island.network() for island in islands], known)
    return Copper(
        rig=rig,
        islands=islands,
        solved=solved,
        passages=passages_of(islands, solved),
        phantom=tuple(arrival for island in islands for arrival in solve_phantom(island)),
    )


def is_same_copper(one: Rig, other: Rig) -> bool:
    """Whether two rigs have the same gear, with its switches alike, and the same links."""
    return one.show.links == other.show.links and is_same_gear(one, other)


def is_same_gear(one: Rig, other: Rig) -> bool:
    """Whether two rigs have the same items by the same names, with their switches alike.

    Figures of a type as it stands are planned once, so that equal plans are the same object.
    """
    if list(one.items) != list(other.items):
        return False
    pairs = zip(one.items.values(), other.items.values(), strict=True)
    return all(
        mine is theirs or (mine.plan is theirs.plan and mine.label == theirs.label)
        for mine, theirs in pairs
    )


def _solved(networks: Sequence[Network], known: dict[bytes, Solved]) -> tuple[Solved, ...]:
    keys = [network.key for network in networks]
    fresh = {key: network for key, network in zip(keys, networks, strict=True) if key not in known}
    found = known | dict(zip(fresh, solve_networks(list(fresh.values()), mid_hz()), strict=True))
    return tuple(found[key] for key in keys)
