"""The order in which items are switched on, and the other way round off.

It follows from the ways of the signal: what drives loudspeakers is switched on last and off
first, so that nobody hears what the rest gives when it is switched (common practice).
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from itertools import pairwise

from levelhead.exchange.paperwork.work import Paperwork
from levelhead.rig.model import RigItem

__all__ = ["Turns", "turns_of"]


@dataclass(frozen=True, slots=True)
class Turns:
    """Items by the turn in which they are switched on; within each in the order of the show.

    The drivers stand in turns of their own: what feeds another goes first. A mixer that drives
    loudspeakers is one of them, and so is whatever runs on batteries and does.
    """

    batteries: tuple[RigItem, ...]
    before: tuple[RigItem, ...]
    mixers: tuple[RigItem, ...]
    behind: tuple[RigItem, ...]
    drivers_in_turn: tuple[tuple[RigItem, ...], ...]

    @property
    def drivers(self) -> tuple[RigItem, ...]:
        """What drives loudspeakers, in the order of switching on."""
        return tuple(item for turn in self.drivers_in_turn for item in turn)


def turns_of(work: Paperwork) -> Turns:
    """Who is switched on when, read off the leads and the ways of the signal."""
    last = work.check.trial.reading.drivers_in_turn
    drivers = {item.id for turn in last for item in turn}
    mixers = set(work.mixers) - drivers
    behind = _reached(work, set(work.mixers)) - drivers - mixers
    others = [item for item in work.rig.items.values() if item.id not in drivers]
    powered = [item for item in others if item.plan.is_on_mains]
    return Turns(
        batteries=_of(others, lambda item: item.plan.is_switched and not item.plan.is_on_mains),
        before=_of(powered, lambda item: item.id not in behind | mixers),
        mixers=_of(powered, lambda item: item.id in mixers),
        behind=_of(powered, lambda item: item.id in behind),
        drivers_in_turn=last,
    )


def _of(items: Iterable[RigItem], holds: Callable[[RigItem], bool]) -> tuple[RigItem, ...]:
    return tuple(item for item in items if holds(item))


def _reached(work: Paperwork, start: set[str]) -> set[str]:
    """Items that a signal of some items comes to, by any lead."""
    onward: dict[str, set[str]] = {}
    for lead in work.leads:
        for one, other in [*pairwise(lead.ports), *pairwise(reversed(lead.ports))]:
            if one.plan.role != "in" and other.plan.role == "in":
                onward.setdefault(one.item.id, set()).add(other.item.id)
    seen, ahead = set(start), list(start)
    while ahead:
        for each in onward.get(ahead.pop(), set()) - seen:
            seen.add(each)
            ahead.append(each)
    return seen - start
