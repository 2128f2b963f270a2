"""Where those are who work at a show: at the desk, and performers at their microphones."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final, Literal

import numpy as np

from levelhead.acoustics.listening.seats import Area
from levelhead.acoustics.placed.ears import TO_THE_PLAYERS
from levelhead.chain.solution import Solution
from levelhead.show.model import Place

__all__ = ["Spot", "spots_of"]

Kind = Literal["desk", "performer"]
ABOVE_DESK_M: Final = 0.4  # ears of somebody at a table, above it
BEHIND_M: Final = 0.2  # ears behind a microphone that is sung into


@dataclass(frozen=True, slots=True)
class Spot:
    """A place of work: ``item`` is the desk, or the microphone of a performer."""

    kind: Kind
    item: str
    area: Area


def spots_of(solution: Solution) -> tuple[Spot, ...]:
    """Desks and performers whose place is known, each once."""
    found = {each.item: each for each in [*_desks(solution), *_performers(solution)]}
    return tuple(found.values())


def _desks(solution: Solution) -> Iterator[Spot]:
    book = solution.rig.book
    for item in solution.rig.show.items.values():
        if item.at is not None and book.entry(item.type).kind == "mixer":
            right, into, up = item.at
            yield Spot("desk", item.id, _place(item.called, (right, into), up + ABOVE_DESK_M))


def _performers(solution: Solution) -> Iterator[Spot]:
    items, told = solution.rig.show.items, set[str]()
    for source in solution.rig.sources:
        item = items.get(source.at)
        if item is not None and item.at is not None and source.id not in told:
            told.add(source.id)  # several microphones may hear one
            right, into, up = _behind(item.at, item.aim)
            yield Spot("performer", item.id, _place(source.label, (right, into), up))


def _behind(at: Place, aim: Place | None) -> Place:
    """Ears behind a microphone: where it listens to."""
    axis = np.array(TO_THE_PLAYERS if aim is None or aim == at else np.subtract(aim, at))
    right, into, up = (np.array(at) + BEHIND_M * axis / np.linalg.norm(axis)).tolist()
    return right, into, up


def _place(name: str, corner: tuple[float, float], ear_m: float) -> Area:
    return Area(name=name, corners_m=(corner,), ear_m=ear_m)
