"""Strips of mixers that have a signal, in the order of sound check: the hot ones first.

Hot is what comes near the end of its input even with the gain fully down, by numbers: a source
whose peaks stand less than 12 dB below what the input then takes. Levels differ by as much from one
player to the next.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final

from levelhead.chain.graph.points import Point
from levelhead.exchange.paperwork.flow import upstream
from levelhead.exchange.paperwork.work import Paperwork
from levelhead.planning.desks import Desk
from levelhead.rig.model import RigPort
from levelhead.verdicts.read.doubts import Way, strongest_way
from levelhead.verdicts.read.strips import Strip

__all__ = ["HOT_ROOM_DB", "Channel", "channels"]

HOT_ROOM_DB: Final = 12.0  # one player differs from the next by as much, common practice


@dataclass(frozen=True, slots=True)
class Channel:
    """A strip of a mixer with the inputs that it has a signal at, and how hot that comes.

    ``who`` plays there, in words. ``room_db`` is how far the highest peak stands below what the
    input takes at its lowest gain; ``depth`` how many other mixers its signal has passed.
    ``is_in_the_air`` tells that it began as sound that a microphone hears, ``plays_music`` that it
    comes out of a player.
    """

    ports: tuple[RigPort, ...]
    strips: tuple[Strip, ...]
    who: str
    room_db: float
    depth: int
    has_gain: bool
    is_in_the_air: bool
    plays_music: bool

    @property
    def is_hot(self) -> bool:
        """Whether it may clip its input before anybody has touched a gain."""
        return self.room_db < HOT_ROOM_DB

    @property
    def peak_dbu(self) -> float:
        """Highest peak at its inputs, in the unit of the input."""
        return max(strip.peak_dbu for strip in self.strips)


def channels(work: Paperwork) -> tuple[Channel, ...]:
    """Strips in the order of sound check: behind another mixer later; the hottest first."""
    found: dict[tuple[str, str], list[_Entry]] = {}
    solution = work.check.trial.solution
    for strip in work.check.trial.reading.strips:
        port = work.rig.ports[strip.port]
        if work.is_input(port):
            way = strongest_way(solution, solution.number(strip.entry.at))
            entries = found.setdefault((port.item.id, port.block.name or port.plan.name), [])
            entries.append(_Entry(work, strip, port, way))
    made = [_channel(work, entries) for entries in found.values()]
    return tuple(
        sorted(made, key=lambda each: (each.depth, each.room_db if each.is_hot else math.inf))
    )


@dataclass(frozen=True, slots=True)
class _Entry:
    """One input of a channel, and the way by which most comes to it."""

    work: Paperwork
    strip: Strip
    port: RigPort
    way: Way

    @property
    def room_db(self) -> float:
        """How far its peaks stand below the first ceiling at the lowest gain."""
        ceiling = self.strip.lowest_ceiling
        return math.inf if ceiling is None else ceiling.at_lowest_dbu - self.strip.peak_dbu

    def passed(self) -> Iterator[Point]:
        """Points before it, from where its signal begins."""
        points = self.work.check.trial.solution.graph.points
        return (points[edge.source] for edge in self.way.edges)

    @property
    def who(self) -> str:
        """The source in the air, the item that the signal begins in, or a return."""
        back = upstream(self.work, self.port)
        if back and any(each.item == self.port.item.id for each in self.passed()):
            return f"Return of {self.work.called(self.work.rig.items[back[0]])}"
        source = self.way.source
        return self.strip.port if source is None else source.label.split(", ")[0]


def _channel(work: Paperwork, entries: Sequence[_Entry]) -> Channel:
    first = entries[0]
    begins = [point for each in entries for point in list(each.passed())[:1]]
    items = [work.rig.items[each.item] for each in begins if each.item in work.rig.items]
    gains = Desk(work.rig, first.port.item).gains(first.port.block, first.port.plan.name)
    return Channel(
        ports=tuple(each.port for each in entries),
        strips=tuple(each.strip for each in entries),
        who=" and ".join(dict.fromkeys(each.who for each in entries)),
        # what a meter cannot tell apart keeps the order of the panel
        room_db=round(min(each.room_db for each in entries), 1),
        depth=len({each.item for each in first.passed()} & set(work.mixers)),
        has_gain=bool(gains),
        is_in_the_air=any(each.unit == "Pa" for each in begins),
        plays_music=any(each.plan.kind == "player" for each in items),
    )
