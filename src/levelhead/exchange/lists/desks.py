"""Desks and stage boxes by their numbered channels: which socket, which controls, what is free."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import dataclass
from functools import partial
from typing import Final

from levelhead.errors import ListError
from levelhead.gear.book import GearBook
from levelhead.gear.plan import ControlPlan, PortPlan
from levelhead.show.addresses import shortened
from levelhead.show.model import Item, Show

__all__ = ["Desk", "desk_choices", "desks_of", "empty_show", "fitting_desk", "has_one_switch"]

_KINDS: Final = ("mixer", "box")
_CHANNEL: Final = "ch"
_MIC: Final = "mic"
_LINE: Final = "line"
_PHANTOM: Final = "phantom"


@dataclass(frozen=True, slots=True)
class Desk:
    """What takes the inputs of a show, by the numbers on its panel."""

    item: str
    type: str
    book: GearBook
    count: int

    def socket(self, number: int, *, is_line: bool = False) -> tuple[str, PortPlan] | None:
        """Address and plan of a channel's socket; ``None`` where there is no such channel."""
        ports = self._block_ports(number)
        name = _LINE if is_line and _LINE in ports else _MIC
        if name not in ports:
            return None
        return f"{self.item}.{_CHANNEL}{number}.{name}", ports[name]

    def sockets(self, number: int) -> list[str]:
        """Addresses of all inputs of a channel."""
        return [
            f"{self.item}.{_CHANNEL}{number}.{name}"
            for name, port in self._block_ports(number).items()
            if port.role == "in"
        ]

    def _block_ports(self, number: int) -> dict[str, PortPlan]:
        for block in self.book.plan(self.type, {}, {}).blocks:
            if block.name == f"{_CHANNEL}{number}":
                return dict(block.plan.ports)
        return {}

    def control(self, number: int, name: str) -> tuple[str, ControlPlan] | None:
        """Address and plan of a control of a channel, or of the desk where it is common to all."""
        controls = self.book.controls(self.type)
        for local in (f"{_CHANNEL}{number}.{name}", name):
            if local in controls:
                return f"{self.item}.{local}", controls[local]
        return None

    def is_free(self, number: int, show: Show) -> bool:
        """Whether nothing is plugged into a channel."""
        return all(show.link_at(address) is None for address in self.sockets(number))

    def free(self, show: Show, kept: Collection[int] = ()) -> Iterator[int]:
        """Channels without a plug that are not kept for something else."""
        for number in range(1, self.count + 1):
            if number not in kept and self.is_free(number, show):
                yield number


def desks_of(show: Show, book: GearBook) -> list[Desk]:
    """Stage boxes that are in use first, then mixers, in the order of the show."""
    found = []
    for item in show.items.values():
        kind = book.entry(item.type).kind
        count = _channels(book, item.type) if kind in _KINDS else 0
        if count:
            desk = Desk(item.id, item.type, book, count)
            is_used = any(not desk.is_free(number, show) for number in range(1, count + 1))
            found.append((kind != "box" or not is_used, kind == "box", desk))
    return [desk for *_, desk in sorted(found, key=lambda each: each[:2])]


def fitting_desk(book: GearBook, inputs: int, *, is_apart: bool = False) -> str:
    """The smallest mixer of the gear book with so many microphone channels, else the largest.

    One with amplifiers inside is nothing to be guessed. With ``is_apart`` only those count that
    switch phantom power by the channel, if one of them is large enough.
    """
    mixers = book.of_kind("mixer")
    plain = [each for each in mixers if not _has_amplifiers(book, each)]
    apart = [each for each in plain if not has_one_switch(book, each)]
    if is_apart and any(_channels(book, each) >= inputs for each in apart):
        plain = apart
    sizes = [(_channels(book, each), each) for each in plain]
    fitting = [(size, each) for size, each in sizes if size >= inputs]
    if fitting:
        least = min(size for size, _ in fitting)
        return next(each for size, each in fitting if size == least)
    return max(sizes, key=lambda each: each[0])[1]


def desk_choices(book: GearBook) -> dict[str, str]:
    """Mixers of the gear book that take microphones, by type; those of few channels come first."""
    found = [each for each in book.of_kind("mixer") if _channels(book, each)]
    return {each: book.entry(each).label for each in sorted(found, key=partial(_channels, book))}


def empty_show(name: str, desk: str, book: GearBook) -> Show:
    """A show with one desk and nothing plugged into it.

    Raises
    ------
    ListError
        The desk is none of :func:`desk_choices`.
    """
    if desk not in desk_choices(book):
        raise ListError(
            f"{shortened(desk)} is no desk of the gear book",
            where="desk",
            expected="a mixer with microphone channels",
            remedy="Pick one of those that are offered.",
        )
    return Show(name, items={"desk": Item("desk", desk, label="Desk")})


def has_one_switch(book: GearBook, type_id: str) -> bool:
    """Whether one switch gives phantom power to all inputs of a mixer or box."""
    return _PHANTOM in book.controls(type_id)


def _has_amplifiers(book: GearBook, type_id: str) -> bool:
    blocks = book.plan(type_id, {}, {}).blocks
    return any(port.role == "loudspeaker" for block in blocks for port in block.plan.ports.values())


def _channels(book: GearBook, type_id: str) -> int:
    """Numbered channels with a microphone input."""
    blocks = book.plan(type_id, {}, {}).blocks
    return sum(block.block == _CHANNEL and _MIC in block.plan.ports for block in blocks)
