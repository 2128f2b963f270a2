"""From a show and the gear book to a rig. All errors of a show are collected before it stops."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace

from levelhead.errors import GearError, ShowError
from levelhead.gear.book import GearBook
from levelhead.gear.figures import RawFigure, measured
from levelhead.gear.names import address_meant
from levelhead.gear.plan import ControlPlan
from levelhead.rig.before import Before
from levelhead.rig.contacts import closed_contacts, holes_pushed, insert_wirings, ports_in_contact
from levelhead.rig.locating import Locator, Nowhere, Resolving
from levelhead.rig.model import Rig, RigItem, RigPort, switches_set
from levelhead.rig.plugging import Plugged, plug_links
from levelhead.rig.settings import UNKNOWN, read_setting
from levelhead.rig.sources import place_sources
from levelhead.show.model import Item, Show

__all__ = ["Locator", "build_rig"]

Settings = dict[str, float | str]


def build_rig(
    show: Show, book: GearBook, locator: Locator | None = None, previous: Rig | None = None
) -> Rig:
    """Resolve a show: types, switches, settings, plugs.

    What is the same in ``previous``, a rig of the same book, is taken from there. The rig is the
    same as without it, and so are the errors.

    Raises
    ------
    ShowError
        Unknown types, ports, controls, figures or cables, settings that no control can take; all
        of them at once in ``.errors``.
    """
    resolving = Resolving(show, book, locator or Nowhere())
    before = Before.of(previous, book)
    controls = before.controls(show) or dict(_controls(resolving))
    settings = dict(_settings(resolving, controls, before))
    items = dict(_items(resolving, settings, before))
    ports = before.ports(items) or dict(_ports(items.values(), before))
    plugged = plug_links(resolving, ports, before)
    sources = before.sources(show, items) or tuple(place_sources(resolving, items))
    resolving.raise_any()
    ports = _with_plugs(ports, plugged)
    pushed = holes_pushed(ports.values(), plugged.links)
    contacts = tuple(closed_contacts(items.values(), ports, pushed))
    rig = Rig(
        show=show,
        book=book,
        items=items,
        ports=ports,
        controls=controls,
        links=tuple(plugged.links),
        misfits=tuple(plugged.misfits),
        settings=settings,
        unknowns=frozenset(name for name, text in show.settings.items() if text == UNKNOWN),
        sources=sources,
        pushed=pushed,
        contacts=contacts,
        in_contact=ports_in_contact(contacts),
    )
    wirings = insert_wirings(rig)
    untold = {each for each, is_plugged in wirings.items() if is_plugged} - show.settings.keys()
    played = (address for address, control in controls.items() if control.is_played)
    return replace(rig, facts=frozenset([*wirings, *played]), unknowns=rig.unknowns | untold)


def _controls(resolving: Resolving) -> Iterator[tuple[str, ControlPlan]]:
    """Every control of every item, by its address."""
    for item in resolving.show.items.values():
        with resolving.planning(item.id):
            _check_it_has_sockets(resolving.book, item.type)
            for address, control in resolving.book.controls(item.type).items():
                yield f"{item.id}.{address}", control


def _check_it_has_sockets(book: GearBook, type_id: str) -> None:
    if book.entry(type_id).ends is None:
        return
    raise GearError(
        f"'{type_id}' is a cable",
        where="gear book",
        expected="an item with sockets",
        remedy="Name cables under 'via' of a link.",
    )


def _settings(
    resolving: Resolving, controls: Mapping[str, ControlPlan], before: Before
) -> Iterator[tuple[str, float | str]]:
    """What is set, read; what nobody knows is left out."""
    for address, text in resolving.show.settings.items():
        if address in controls and text != UNKNOWN:
            known = before.setting(address, text, controls[address])
            if known is not None:
                yield address, known
                continue
        if not resolving.is_lost(address):
            yield from _read(address, text, resolving, controls)


def _read(
    address: str, text: str, resolving: Resolving, controls: Mapping[str, ControlPlan]
) -> Iterator[tuple[str, float | str]]:
    """A setting with its address, if it can be read and says anything."""
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
        remedy=f"{address_meant(address, controls)} {resolving.how_to_list(item_id)}".strip(),
    )


def _items(
    resolving: Resolving, settings: Settings, before: Before
) -> Iterator[tuple[str, RigItem]]:
    """Every item, planned as its switches stand."""
    chosen = switches_set(settings)
    for item in resolving.show.items.values():
        if item.id in resolving.lost:
            continue
        switches = chosen.get(item.id, {})
        known = before.item(item, switches)
        if known is not None:
            yield item.id, known
            continue
        with resolving.planning(item.id):
            plan = resolving.book.plan(item.type, switches, _own_figures(item))
            yield item.id, RigItem(item.id, item.label or item.id, plan, item.supply)


def _own_figures(item: Item) -> dict[str, RawFigure]:
    """Figures of this unit; one that nobody knows is that of its type."""
    return {name: measured(text) for name, text in item.figures.items() if text != UNKNOWN}


def _ports(items: Iterable[RigItem], before: Before) -> Iterator[tuple[str, RigPort]]:
    """Every port by its address, with nothing plugged yet; of what did not change, as it was."""
    for item in items:
        known = before.ports_of(item)
        yield from known
        for block in () if known else item.plan.blocks:
            for name, plan in block.plan.ports.items():
                address = f"{item.id}.{block.address(name)}"
                yield address, RigPort(address, item, block, plan, None)


def _with_plugs(ports: Mapping[str, RigPort], plugged: Plugged) -> Mapping[str, RigPort]:
    """Ports with the link that is plugged into each, as that plug finds them."""
    at = plugged.at
    plugs = {
        name: link.plug_at(name)
        for link in plugged.links
        for name in link.ports
        if ports[name].switched.tells_plugs_apart
    }
    changed = {
        name: _with_plug(port, at.get(name), plugs.get(name))
        for name, port in ports.items()
        if port.link != at.get(name) or port.plug != plugs.get(name)
    }
    return {**ports, **changed} if changed else ports


def _with_plug(port: RigPort, link: int | None, plug: str | None) -> RigPort:
    return replace(port, link=link, plug=plug, plan=port.switched.with_plug(plug))
