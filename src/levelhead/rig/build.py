"""From a show and the gear book to a rig. All errors of a show are collected before it stops."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace

from levelhead.errors import GearError, ShowError
from levelhead.gear.book import GearBook
from levelhead.gear.compile import controls_of
from levelhead.gear.figures import RawFigure, measured
from levelhead.gear.model import TypeEntry
from levelhead.gear.names import did_you_mean
from levelhead.gear.plan import ControlPlan
from levelhead.rig.locating import Locator, Nowhere, Resolving
from levelhead.rig.model import Rig, RigItem, RigPort
from levelhead.rig.plugging import plug_links
from levelhead.rig.settings import UNKNOWN, read_setting
from levelhead.rig.sources import place_sources
from levelhead.show.model import Item, Show

__all__ = ["Locator", "build_rig"]

Settings = dict[str, float | str]


def build_rig(show: Show, book: GearBook, locator: Locator | None = None) -> Rig:
    """Resolve a show: types, switches, settings, plugs.

    Raises
    ------
    ShowError
        Unknown types, ports, controls, figures or cables, settings that no control can take; all
        of them at once in ``.errors``.
    """
    resolving = Resolving(show, book, locator or Nowhere())
    controls = dict(_controls(resolving))
    settings = dict(_settings(resolving, controls))
    items = dict(_items(resolving, settings))
    ports = dict(_ports(items.values()))
    plugged = plug_links(resolving, ports)
    sources = tuple(place_sources(resolving, items))
    resolving.raise_any()
    return Rig(
        show=show,
        book=book,
        items=items,
        ports={name: replace(port, link=plugged.at.get(name)) for name, port in ports.items()},
        controls=controls,
        links=tuple(plugged.links),
        misfits=tuple(plugged.misfits),
        settings=settings,
        unknowns=frozenset(name for name, text in show.settings.items() if text == UNKNOWN),
        sources=sources,
    )


def _controls(resolving: Resolving) -> Iterator[tuple[str, ControlPlan]]:
    """Every control of every item, by its address."""
    for item in resolving.show.items.values():
        with resolving.planning(item.id):
            entry = _entry_with_sockets(resolving.book, item.type)
            for address, control in controls_of(entry).items():
                yield f"{item.id}.{address}", control


def _entry_with_sockets(book: GearBook, type_id: str) -> TypeEntry:
    entry = book.entry(type_id)
    if entry.ends is None:
        return entry
    raise GearError(
        f"'{type_id}' is a cable",
        where="gear book",
        expected="an item with sockets",
        remedy="Name cables under 'via' of a link.",
    )


def _settings(
    resolving: Resolving, controls: Mapping[str, ControlPlan]
) -> Iterator[tuple[str, float | str]]:
    """What is set, read; what nobody knows is left out."""
    for address, text in resolving.show.settings.items():
        if resolving.is_lost(address):
            continue
        where = resolving.locate.where_setting(address)
        with resolving.collecting(where):
            if address not in controls:
                raise _no_control(address, controls, resolving, where)
            if text != UNKNOWN:
                yield address, read_setting(text, controls[address], where=where)


def _no_control(
    address: str, controls: Mapping[str, ControlPlan], resolving: Resolving, where: str
) -> ShowError:
    item_id = address.partition(".")[0]
    return ShowError(
        f"no control '{address}'",
        where=where,
        expected=f"a control of '{item_id}'",
        remedy=did_you_mean(address, controls) or resolving.how_to_list(item_id),
    )


def _items(resolving: Resolving, settings: Settings) -> Iterator[tuple[str, RigItem]]:
    """Every item, planned as its switches stand."""
    chosen: dict[str, dict[str, str]] = {item_id: {} for item_id in resolving.show.items}
    for address, value in settings.items():
        item_id, _, control = address.partition(".")
        if isinstance(value, str):
            chosen[item_id][control] = value
    for item in resolving.show.items.values():
        if item.id in resolving.lost:
            continue
        with resolving.planning(item.id):
            plan = resolving.book.plan(item.type, chosen[item.id], _own_figures(item))
            yield item.id, RigItem(item.id, item.label or item.id, plan, item.supply)


def _own_figures(item: Item) -> dict[str, RawFigure]:
    """Figures of this unit; one that nobody knows is that of its type."""
    return {name: measured(text) for name, text in item.figures.items() if text != UNKNOWN}


def _ports(items: Iterable[RigItem]) -> Iterator[tuple[str, RigPort]]:
    """Every port by its address, with nothing plugged yet."""
    for item in items:
        for block in item.plan.blocks:
            for name, plan in block.plan.ports.items():
                address = f"{item.id}.{block.address(name)}"
                yield address, RigPort(address, item, block, plan, None)
