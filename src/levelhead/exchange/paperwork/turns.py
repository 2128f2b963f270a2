"""The order in which items are switched on, and the other way round off.

It follows from the ways of the signal: what drives loudspeakers is switched on last and off
first, so that nobody hears what the rest gives when it is switched (common practice).
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

from levelhead.exchange.paperwork.work import Paperwork
from levelhead.rig.model import RigItem
from levelhead.verdicts.people.switching import ON_MAINS

__all__ = ["Turns", "turns_of"]


@dataclass(frozen=True, slots=True)
class Turns:
    """Items by the turn in which they are switched on; within each in the order of the show."""

    batteries: tuple[RigItem, ...]
    before: tuple[RigItem, ...]
    mixers: tuple[RigItem, ...]
    behind: tuple[RigItem, ...]
    drivers: tuple[RigItem, ...]


def turns_of(work: Paperwork) -> Turns:
    """Who is switched on when, read off the leads and the ways of the signal."""
    items = work.rig.items
    drivers = _drivers(work)
    behind = _reached(work, set(work.mixers)) - drivers - set(work.mixers)
    powered = {name for name, item in items.items() if item.plan.earth in ON_MAINS} - drivers
    on_battery = {
        name
        for name, item in items.items()
        if name not in powered | drivers
        and {way.kind for way in item.plan.powered_by} & {"battery"}
    }
    mixers = powered & set(work.mixers)
    return Turns(
        *(
            tuple(item for name, item in items.items() if name in chosen)
            for chosen in (on_battery, powered - behind - mixers, mixers, powered & behind, drivers)
        )
    )


def _drivers(work: Paperwork) -> set[str]:
    """On each way to a loudspeaker, the last item that is on the mains."""
    solution, items = work.check.trial.solution, work.rig.items
    found = {
        name
        for name, item in items.items()
        if item.plan.earth in ON_MAINS
        and not item.plan.is_worn
        and any(path.to_air for _, path in item.paths())
    }
    found |= {
        port.item.id
        for port in work.rig.ports.values()
        if port.plan.role == "loudspeaker"
        and port.address in work.lead_at
        and port.item.plan.earth in ON_MAINS
    }
    for way in solution.paths:
        if solution.point(way[-1]).unit == "Pa":
            passed = dict.fromkeys(solution.point(address).item for address in way)
            mains = [
                each for each in passed if each in items and items[each].plan.earth in ON_MAINS
            ]
            last = items.get(next(reversed(passed)))
            if mains and last is not None and not last.plan.is_worn:
                found.add(mains[-1])
    return found - set(work.mixers)


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
