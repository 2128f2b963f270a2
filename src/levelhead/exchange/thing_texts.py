"""Everything a show file says besides the input list, as tables of texts: one row a thing."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from levelhead.exchange.room_fields import room_texts
from levelhead.exchange.typed import place_text
from levelhead.show.lengths import cable_text, length_text
from levelhead.show.model import Item, Link, Show, Source, Supply

__all__ = ["TABLES", "ends_text", "key_of_link", "texts_of"]

TABLES: Final = (
    "items", "figures", "sources", "links", "settings", "supplies", "stock", "show",
    "room", "surfaces", "areas",
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
    controls = sorted({*show.settings, *show.locks})
    return {
        "items": {name: _item(item) for name, item in show.items.items()},
        "figures": {
            f"{item.id}.{name}": {"value": value}
            for item in show.items.values()
            for name, value in item.figures.items()
        },
        "sources": {name: _source(source) for name, source in show.sources.items()},
        "links": {key_of_link(link): _link(link) for link in show.links},
        "settings": {
            name: {
                "value": show.settings.get(name, ""),
                "lock": "locked" if name in show.locks else "",
            }
            for name in controls
        },
        "supplies": {name: _supply(supply) for name, supply in show.supplies.items()},
        "stock": {thing: {"count": str(count)} for thing, count in show.stock.items()},
        "show": {
            "show": {"name": show.name, "date": show.date or "", "version": str(show.version)}
        },
        **room_texts(show),
    }


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
    }


def _supply(supply: Supply) -> Texts:
    return {
        "id": supply.id,
        "outlet": supply.outlet,
        "circuit": supply.circuit or "",
        "label": supply.label,
        "earth": supply.earth,
        "rcd": supply.rcd or "",
        "note": supply.note,
    }
