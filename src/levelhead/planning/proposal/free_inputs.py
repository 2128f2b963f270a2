"""Inputs that have room: each kind of strip once, and who sits in those that have none."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import groupby
from typing import Final

from levelhead.rig.chosen_inputs import is_switched_away
from levelhead.rig.model import Rig, RigPort
from levelhead.show.model import Item, Link

__all__ = ["Inputs", "Occupied", "free_inputs", "free_pairs", "occupied"]

_TAKING: Final = frozenset({"mixer"})
_FEWEST: Final = 4  # inputs of a box that is one of a stage, not one in a line

Inputs = tuple[RigPort, ...]  # one, or left and right


@dataclass(frozen=True, slots=True)
class Occupied:
    """A strip without room: its links, and the items that its signal comes through."""

    links: tuple[Link, ...]
    ports: Inputs
    items: tuple[Item, ...]

    @property
    def called(self) -> str:
        """Where its signal begins."""
        return self.items[-1].called

    @property
    def is_nice(self) -> bool:
        """Whether the show would do without."""
        return any(each.need == "nice" for each in self.items)


def _takers(rig: Rig) -> list[str]:
    """Items into which voices and instruments go: mixers and stage boxes, else any."""
    ins: dict[str, int] = {}
    for port in rig.ports.values():
        ins[port.item.id] = ins.get(port.item.id, 0) + (port.plan.role == "in")
    found = [
        item.id
        for item in rig.items.values()
        if item.plan.kind in _TAKING or (item.plan.kind == "box" and ins.get(item.id, 0) >= _FEWEST)
    ]
    return found or [item for item in rig.items if ins.get(item)]


def _strips(rig: Rig, item: str) -> Iterator[Inputs]:
    """Inputs of an item, those of one strip together."""
    ports = [port for port in rig.ports.values() if port.item.id == item and port.plan.role == "in"]
    for _, each in groupby(ports, key=lambda port: port.block.name):
        yield tuple(each)


def _is_free(rig: Rig, strip: Inputs, port: RigPort) -> bool:
    """No plug in its hole; within a strip of several sockets, in none, and it hears this one."""
    if is_switched_away(rig, port):
        return False
    beside = strip if port.block.name else (port,)
    return not any(
        rig.plugged(each.address) or rig.plugged(each.sibling(each.plan.hole)) for each in beside
    )


def free_inputs(rig: Rig) -> Iterator[RigPort]:
    """The first free input of each kind of strip."""
    seen: set[tuple[str, str, str]] = set()
    for item in _takers(rig):
        for strip in _strips(rig, item):
            for port in strip:
                kind = (item, port.block.block, port.plan.name)
                if kind not in seen and _is_free(rig, strip, port):
                    seen.add(kind)
                    yield port


def free_pairs(rig: Rig) -> Iterator[Inputs]:
    """Left and right of one strip, or two strips of a kind; each kind once."""
    seen: dict[tuple[str, str, str], RigPort] = {}
    done: set[tuple[str, str, str]] = set()
    for item in _takers(rig):
        for strip in _strips(rig, item):
            by_name = {port.plan.name: port for port in strip}
            for port in strip:
                kind = (item, port.block.block, port.plan.name)
                right = by_name.get(f"{port.plan.name.removesuffix('-left')}-right")
                is_left = port.plan.name.endswith("-left") and right is not None
                if kind in done or not _is_free(rig, strip, port):
                    continue
                if is_left and right is not None:
                    yield port, right
                    done.add(kind)
                elif not port.plan.name.endswith("-right") and port.block.name and kind in seen:
                    yield seen[kind], port
                    done.add(kind)
                seen.setdefault(kind, port)


def occupied(rig: Rig) -> Iterator[Occupied]:
    """Strips that are taken, what is only nice to have first; a must is left alone."""
    found = []
    for item in _takers(rig):
        for strip in _strips(rig, item):
            plugged = (rig.links_at.get(port.address, ()) for port in strip)
            links = tuple(each.link for at_port in plugged for each in at_port)
            items = tuple(_before(rig, item, links))
            if items and all(each.need != "must" for each in items):
                found.append(Occupied(tuple(dict.fromkeys(links)), strip, items))
    yield from sorted(found, key=lambda each: not each.is_nice)


def _before(rig: Rig, item: str, links: tuple[Link, ...]) -> Iterator[Item]:
    """Items through which the signal of links comes, from an item back to where it begins."""
    seen = {item}
    waiting = list(links)
    while waiting:
        for end in waiting.pop(0).ends.values():
            sender = end.partition(".")[0]
            if sender not in seen:
                seen.add(sender)
                yield rig.show.items[sender]
                waiting += [
                    each.link
                    for each in rig.links
                    if any(
                        rig.ports[at].item.id == sender and rig.ports[at].plan.role == "in"
                        for at in each.ports
                        if at in rig.ports
                    )
                ]
