"""From a show and the gear book to a rig. All errors of a show are collected before it stops."""

from __future__ import annotations

import difflib
from collections.abc import Iterable, Mapping
from dataclasses import replace
from typing import Protocol

from levelhead.errors import GearError, LevelheadError, ShowError
from levelhead.gear.book import GearBook
from levelhead.gear.compile import controls_of
from levelhead.gear.model import TypeEntry
from levelhead.gear.plan import ControlPlan
from levelhead.rig.cabling import join_link
from levelhead.rig.model import Misfit, Rig, RigItem, RigLink, RigPort, RigSource, Segment
from levelhead.rig.settings import UNKNOWN, read_setting
from levelhead.rig.usual import usual_cable
from levelhead.show.model import Cable, Link, Show, Source

__all__ = ["Locator", "build_rig"]


_PLAIN_ENDS = 2


class Locator(Protocol):
    """Where things stand in the file, for messages; a ``ShowDocument`` is one."""

    def where_item(self, item_id: str) -> str:
        """Place of an item."""

    def where_setting(self, address: str) -> str:
        """Place of a setting."""

    def where_link(self, link: Link) -> str:
        """Place of a link."""

    def where(self, *path: str | int) -> str:
        """Place of any leaf."""


class _Nowhere:
    """Locator of a show that was never in a file."""

    def where_item(self, item_id: str) -> str:
        return f"item '{item_id}'"

    def where_setting(self, address: str) -> str:
        return f"setting '{address}'"

    def where_link(self, link: Link) -> str:
        return f"link {' to '.join(link.ends.values())}"

    def where(self, *path: str | int) -> str:
        return ".".join(str(part) for part in path)


class _Errors(list[LevelheadError]):
    """Errors met so far; raised together."""

    def raise_any(self, where: str) -> None:
        if self:
            raise ShowError.collected(self, where=where)


def build_rig(show: Show, book: GearBook, locator: Locator | None = None) -> Rig:
    """Resolve a show: types, switches, settings, plugs.

    Raises
    ------
    ShowError
        Unknown types, ports, controls or cables, settings that no control can take; all of them
        at once in ``.errors``.
    """
    locate = locator or _Nowhere()
    errors = _Errors()
    controls = _controls(show, book, locate, errors)
    errors.raise_any(show.name)
    settings, unknowns = _settings(show, controls, locate, errors)
    items = _items(show, book, settings, locate, errors)
    ports = _ports(items.values())
    links, misfits, plugged = _links(show, book, ports, locate, errors)
    sources = _sources(show, book, items, locate, errors)
    errors.raise_any(show.name)
    return Rig(
        show=show,
        book=book,
        items=items,
        ports={
            address: replace(port, link=plugged.get(address)) for address, port in ports.items()
        },
        controls=controls,
        links=links,
        misfits=misfits,
        settings=settings,
        unknowns=unknowns,
        sources=sources,
    )


def _controls(
    show: Show, book: GearBook, locate: Locator, errors: _Errors
) -> dict[str, ControlPlan]:
    found: dict[str, ControlPlan] = {}
    for item in show.items.values():
        try:
            entry = _entry_with_sockets(book, item.type)
        except GearError as error:
            errors.append(error.at(locate.where_item(item.id)))
            continue
        for address, control in controls_of(entry).items():
            found[f"{item.id}.{address}"] = control
    return found


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


def _near(name: str, known: Iterable[str]) -> str:
    close = difflib.get_close_matches(name, list(known), n=2, cutoff=0.6)
    return f"Did you mean {' or '.join(repr(each) for each in close)}?" if close else ""


def _settings(
    show: Show, controls: Mapping[str, ControlPlan], locate: Locator, errors: _Errors
) -> tuple[dict[str, float | str], frozenset[str]]:
    settings: dict[str, float | str] = {}
    unknowns = set()
    for address, text in show.settings.items():
        where = locate.where_setting(address)
        if address not in controls:
            item = address.split(".")[0]
            errors.append(
                ShowError(
                    f"no control '{address}'",
                    where=where,
                    expected=f"a control of '{item}'",
                    remedy=_near(address, controls) or f"List them with: levelhead gear {item}",
                )
            )
        elif text == UNKNOWN:
            unknowns.add(address)
        else:
            try:
                settings[address] = read_setting(text, controls[address], where=where)
            except ShowError as error:
                errors.append(error)
    return settings, frozenset(unknowns)


def _items(
    show: Show,
    book: GearBook,
    settings: Mapping[str, float | str],
    locate: Locator,
    errors: _Errors,
) -> dict[str, RigItem]:
    chosen: dict[str, dict[str, str]] = {item_id: {} for item_id in show.items}
    for address, value in settings.items():
        item_id, _, control = address.partition(".")
        if isinstance(value, str):
            chosen[item_id][control] = value
    items = {}
    for item in show.items.values():
        figures = {
            name: {"value": text, "source": "measured"} for name, text in item.figures.items()
        }
        try:
            plan = book.plan(item.type, chosen[item.id], figures)
        except GearError as error:
            errors.append(error.at(locate.where_item(item.id)))
            continue
        items[item.id] = RigItem(item.id, item.label or item.id, plan, item.supply)
    return items


