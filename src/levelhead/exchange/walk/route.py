"""The way of one channel: leads from its source to its input, and points from there to an end."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby
from typing import Final

from levelhead.chain.graph.points import Component
from levelhead.errors import AskError
from levelhead.exchange.paperwork.flow import Leg, legs_before
from levelhead.exchange.paperwork.work import Paperwork
from levelhead.gear.names import did_you_mean
from levelhead.rig.model import RigItem, RigPort
from levelhead.show.addresses import item_of
from levelhead.verdicts.read.doubts import strongest_way
from levelhead.verdicts.read.reach import is_for_the_stage, speaks

__all__ = ["Route", "channel_meant", "route_of"]

_NAMED: Final = 8
_NUMBER: Final = re.compile(r"\d+")


@dataclass(frozen=True)
class Route:
    """One channel.

    Attributes
    ----------
    port
        Its input.
    legs
        Leads from the source to the input, each with the sockets at its ends.
    before, after
        Points up to the input (with it), and from there to the end, where a signal passes or would.
    source
        The signal that is strongest at the input; none where nothing arrives.
    is_open
        Whether the signal gets to the end as the show stands.
    ends
        Items that it ends at, the loudest for the audience first.
    """

    port: RigPort
    legs: tuple[Leg, ...]
    before: tuple[str, ...]
    after: tuple[str, ...]
    source: Component | None
    ends: tuple[str, ...]
    is_open: bool

    @property
    def sensed(self) -> str:
        """The point at the input."""
        return self.before[-1]

    @property
    def first(self) -> RigItem:
        """The item that the signal begins in, or the input's own where nothing is plugged."""
        return self.legs[0].out.item if self.legs else self.port.item


def channel_meant(work: Paperwork, typed: str) -> RigPort:
    """The input that somebody means: its address or strip, its number, or who plays there.

    Raises
    ------
    AskError
        Nothing, or several things, are called so; or nothing is plugged there.
    """
    inputs = [port for port in work.rig.ports.values() if work.is_input(port)]
    words = typed.strip().casefold()
    found = [port for port in inputs if words in _addresses(port)]
    found = found or [port for port in inputs if _NUMBER.fullmatch(words) and _ends(port, words)]
    found = found or [port for port in inputs if words in _names(work, port)]
    strips = {(port.item.id, port.block.name or port.plan.name) for port in found}
    if len(strips) == 1:
        return found[0]
    known = [f"{port.item.id}.{port.block.name or port.plan.name}" for port in inputs]
    if found:
        raise AskError(
            f"'{typed.strip()}' is several channels",
            where="channel",
            expected=f"one of {', '.join(_strip(port) for port in found[:_NAMED])}",
            remedy="Name it with its item.",
        )
    raise AskError(
        f"no channel '{typed.strip()}' with something plugged in",
        where="channel",
        expected="an input such as desk.ch3, its number, or who plays there",
        remedy=did_you_mean(words, known)
        or f"There are: {', '.join(list(dict.fromkeys(known))[:_NAMED])}.",
    )


def _strip(port: RigPort) -> str:
    return f"{port.item.id}.{port.block.name or port.plan.name}"


def _addresses(port: RigPort) -> set[str]:
    local = port.address.partition(".")[2]
    return {port.address, local, _strip(port), port.block.name or port.plan.name}


def _ends(port: RigPort, number: str) -> bool:
    """Whether it is the input of this number on the panel, of all strips of its first kind."""
    return port.block.name == f"{port.block.block}{number}" and port.block.block == "ch"


def _names(work: Paperwork, port: RigPort) -> set[str]:
    names = {leg.out.item.id for leg in legs_before(work, port)}
    names |= {work.rig.items[each].label for each in names}
    sources = [each for item in tuple(names) for each in work.sources_at.get(item, ())]
    names |= {name for each in sources for name in (each.id, each.label)}
    return {each.casefold() for each in names}


def route_of(work: Paperwork, port: RigPort, to: str | None = None) -> Route:
    """The way of a channel to one end.

    Parameters
    ----------
    to
        Id of the item that it is to end at; the loudest loudspeaker of the audience if left out.

    Raises
    ------
    AskError
        The channel does not lead there.
    """
    solution = work.check.trial.solution
    sensed = _sensed(work, port)
    ways = [way for way in solution.paths if sensed in way]
    ends = _by_worth(work, ways)
    if to is not None and ends and to not in ends:  # of what gets nowhere nobody knows the ends
        raise AskError(
            f"this channel does not end at '{to}'",
            where="end",
            expected=f"one of {', '.join(ends)}",
            remedy="Leave it out for the loudest.",
        )
    end = to or next(iter(ends), None)
    there = [each for each in ways if solution.point(each[-1]).item == end]
    way = min(there, key=_turns_back, default=None)  # ways are strongest first
    source = strongest_way(solution, solution.number(sensed)).source
    legs = tuple(legs_before(work, port))
    if way is None:
        would = _would_go(work, sensed)
        return Route(port, legs, (sensed,), would, source, tuple(ends), is_open=False)
    at = way.index(sensed)
    return Route(port, legs, way[: at + 1], way[at + 1 :], source, tuple(ends), is_open=True)


def _turns_back(way: Sequence[str]) -> int:
    """How often a way comes back to an item, as through a reverb: who looks goes straight."""
    passed = [item for item, _ in groupby(way, key=item_of)]
    return len(passed) - len(set(passed))


def _sensed(work: Paperwork, port: RigPort) -> str:
    """The point of an input: its own, or the first of its signals."""
    index = work.check.trial.solution.graph.index
    found = (each for each in index if each == port.address or each.startswith(f"{port.address}."))
    sensed = next(found, None)
    if sensed is None:
        raise AskError(
            f"nothing reaches {port.address}",
            where="channel",
            expected="an input whose plug fits and leads somewhere",
            remedy="Look what is wrong with it: levelhead check SHOW",
        )
    return sensed


def _by_worth(work: Paperwork, ways: Sequence[Sequence[str]]) -> list[str]:
    """Ends of some ways: loudspeakers of the audience, then of the stage, then the rest.

    Of each, those that must be heard come first, then the loudest.
    """
    solution, items = work.check.trial.solution, work.rig.show.items
    loudest: dict[str, tuple[int, bool, float]] = {}
    for way in ways:
        last = solution.point(way[-1])
        row = solution.number(way[-1])
        rank = 2
        if speaks(last):
            rank = 1 if is_for_the_stage(work.rig, last.item) else 0
        is_must = items[last.item].need == "must"
        worth = (rank, not is_must, -float(solution.nominal[row]))
        loudest[last.item] = min(loudest.get(last.item, worth), worth)
    return sorted(loudest, key=lambda item: loudest[item])


def _would_go(work: Paperwork, sensed: str) -> tuple[str, ...]:
    """Points from an input to the nearest loudspeaker, whether or not a signal passes there."""
    trial = work.check.trial
    way = trial.reading.reach.way_to_nearest(trial.solution.number(sensed), speaks)
    points = [trial.solution.graph.points[each].address for each in way]
    return tuple(each for each in points if not each.startswith("~"))
