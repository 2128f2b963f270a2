"""The same rig with other figures: every figure behind it passes through one function."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, fields, is_dataclass, replace
from typing import Any, TypeAlias

from levelhead.gear.figures import Figure
from levelhead.gear.plan import BlockInstance
from levelhead.rig.model import Rig, RigItem, RigLink, RigPort

__all__ = ["FigurePlace", "NewFigure", "refigured"]


@dataclass(frozen=True, slots=True)
class FigurePlace:
    """Where a figure stands.

    Attributes
    ----------
    owner
        The very thing: an item, a cable of a link (``link 3.0``), a source.
    strip
        Its channel, output or group; empty for the thing as a whole.
    type_id, block
        The gear type, and the kind of the strip: what things of one type have in common.
    name
        The way to it within the plan.
    """

    owner: str
    strip: str
    type_id: str
    block: str
    name: str

    def inside(self, name: str) -> FigurePlace:
        """One step further into the plan."""
        return replace(self, name=f"{self.name}.{name}" if self.name else name)


NewFigure: TypeAlias = Callable[[FigurePlace, Figure], Figure]
"""The figure that stands at a place in place of another."""


def refigured(rig: Rig, new: NewFigure) -> Rig:
    """A copy of a rig in which ``new`` has set every figure of gear, cables and sources.

    Examples
    --------
    >>> from levelhead.gear.book import load_book
    >>> from levelhead.rig.build import build_rig
    >>> from levelhead.show.model import Item, Show
    >>> rig = build_rig(Show("x", items={"a": Item("a", "laptop")}), load_book())
    >>> doubled = refigured(rig, lambda place, figure: figure.at(2 * figure.value))
    >>> one, two = (each.ports["a.phones"].plan.figure("impedance") for each in (rig, doubled))
    >>> two == 2 * one
    True
    """
    items = {name: _item(item, new) for name, item in rig.items.items()}
    return replace(
        rig,
        items=items,
        ports={address: _port(port, items) for address, port in rig.ports.items()},
        links=tuple(_link(link, new) for link in rig.links),
        sources=tuple(
            replace(each, air=_renewed(each.air, FigurePlace(each.id, "", "", "", "air"), new))
            for each in rig.sources
        ),
    )


def _item(item: RigItem, new: NewFigure) -> RigItem:
    plan = item.plan
    whole = FigurePlace(item.id, "", plan.type_id, "", "")
    blocks = tuple(_block(item.id, plan.type_id, block, new) for block in plan.blocks)
    powered_by = _renewed(plan.powered_by, whole.inside("powered-by"), new)
    return replace(item, plan=replace(plan, blocks=blocks, powered_by=powered_by))


def _block(item: str, type_id: str, block: BlockInstance, new: NewFigure) -> BlockInstance:
    place = FigurePlace(item, block.name, type_id, block.block, "")
    return replace(block, plan=_renewed(block.plan, place, new))


def _port(port: RigPort, items: Mapping[str, RigItem]) -> RigPort:
    """The port as its item has it now."""
    item = items[port.item.id]
    block = item.plan.block(port.block.name)
    plan = block.plan.ports[port.plan.name].with_plug(port.plug)
    return replace(port, item=item, block=block, plan=plan)


def _link(link: RigLink, new: NewFigure) -> RigLink:
    segments = tuple(
        replace(
            each,
            cable=_renewed(
                each.cable,
                FigurePlace(f"link {link.number}.{each.number}", "", each.cable.type_id, "", ""),
                new,
            ),
        )
        for each in link.segments
    )
    return replace(link, segments=segments)


def _renewed(value: Any, place: FigurePlace, new: NewFigure) -> Any:
    """A plan, or a part of one, with new figures; what has none stays the same object."""
    if isinstance(value, Figure):
        return new(place, value)
    if isinstance(value, tuple):
        parts = [_renewed(part, place.inside(str(n)), new) for n, part in enumerate(value)]
        return tuple(parts) if any(a is not b for a, b in zip(parts, value)) else value
    if isinstance(value, Mapping):
        return {key: _renewed(part, place.inside(str(key)), new) for key, part in value.items()}
    if is_dataclass(value) and not isinstance(value, type):
        changed = {}
        for each in fields(value):
            part = getattr(value, each.name)
            renewed = _renewed(part, place.inside(each.name), new)
            if renewed is not part:
                changed[each.name] = renewed
        return replace(value, **changed) if changed else value
    return value