def _ports(items: Iterable[RigItem]) -> dict[str, RigPort]:
    return {
        f"{item.id}.{block.address(name)}": RigPort(
            f"{item.id}.{block.address(name)}", item, block, plan, None
        )
        for item in items
        for block in item.plan.blocks
        for name, plan in block.plan.ports.items()
    }


def _segments(
    link: Link, book: GearBook, ports: Mapping[str, RigPort]
) -> tuple[Segment, ...] | None:
    """Cables of a link; where none is named, the usual one between its sockets."""
    cables: tuple[Cable, ...] = link.via
    if not cables:
        addresses = list(link.ends.values())
        usual = usual_cable(book, ports[addresses[0]].plan, ports[addresses[1]].plan)
        if usual is None or len(addresses) != _PLAIN_ENDS:
            return None
        cables = (Cable(usual.type_id, None),)
    segments = []
    for number, cable in enumerate(cables):
        plan = book.cable(cable.type)
        length_m = plan.usual_length_m if cable.length_m is None else cable.length_m
        segments.append(Segment(plan, number, length_m if plan.core_ohm_per_m else 0.0))
    return tuple(segments)


def _links(
    show: Show,
    book: GearBook,
    ports: Mapping[str, RigPort],
    locate: Locator,
    errors: _Errors,
) -> tuple[tuple[RigLink, ...], tuple[Misfit, ...], dict[str, int]]:
    links: list[RigLink] = []
    misfits: list[Misfit] = []
    plugged: dict[str, int] = {}
    holes: dict[str, str] = {}
    for number, link in enumerate(show.links):
        where = locate.where_link(link)
        unknown = [address for address in link.ends.values() if address not in ports]
        for address in unknown:
            errors.append(_unknown_port(address, ports, where))
        if unknown:
            continue
        for address in link.ends.values():
            hole = ports[address].sibling(ports[address].plan.hole)
            if hole in holes:
                errors.append(_taken(address, holes[hole], where))
            holes[hole] = address
        try:
            segments = _segments(link, book, ports)
        except GearError as error:
            errors.append(error.at(where))
            continue
        sockets = {end: ports[address].plan.socket for end, address in link.ends.items()}
        if segments is None:
            first, second = list(sockets.values())[:2]
            misfits.append(Misfit(number, link, first, second, list(link.ends.values())[1]))
            continue
        joined = join_link(number, link, segments, sockets)
        if joined.misfit is not None:
            misfits.append(joined.misfit)
            continue
        links.append(RigLink(number, link, segments, joined.contacts))
        plugged |= dict.fromkeys(link.ends.values(), number)
    return tuple(links), tuple(misfits), plugged


def _unknown_port(address: str, ports: Mapping[str, RigPort], where: str) -> ShowError:
    return ShowError(
        f"no port '{address}'",
        where=where,
        expected="a port of an item of this show",
        remedy=_near(address, ports)
        or f"List them with: levelhead gear {address.split('.', maxsplit=1)[0]}",
    )


def _taken(address: str, other: str, where: str) -> ShowError:
    return ShowError(
        f"'{address}' already has a plug in it (at '{other}')",
        where=where,
        expected="one plug in a socket",
        remedy="Use another socket, or a splitter.",
    )


def _sources(
    show: Show,
    book: GearBook,
    items: Mapping[str, RigItem],
    locate: Locator,
    errors: _Errors,
) -> tuple[RigSource, ...]:
    found = []
    for source in show.sources.values():
        where = locate.where("sources", source.id)
        try:
            found.append(_source(source, book, items, where))
        except LevelheadError as error:
            errors.append(error)
    return tuple(found)


def _source(source: Source, book: GearBook, items: Mapping[str, RigItem], where: str) -> RigSource:
    air = book.plan(source.type, {}, {}).air
    if air is None:
        raise ShowError(
            f"'{source.type}' makes no sound in the air",
            where=where,
            expected="a voice or an instrument",
            remedy="List them with: levelhead gear --kind voice",
        )
    item_id = source.at.split(".")[0]
    hears = item_id in items and any(
        origin.kind == "air" for _, path in items[item_id].paths() for origin in path.origins
    )
    if not hears:
        raise ShowError(
            f"'{source.at}' is no microphone of this show",
            where=where,
            expected="an item with a microphone",
            remedy=_near(item_id, items) or "Name the item that hears this source.",
        )
    distance_m = air.distance_m if source.distance_m is None else source.distance_m
    return RigSource(source.id, source.label or source.id, item_id, air, distance_m)
