"""A show as plain mappings, lists and values in the shape of its file, to compare and to write."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any, TypeAlias

from levelhead.show.addresses import join_range
from levelhead.show.beside import beside_text, near_text
from levelhead.show.checks import LOCK
from levelhead.show.lengths import cable_text, length_text
from levelhead.show.model import Area, Item, Link, Room, Show, Source, Supply, Volts
from levelhead.show.read.schema import FORMAT
from levelhead.show.rooms import ByOctave

__all__ = ["Plain", "as_one_entry", "plain_link", "plain_show"]

Plain: TypeAlias = Any
"""Text, a number, a list of them, or a mapping of names to them."""

_PAIR = {"a", "b"}


def plain_show(show: Show) -> dict[str, Plain]:
    """Every section of a show, empty ones too, in the order that files have."""
    return {
        "levelhead": FORMAT,
        "show": _given(
            name=show.name, date=show.date, version=show.version if show.version != 1 else None
        ),
        "items": {name: _plain_item(item) for name, item in show.items.items()},
        "sources": {name: _plain_source(source) for name, source in show.sources.items()},
        "links": [plain_link(link) for link in show.links],
        "settings": _plain_settings(show),
        "supplies": {name: _plain_supply(supply) for name, supply in show.supplies.items()},
        "stock": dict(show.stock),
        "room": {} if show.room is None else _plain_room(show.room),
        "areas": {name: _plain_area(area) for name, area in show.areas.items()},
        "measured": {name: _plain_volts(each) for name, each in show.measured.items()},
    }


def _given(**fields: Plain) -> dict[str, Plain]:
    """Fields that say something; the rest is left to their defaults."""
    return {name: value for name, value in fields.items() if value not in (None, "", [], {})}


def _plain_item(item: Item) -> dict[str, Plain]:
    return _given(
        type=item.type,
        label=item.label,
        need=item.need,
        at=None if item.at is None else list(item.at),
        aim=None if item.aim is None else list(item.aim),
        supply=item.supply,
        figures=dict(item.figures),
        fixings=item.fixings,
        switched=item.switched,
        near=[near_text(each) for each in item.near],
        note=item.note,
    )


def _plain_source(source: Source) -> dict[str, Plain]:
    distance = None if source.distance_m is None else length_text(source.distance_m)
    also = {name: length_text(away_m) for name, away_m in source.also.items()}
    return _given(
        type=source.type,
        at=source.at,
        distance=distance,
        label=source.label,
        also=also,
        level=source.level,
    )


def _plain_supply(supply: Supply) -> dict[str, Plain]:
    rest = _given(
        circuit=supply.circuit,
        earth=supply.earth if supply.earth != "sound" else None,
        rcd=supply.rcd,
        label=supply.label,
        note=supply.note,
        reel=supply.reel,
        rated=supply.rated,
        tails=supply.tails,
    )
    wound = {} if supply.rated_wound is None else {"rated-wound": supply.rated_wound}
    return {"outlet": supply.outlet, **rest, **wound}


def _plain_room(room: Room) -> dict[str, Plain]:
    surfaces = {
        name: {"area": each.area, "absorption": _plain_octaves(each.absorption)}
        for name, each in room.surfaces.items()
    }
    return _given(
        where=room.where if room.where != "indoors" else None,
        corners=[list(corner) for corner in room.corners],
        height=room.height,
        floor=room.floor or None,
        volume=room.volume,
        surface=room.surface,
        reverberation=_plain_octaves(room.reverberation),
        absorption=_plain_octaves(room.absorption),
        surfaces=surfaces,
        temperature=room.temperature,
        humidity=room.humidity,
        noise=room.noise,
        note=room.note,
    )


def _plain_octaves(given: ByOctave | None) -> Plain:
    return given if given is None or isinstance(given, str) else dict(given)


def _plain_area(area: Area) -> dict[str, Plain]:
    plain = _given(
        label=area.label,
        corners=[list(corner) for corner in area.corners],
        at=None if area.at is None else list(area.at),
        ears=area.ears,
        spacing=area.spacing,
        stay=area.stay,
        level=area.level,
        who=None if area.who == "audience" else area.who,
        laeq=area.laeq,
        note=area.note,
    )
    return plain if area.back_ears is None else plain | {"back-ears": area.back_ears}


def _plain_volts(each: Volts) -> dict[str, Plain]:
    return _given(
        between=list(each.between),
        volts=each.volts,
        meter=None if each.meter == "high-impedance" else each.meter,
        note=each.note,
    )


def plain_link(link: Link, *, as_ends: bool = False) -> dict[str, Plain]:
    """One link, with ``from`` and ``to`` where its two ends allow it."""
    return _plain_entry(dict(link.ends), link, as_ends=as_ends)


def as_one_entry(links: Sequence[Link], *, as_ends: bool = False) -> dict[str, Plain] | None:
    """Links as one entry with ranges; ``None`` if more differs than the numbers of sockets."""
    first = links[0]
    alike = all(
        (link.via, link.pins, link.plugged, link.beside, list(link.ends))
        == (first.via, first.pins, first.plugged, first.beside, list(first.ends))
        for link in links
    )
    if not alike:
        return None
    ends = {end: join_range([link.ends[end] for link in links]) for end in first.ends}
    if any(text is None for text in ends.values()):
        return None
    return _plain_entry(ends, first, as_ends=as_ends)


def _plain_entry(ends: dict[str, Plain], link: Link, *, as_ends: bool) -> dict[str, Plain]:
    pair = not as_ends and set(ends) == _PAIR
    named = {"from": ends["a"], "to": ends["b"]} if pair else {"ends": ends}
    return named | _given(
        via=[cable_text(cable) for cable in link.via],
        pins=dict(link.pins),
        plugged=None if link.plugged == "full" else link.plugged,
        beside=[beside_text(each) for each in link.beside],
    )


def _plain_settings(show: Show) -> dict[str, Plain]:
    """Settings and locks nested by the parts of their addresses."""
    settings: dict[str, Plain] = {}
    for address, value in show.settings.items():
        *outer, control = address.split(".")
        _inside(settings, outer)[control] = value
    for address in sorted(show.locks):
        *outer, control = address.split(".")
        _inside(settings, outer).setdefault(LOCK, []).append(control)
    return settings


def _inside(tree: dict[str, Plain], path: Iterable[str]) -> dict[str, Plain]:
    """The mapping at a path, made on the way."""
    for part in path:
        tree = tree.setdefault(part, {})
    return tree
