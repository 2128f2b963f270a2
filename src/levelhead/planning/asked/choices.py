"""What may be chosen otherwise in a question: another cable, another position of a pad or switch.

Cables are those that fit both sockets, the usual one first. Switches are those of the two ends
whose positions change a figure of the socket, or of a stage behind or before it: pads, phantom
power, mic and line level, lifts.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, Final

from levelhead.gear.book import GearBook
from levelhead.gear.plan import BlockInstance, ItemPlan, PortPlan
from levelhead.rig.usual import fitting_cables

__all__ = ["Choices", "SwitchChoice", "choices_of"]

_SECOND: Final = "-2"  # of two items of one type, the second is called so in a question


@dataclass(frozen=True, slots=True)
class SwitchChoice:
    """A switch: its address in the question, what the panel calls it, its positions."""

    address: str
    label: str
    options: tuple[str, ...]
    default: str


@dataclass(frozen=True, slots=True)
class Choices:
    """Cables as type and label, and switches of both ends."""

    cables: tuple[tuple[str, str], ...] = ()
    switches: tuple[SwitchChoice, ...] = ()


@dataclass(frozen=True, slots=True)
class _End:
    """One socket of a question: the item's name there, its plan, and the port."""

    item: str
    plan: ItemPlan
    block: BlockInstance
    port: PortPlan


def choices_of(book: GearBook, answer: dict[str, Any]) -> Choices:
    """What an answer (as JSON) leaves to choose; nothing where its sockets are not of the book."""
    ends = [_end(book, str(answer[side]["address"])) for side in ("from", "to")]
    start, finish = ends
    if start is None or finish is None:
        return Choices()
    cables = fitting_cables(book, start.port, finish.port)
    return Choices(
        tuple((each.type_id, book.entry(each.type_id).label) for each in cables),
        tuple(choice for end in (start, finish) for choice in _switches(book, end)),
    )


def _end(book: GearBook, address: str) -> _End | None:
    item, _, port = address.partition(".")
    type_id = item if item in book.ids else item.removesuffix(_SECOND)
    if type_id not in book.ids:
        return None
    plan = book.plan(type_id, {}, {})
    for block in plan.blocks:
        for name, each in block.plan.ports.items():
            if block.address(name) == port:
                return _End(item, plan, block, each)
    return None


def _switches(book: GearBook, end: _End) -> Iterator[SwitchChoice]:
    """Switches of the strip and of the whole item that change something at this socket."""
    entry = book.entry(end.plan.type_id)
    own = [block for block in end.plan.blocks if block.name in ("", end.block.name)]
    for block in own:
        written = entry.controls if block.name == "" else entry.blocks[block.block].controls
        for name, control in block.plan.controls.items():
            if control.kind != "switch" or name not in written:
                continue
            positions = (written[name].options or {}).values()
            figures = [figure for position in positions for figure in position]
            if any(_concerns(figure, block, end) for figure in figures):
                yield SwitchChoice(
                    f"{end.item}.{block.address(name)}",
                    f"{control.label or name.replace('-', ' ')}",
                    control.options,
                    str(control.default),
                )


def _concerns(figure: str, block: BlockInstance, end: _End) -> bool:
    """Whether a figure that a switch sets is one of this socket, or of a stage on its own strip."""
    first, _, rest = figure.partition(".")
    kinds = {each.block for each in end.plan.blocks if each.name}
    if block.name == "" and first in kinds and end.block.name:
        if first != end.block.block:
            return False
        first, block = rest.partition(".")[0], end.block
    return first == end.port.name or first not in block.plan.ports
