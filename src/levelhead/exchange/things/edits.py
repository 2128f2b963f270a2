"""What is typed into the tables of :mod:`levelhead.exchange.things.texts`, as edits of the show."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any, Final

from levelhead.errors import EditError, ShowError
from levelhead.exchange.things import measured_fields, room_fields
from levelhead.exchange.things.cable_words import cables_meant
from levelhead.exchange.things.texts import TABLES, key_of_link, texts_of
from levelhead.exchange.things.typed import typed_pairs, typed_place
from levelhead.gear.book import GearBook
from levelhead.rig.model import Rig
from levelhead.show import edits
from levelhead.show.beside import checked_beside, checked_near
from levelhead.show.edits import Edit
from levelhead.show.lengths import checked_cable, checked_distance_m
from levelhead.show.model import Cable, Item, Link, Show, Source, Supply

__all__ = ["ADDED", "Typing"]

ADDED: Final[Mapping[str, tuple[str, ...]]] = {
    "items": ("type", "id"),
    "figures": ("figure", "value"),
    "sources": ("type", "at", "id"),
    "links": ("ends", "via"),
    "settings": ("control", "value"),
    "supplies": ("id", "outlet"),
    "stock": ("thing", "count"),
    "surfaces": ("name", "area", "absorption"),
    "areas": ("id", "corners"),
    "measured": ("id", "between", "volts"),
}
"""What a new row of each table begins with; a name may be left empty."""

_TO: Final = re.compile(r"\s*>\s*")
_COMMA: Final = re.compile(r"\s*,\s*")
_AND: Final = re.compile(r"\s+\+\s+")


@dataclass(frozen=True, slots=True)
class Typing:
    """A show as it is typed into; without a rig cables go by their exact names.

    Every method gives the edits of one step.

    Raises
    ------
    EditError, ShowError
        A text means nothing there, or there is no such row.
    """

    show: Show
    book: GearBook
    rig: Rig | None = None

    def changed(self, table: str, key: str, field: str, text: str) -> list[Edit]:
        """A field of a row that was typed anew."""
        texts = _row(self.show, table, key)
        if field not in texts:
            raise _unknown(f"no field '{field[:60]}'", ", ".join(texts))
        if texts[field] == text.strip():
            return []
        return [*_CHANGE[table](self, key, field, text.strip())]

    def added(self, table: str, texts: Sequence[str]) -> list[Edit]:
        """A new row, from the texts of ``ADDED``."""
        if table not in ADDED:
            raise _unknown(f"no table '{table[:60]}'", ", ".join(ADDED))
        given = [each.strip() for each in texts] + [""] * len(ADDED[table])
        return [_ADD[table](self, *given[: len(ADDED[table])])]

    def dropped(self, table: str, key: str) -> list[Edit]:
        """A row taken away."""
        _row(self.show, table, key)
        if table not in _DROP:
            raise _unknown(f"nothing can be taken from '{table[:60]}'", ", ".join(_DROP))
        return [*_DROP[table](self, key)]


# --- items and their figures ---


def _item(_: Typing, key: str, field: str, text: str) -> Iterator[Edit]:
    if field in {"at", "aim"}:
        place = None if not text else typed_place(text)
        yield edits.Move(key, place) if field == "at" else edits.Aim(key, place)
    elif field in {"need", "supply"}:
        kinds: dict[str, Any] = {"need": edits.Prioritise, "supply": edits.Power}
        yield kinds[field](key, text or None)
    elif field == "near":
        yield edits.StandNear(key, tuple(map(checked_near, _COMMA.split(text) if text else ())))
    elif field in {"fixings", "switched"}:
        number = _count(text) if text else None
        yield edits.Hang(key, number) if field == "fixings" else edits.SwitchOn(key, number)
    else:
        plain: dict[str, Any] = {
            "id": edits.Rename,
            "label": edits.Relabel,
            "type": edits.Retype,
            "note": edits.Annotate,
        }
        yield plain[field](key, text)


def _figure(_: Typing, key: str, field: str, text: str) -> Iterator[Edit]:
    del field
    item, _dot, figure = key.partition(".")
    yield edits.SetFigure(item, figure, text or None)


# --- sources ---


def _source(typed: Typing, key: str, field: str, text: str) -> Iterator[Edit]:
    if field == "id":
        yield edits.RenameSource(key, text)
        return
    changes: dict[str, Any] = {field: text or None if field == "level" else text}
    if field == "distance":
        changes = {"distance_m": checked_distance_m(text) if text else None}
    if field == "also":
        changes = {"also": {mic: checked_distance_m(far) for mic, far in typed_pairs(text, field)}}
    yield edits.ChangeSource(replace(typed.show.sources[key], **changes))


def _new_source(typed: Typing, type_id: str, at: str, name: str) -> Edit:
    return edits.AddSource(Source(name or _free(type_id, typed.show.sources), type_id, at))


# --- links ---


def _link(typed: Typing, key: str, field: str, text: str) -> Iterator[Edit]:
    link = _link_of(typed, key)
    if field == "via":
        yield edits.Recable(key, _cables(typed, text, link.via, link.ends))
    elif field == "pins":
        yield edits.SetPins(key, dict(typed_pairs(text, field)))
    elif field == "beside":
        yield edits.Lay(key, tuple(map(checked_beside, _COMMA.split(text) if text else ())))
    else:
        changes: dict[str, Any] = {field: text or "full"}
        if field == "ends":
            changes = {"ends": _ends(text)}
        yield edits.Unplug(link)
        yield edits.Plug(replace(link, **changes), typed.show.links.index(link))


def _link_of(typed: Typing, key: str) -> Link:
    return next(each for each in typed.show.links if key_of_link(each) == key)


def _new_link(typed: Typing, ends: str, via: str) -> Edit:
    joined = _ends(ends)
    return edits.Plug(Link(joined, _cables(typed, via, (), joined) if via else ()))


def _cables(
    typed: Typing, text: str, now: Sequence[Cable], ends: Mapping[str, str]
) -> tuple[Cable, ...]:
    if typed.rig is None:
        return tuple(checked_cable(each) for each in _AND.split(text) if each)
    ports = [typed.rig.ports[each] for each in ends.values() if each in typed.rig.ports]
    where = " > ".join(ends.values())
    return cables_meant(typed.book, text, now, ports, where=where)


# --- settings, supplies, stock, the show ---


def _setting(_: Typing, key: str, field: str, text: str) -> Iterator[Edit]:
    if field == "lock":
        yield edits.Lock(key) if text else edits.Unlock(key)
    else:
        yield edits.Set(key, text or None)


def _supply(typed: Typing, key: str, field: str, text: str) -> Iterator[Edit]:
    if field == "id":
        yield edits.RenameSupply(key, text)
        return
    empty = {"outlet": "", "label": "", "note": "", "earth": "sound"}
    changes: dict[str, Any] = {field: text or empty.get(field)}
    yield edits.ChangeSupply(replace(typed.show.supplies[key], **changes))


def _title(typed: Typing, key: str, field: str, text: str) -> Iterator[Edit]:
    del key
    now = {"name": typed.show.name, "date": typed.show.date, "version": typed.show.version}
    value = _count(text) if field == "version" else text or (None if field == "date" else "")
    yield edits.Retitle(**{**now, field: value})  # type: ignore[arg-type]


def _dropped_setting(typed: Typing, key: str) -> Iterator[Edit]:
    if key in typed.show.settings:
        yield edits.Set(key, None)
    if key in typed.show.locks:
        yield edits.Unlock(key)


_CHANGE: Final[Mapping[str, Callable[[Typing, str, str, str], Iterator[Edit]]]] = {
    "items": _item,
    "figures": _figure,
    "sources": _source,
    "links": _link,
    "settings": _setting,
    "supplies": _supply,
    "stock": lambda _, key, __, text: iter([edits.SetStock(key, _count(text) if text else None)]),
    "show": _title,
    "room": lambda typed, _, field, text: room_fields.room_changed(typed.show, field, text),
    "surfaces": lambda typed, key, field, text: room_fields.surface_changed(
        typed.show, key, field, text
    ),
    "areas": lambda typed, key, field, text: room_fields.area_changed(typed.show, key, field, text),
    "measured": lambda typed, key, field, text: measured_fields.measured_changed(
        typed.show, key, field, text
    ),
}
_ADD: Final[Mapping[str, Callable[..., Edit]]] = {
    "items": lambda typed, type_id, name: edits.AddItem(
        Item(name or typed.show.next_id(type_id), type_id)
    ),
    "figures": lambda _, figure, value: edits.SetFigure(
        figure.partition(".")[0], figure.partition(".")[2], value
    ),
    "sources": _new_source,
    "links": _new_link,
    "settings": lambda _, control, value: (
        edits.Set(control, value) if value else edits.Lock(control)
    ),
    "supplies": lambda _, name, outlet: edits.AddSupply(Supply(name, outlet)),
    "stock": lambda _, thing, count: edits.SetStock(thing, _count(count or "1")),
    "surfaces": lambda typed, name, area, absorption: room_fields.surface_added(
        typed.show, name, area, absorption
    ),
    "areas": lambda _, name, corners: room_fields.area_added(name, corners),
    "measured": lambda _, *texts: measured_fields.measured_added(*texts),
}
_DROP: Final[Mapping[str, Callable[[Typing, str], Iterator[Edit]]]] = {
    "items": lambda _, key: iter([edits.Remove(key)]),
    "figures": lambda typed, key: _figure(typed, key, "value", ""),
    "sources": lambda _, key: iter([edits.RemoveSource(key)]),
    "links": lambda typed, key: iter([edits.Unplug(_link_of(typed, key))]),
    "settings": _dropped_setting,
    "supplies": lambda _, key: iter([edits.RemoveSupply(key)]),
    "stock": lambda _, key: iter([edits.SetStock(key, None)]),
    "surfaces": lambda typed, key: room_fields.surface_dropped(typed.show, key),
    "areas": lambda _, key: room_fields.area_dropped(key),
    "measured": lambda _, key: measured_fields.measured_dropped(key),
}


def _row(show: Show, table: str, key: str) -> Mapping[str, str]:
    if table not in TABLES:
        raise _unknown(f"no table '{table[:60]}'", ", ".join(TABLES))
    row = texts_of(show)[table].get(key)
    if row is None:
        raise _unknown(f"no row '{key[:60]}' any more", f"a row of {table}")
    return row


def _unknown(what: str, expected: str) -> EditError:
    return EditError(what, where="table", expected=expected, remedy="Look at the table again.")


def _ends(text: str) -> dict[str, str]:
    """``vox.out > desk.ch1.mic``, or ``a: ..., left: ..., right: ...``."""
    if ">" in text:
        first, *others = _TO.split(text)
        return {"a": first, "b": " > ".join(others)}
    return dict(typed_pairs(text, "ends"))


def _count(text: str) -> int:
    if text.isascii() and text.isdigit() and len(text) < 10:  # noqa: PLR2004 - the edit checks it
        return int(text)
    raise ShowError(
        f"'{text[:60]}' is no count",
        where="number",
        expected="a whole number",
        remedy="Write digits only.",
    )


def _free(stem: str, taken: Mapping[str, object]) -> str:
    name, number = stem, 1
    while name in taken:
        number += 1
        name = f"{stem}-{number}"
    return name
