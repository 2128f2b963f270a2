"""Everything a show file says besides the input list, as tables of texts: one row a thing."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Final

from levelhead.exchange.things.measured_fields import measured_rows
from levelhead.exchange.things.room_fields import area_rows, room_rows, surface_rows
from levelhead.exchange.things.typed import place_text
from levelhead.show.beside import beside_text, near_text
from levelhead.show.lengths import cable_text, length_text
from levelhead.show.model import Item, Link, Show, Source, Supply

__all__ = ["TABLES", "ends_text", "key_of_link", "texts_after", "texts_of"]

TABLES: Final = (
    "items", "figures", "sources", "links", "settings", "supplies", "stock", "show",
    "room", "surfaces", "areas", "measured",
)  # fmt: skip
Texts = dict[str, str]


def texts_of(show: Show) -> dict[str, dict[str, Texts]]:
    """For each of ``TABLES`` its rows by key, each with the text of its fields.

    Items, sources and supplies go by their ids, links by their first socket, settings by the
    control, figures by item and figure, stock by the thing; ``show`` has one row. An empty text is
    nothing said.

    Examples
    --------
    >>> texts_of(Show("Hall", stock={"cable-xlr 10 m": 3}))["stock"]
    {'cable-xlr 10 m': {'count': '3'}}
    """
    return {name: make(show) for name, (_, make) in _MAKERS.items()}


def texts_after(
    show: Show, before: Show, tables: Mapping[str, dict[str, Texts]]
) -> dict[str, dict[str, Texts]]:
    """The same from the tables of a show before: what an edit left alone is not made again."""
    return {
        name: tables[name]
        if all(getattr(show, each) is getattr(before, each) for each in parts)
        else make(show)
        for name, (parts, make) in _MAKERS.items()
    }


def _settings(show: Show) -> dict[str, Texts]:
    return {
        name: {
            "value": show.settings.get(name, ""),
            "lock": "locked" if name in show.locks else "",
        }
        for name in sorted({*show.settings, *show.locks})
    }


def _figures(show: Show) -> dict[str, Texts]:
    return {
        f"{item.id}.{name}": {"value": value}
        for item in show.items.values()
        for name, value in item.figures.items()
    }


def _head(show: Show) -> dict[str, Texts]:
    return {"show": {"name": show.name, "date": show.date or "", "version": str(show.version)}}


def key_of_link(link: Link) -> str:
    """A socket takes one plug, so the first tells which link it is."""
    return next(iter(link.ends.values()))


def ends_text(ends: Mapping[str, str]) -> str:
    """``vox.out > desk.ch1.mic``; with three ends or more, each with its name.

    Examples
    --------
    >>> ends_text({"a": "p.phones", "left": "d.ch1.line", "right": "d.ch2.line"})
    'a: p.phones, left: d.ch1.line, right: d.ch2.line'
    """
    if list(ends) == ["a", "b"]:
        return f"{ends['a']} > {ends['b']}"
    return ", ".join(f"{end}: {address}" for end, address in ends.items())


def _item(item: Item) -> Texts:
    return {
        "id": item.id,
        "label": item.label,
        "type": item.type,
        "need": item.need or "",
        "at": place_text(item.at),
        "aim": place_text(item.aim),
        "supply": item.supply or "",
        "fixings": "" if item.fixings is None else str(item.fixings),
        "switched": "" if item.switched is None else str(item.switched),
        "near": ", ".join(map(near_text, item.near)),
        "note": item.note,
    }


def _source(source: Source) -> Texts:
    return {
        "id": source.id,
        "label": source.label,
        "type": source.type,
        "at": source.at,
        "distance": "" if source.distance_m is None else length_text(source.distance_m),
        "level": source.level or "",
        "also": ", ".join(f"{item}: {length_text(far)}" for item, far in source.also.items()),
    }


def _link(link: Link) -> Texts:
    return {
        "ends": ends_text(link.ends),
        "via": " + ".join(map(cable_text, link.via)),
        "pins": ", ".join(f"{pin}: {what}" for pin, what in link.pins.items()),
        "plugged": "" if link.plugged == "full" else link.plugged,
        "beside": ", ".join(map(beside_text, link.beside)),
    }


def _supply(supply: Supply) -> Texts:
    return {
        "id": supply.id,
        "outlet": supply.outlet,
        "circuit": supply.circuit or "",
        "label": supply.label,
        "earth": supply.earth,
        "rcd": supply.rcd or "",
        "reel": supply.reel or "",
        "rated": supply.rated or "",
        "rated_wound": supply.rated_wound or "",
        "tails": supply.tails or "",
        "note": supply.note,
    }


_MAKERS: Final[Mapping[str, tuple[tuple[str, ...], Callable[[Show], dict[str, Texts]]]]] = {
    "items": (("items",), lambda show: {name: _item(each) for name, each in show.items.items()}),
    "figures": (("items",), _figures),
    "sources": (
        ("sources",),
        lambda show: {name: _source(each) for name, each in show.sources.items()},
    ),
    "links": (("links",), lambda show: {key_of_link(each): _link(each) for each in show.links}),
    "settings": (("settings", "locks"), _settings),
    "supplies": (
        ("supplies",),
        lambda show: {name: _supply(each) for name, each in show.supplies.items()},
    ),
    "stock": (
        ("stock",),
        lambda show: {thing: {"count": str(count)} for thing, count in show.stock.items()},
    ),
    "show": (("name", "date", "version"), _head),
    "room": (("room",), room_rows),
    "surfaces": (("room",), surface_rows),
    "areas": (("areas",), area_rows),
    "measured": (("measured",), measured_rows),
}
"""Of each table: the parts of a show that it is made from, and how."""
