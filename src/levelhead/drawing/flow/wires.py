"""Wires of a rig: who gives to whom by which link, and which of them run side by side."""

from __future__ import annotations

from collections.abc import Collection, Container, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby
from typing import Final

from levelhead.drawing.flow.folding import feeders_of
from levelhead.rig.model import Rig
from levelhead.show.addresses import item_of
from levelhead.show.model import Link

__all__ = [
    "BEFORE",
    "Wire",
    "groups_of",
    "is_inside",
    "links_of",
    "sockets_text",
    "stretches_of",
    "trunks_of",
    "wires_of",
]

BEFORE: Final = "before "  # heads the name of a box of folded items
_LONG: Final = 4  # free sockets in a row that are told as one


@dataclass(frozen=True, slots=True)
class Wire:
    """One way through a link: from a socket that gives to one that takes."""

    number: int
    link: Link
    start: str
    end: str


def links_of(rig: Rig) -> Iterator[tuple[int, Link]]:
    """All links of the show, those whose plug does not fit too."""
    found = {link.number: link.link for link in rig.links}
    found |= {misfit.number: misfit.link for misfit in rig.misfits}
    return iter(sorted(found.items()))


def wires_of(rig: Rig, number: int, link: Link) -> Iterator[Wire]:
    """Ways through a link: from each socket that gives to those that take."""
    ports = [each for each in link.ends.values() if each in rig.ports]
    hubs = [each for each in ports if rig.ports[each].plan.role == "insert"]
    gives = [each for each in ports if rig.ports[each].plan.gives]
    takes = [each for each in ports if rig.ports[each].plan.role == "in"]
    if hubs:
        gives, takes = [*gives, *hubs[: len(takes)]], [*takes, *hubs[: len(gives)]]
        pairs = [(hubs[0], each) for each in takes if each not in hubs]
        pairs += [(each, hubs[0]) for each in gives if each not in hubs]
    elif gives and takes:
        pairs = [(gives[min(at, len(gives) - 1)], each) for at, each in enumerate(takes)]
        pairs += [(each, takes[-1]) for each in gives[len(takes) :]]
    else:
        pairs = [(ports[0], each) for each in ports[1:]]
    for start, end in pairs:
        yield Wire(number, link, start, end)


def groups_of(rig: Rig, wires: Sequence[Wire], fold: Collection[str]) -> dict[str, str]:
    """Name of the box into which an item is folded, for those that are."""
    pairs = [(item_of(wire.start), item_of(wire.end)) for wire in wires]
    return {item: f"{BEFORE}{box}" for box in fold for item in feeders_of(box, rig.items, pairs)}


def is_inside(wire: Wire, groups: Mapping[str, str]) -> bool:
    """Whether both ends of a wire are folded into one box."""
    one, other = groups.get(item_of(wire.start)), groups.get(item_of(wire.end))
    return one is not None and one == other


def trunks_of(wires: Sequence[Wire], groups: Mapping[str, str]) -> list[list[Wire]]:
    """Wires between the same two boxes that run from like sockets to like ones, as one."""
    found: dict[tuple[str, ...], list[Wire]] = {}
    for wire in wires:
        start = _family(wire.start)
        if start[0] in groups:
            start = (groups[start[0]], "")
        found.setdefault((*start, *_family(wire.end)), []).append(wire)
    return list(found.values())


def _family(address: str) -> tuple[str, str]:
    """Item and socket without its number: sockets that differ in that alone are alike."""
    item, _, local = address.partition(".")
    return item, "".join(letter for letter in local if not letter.isdigit())


def sockets_text(addresses: Sequence[str]) -> str:
    """Addresses in their item's words: ``ch1-4 mic``, ``main-left, main-right out``."""
    locals_ = [address.partition(".")[2] for address in addresses]
    if len(locals_) == 1:
        return locals_[0].replace(".", " ")
    blocks = dict.fromkeys(each.rpartition(".")[0] or each for each in locals_)
    tails = dict.fromkeys(each.rpartition(".")[2] for each in locals_ if "." in each)
    tail = f" {next(iter(tails))}" if len(tails) == 1 else ""
    return f"{_joined(list(blocks))}{tail}"


def stretches_of(addresses: Sequence[str], used: Container[str]) -> Iterator[tuple[str, ...]]:
    """Free sockets of a side in panel order; a long row of like strips without a plug as one.

    Parameters
    ----------
    used
        Strips (``desk.ch3``) of which a socket of this side has a plug.
    """
    strips = [
        (strip, tuple(each))
        for strip, each in groupby(addresses, key=lambda each: each.rpartition(".")[0])
    ]
    for is_row, found in groupby(strips, key=lambda each: _row_of(each[0], used)):
        sockets = [each for _, several in found for each in several]
        if is_row and len(sockets) >= _LONG:
            yield tuple(sockets)
        else:
            yield from ((each,) for each in sockets)


def _row_of(strip: str, used: Container[str]) -> str:
    """What strips of one row have in common; empty for one that has a plug, or stands alone."""
    stem = strip.rstrip("0123456789")
    return "" if strip in used or stem == strip else stem


def _joined(names: Sequence[str]) -> str:
    """Names with runs of numbers drawn together: ``ch1-3, ch5``."""
    split = [(name.rstrip("0123456789"), name) for name in names]
    parts: list[str] = []
    for stem, group in groupby(split, key=lambda each: each[0]):
        tails = [name[len(stem) :] for _, name in group]
        numbers = sorted(int(each) for each in tails if each)
        parts += _runs(stem, numbers) if numbers else [stem]
    return ", ".join(dict.fromkeys(parts))


def _runs(stem: str, numbers: Sequence[int]) -> Iterator[str]:
    for _, run in groupby(enumerate(numbers), key=lambda each: each[1] - each[0]):
        found = [number for _, number in run]
        yield f"{stem}{found[0]}" if len(found) == 1 else f"{stem}{found[0]}\N{EN DASH}{found[-1]}"
