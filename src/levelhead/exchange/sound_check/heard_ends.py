"""Loudspeakers that are heard in a show that is set as planned, and what ends first before each."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final

from levelhead.chain.levels import PointLevels
from levelhead.exchange.paperwork.work import Paperwork
from levelhead.rig.model import RigItem

__all__ = ["HeardEnd", "heard_ends"]

_SAME_DB: Final = 0.5


@dataclass(frozen=True, slots=True)
class HeardEnd:
    """A loudspeaker, how loud it gets, and the point behind the mixer that is tightest."""

    item: RigItem
    level: PointLevels
    tightest: PointLevels | None
    master: str | None

    @property
    def key(self) -> tuple[object, ...]:
        """What ends that are told together have in common: the same stage, or the same numbers."""
        if self.tightest is None or self.tightest.headroom is None or self.level.peak is None:
            return (self.item.id,)
        if self.tightest.at.partition(".")[0] != self.item.id:
            return (self.tightest.at, self.master)
        return (self.item.plan.type_id, round(self.tightest.headroom, 1), self.master)


def heard_ends(work: Paperwork) -> Iterator[HeardEnd]:
    """Each loudspeaker or earphone that is heard, by the way that brings most."""
    solution, seen = work.check.trial.solution, set[str]()
    for way in solution.paths:
        last = solution.point(way[-1])
        item = work.rig.items.get(last.item)
        if last.unit != "Pa" or item is None or item.id in seen or last.address in work.rig.ports:
            continue
        seen.add(item.id)
        yield HeardEnd(item, solution.levels(way[-1]), _tightest(work, way), _master(work, way))


def _from_mixer(work: Paperwork, way: Sequence[str]) -> Sequence[str]:
    """The part of a way from the output stage of the last mixer on."""
    solution = work.check.trial.solution
    stages = [each for each in way if each not in work.rig.ports]
    last = [n for n, each in enumerate(stages) if solution.point(each).item in work.mixers]
    return stages[last[-1] :] if last else stages


def _tightest(work: Paperwork, way: Sequence[str]) -> PointLevels | None:
    """Of equally tight points the first: what follows only passes that on."""
    levels = [work.check.trial.solution.levels(each) for each in _from_mixer(work, way)]
    known = [each for each in levels if each.headroom is not None]
    least_db = min((each.headroom or 0.0 for each in known), default=0.0)
    return next((each for each in known if (each.headroom or 0.0) < least_db + _SAME_DB), None)


def _master(work: Paperwork, way: Sequence[str]) -> str | None:
    """The last level that the signal passes in a mixer."""
    solution = work.check.trial.solution
    found = None
    for address in way:
        point = solution.point(address)
        if point.item in work.mixers and point.control is not None:
            found = point.control
    return found
