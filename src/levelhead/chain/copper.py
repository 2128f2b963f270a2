"""The copper of a rig: its islands, solved for signals and phantom power, kept while it stays."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from levelhead.circuit.assembly import Island, assemble
from levelhead.circuit.network import Network
from levelhead.circuit.phantom import PhantomArrival, solve_phantom
from levelhead.circuit.solve import Solved, solve_networks
from levelhead.quantity.bands import mid_hz
from levelhead.rig.model import Rig

__all__ = ["Copper", "solve_copper"]


@dataclass(frozen=True, slots=True, eq=False)
class Copper:
    """Islands of a rig with their solutions, and what phantom power arrives where."""

    rig: Rig
    islands: tuple[Island, ...]
    solved: tuple[Solved, ...]
    phantom: tuple[PhantomArrival, ...]


def solve_copper(rig: Rig, previous: Copper | None = None) -> Copper:
    """Solve the islands of a rig; those of equal content are solved once, or taken from before."""
    if previous is not None and is_same_copper(rig, previous.rig):
        return previous
    islands = tuple(assemble(rig))
    known = {} if previous is None else {each.network.key: each for each in previous.solved}
    return Copper(
        rig=rig,
        islands=islands,
        solved=_solved([island.network() for island in islands], known),
        phantom=tuple(arrival for island in islands for arrival in solve_phantom(island)),
    )


def is_same_copper(one: Rig, other: Rig) -> bool:
    """Whether two rigs have the same items, with their switches alike, and the same links.

    Figures of a type as it stands are planned once, so that equal plans are the same object.
    """
    if one.items.keys() != other.items.keys() or one.show.links != other.show.links:
        return False
    return all(item.plan is other.items[name].plan for name, item in one.items.items())


def _solved(networks: Sequence[Network], known: dict[bytes, Solved]) -> tuple[Solved, ...]:
    keys = [network.key for network in networks]
    fresh = {key: network for key, network in zip(keys, networks, strict=True) if key not in known}
    found = known | dict(zip(fresh, solve_networks(list(fresh.values()), mid_hz()), strict=True))
    return tuple(found[key] for key in keys)
