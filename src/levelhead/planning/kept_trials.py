"""Which trials of a show are kept: within a budget of memory, those that were asked for last.

Several findings ask for the same switch, so trials are kept until there are too many of them; a
trial of a trial counts like any other. Here stands only who keeps what: nothing is held.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Final, NamedTuple, Protocol
from weakref import ref

from levelhead.chain.solution import Solution

__all__ = ["Budget", "Keeper", "bytes_of"]

# Measured with 60 trials of 31 cabinets on one line, and with 160 of a service with 20 channels.
_POINT_BYTES: Final = 10_000  # levels and noise of a point, and what rules make of them
_WITH_GROUND: Final = 1.3  # the ground network has islands of its own
_BYTES: Final = 220_000_000
_LEAST: Final = 12  # trials, however large


class Keeper(Protocol):
    """What keeps trials, each by its edits."""

    def let_go(self, edits: str) -> None:
        """Keep one no more."""


class _Kept(NamedTuple):
    keeper: ref[Keeper]
    edits: str
    size: int


@dataclass(slots=True)
class Budget:
    """Everything that is kept of one show, what was asked for longest ago first."""

    most_bytes: int = _BYTES
    _kept: dict[tuple[int, str], _Kept] = field(default_factory=dict)

    def __repr__(self) -> str:
        return f"Budget({len(self._kept)} kept)"

    def hold(self, keeper: Keeper, edits: str, size: int) -> None:
        """Something new is kept; where that is too much, the oldest is let go."""
        self._kept[id(keeper), edits] = _Kept(ref(keeper), edits, size)
        self._kept = {name: each for name, each in self._kept.items() if each.keeper() is not None}
        total = sum(each.size for each in self._kept.values())
        while total > self.most_bytes and len(self._kept) > _LEAST:
            oldest = self._kept.pop(next(iter(self._kept)))
            total -= oldest.size
            keeper_of_it = oldest.keeper()
            if keeper_of_it is not None:
                keeper_of_it.let_go(oldest.edits)

    def forget(self, keeper: Keeper) -> None:
        """Something keeps nothing any more."""
        self._kept = {name: each for name, each in self._kept.items() if name[0] != id(keeper)}

    def asked(self, keeper: Keeper, edits: str) -> None:
        """Something that is kept was asked for again."""
        name = id(keeper), edits
        if name in self._kept:
            self._kept[name] = self._kept.pop(name)


def bytes_of(solution: Solution, before: Solution) -> int:
    """About what a solution, judged, holds that the one before it does not."""
    known = {id(each) for each in before.solved}
    fresh = {id(each): each.nbytes for each in solution.solved if id(each) not in known}
    return round(len(solution.nominal) * _POINT_BYTES + _WITH_GROUND * sum(fresh.values()))
