"""The room, its surfaces and the listening areas as tables of texts, and what is typed there."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import fields, replace
from typing import Any, Final

from levelhead.errors import ShowError
from levelhead.exchange.things.typed import (
    corners_text,
    place_text,
    typed_corners,
    typed_metres,
    typed_pairs,
    typed_place,
)
from levelhead.show.edits import Edit, SetArea, SetRoom
from levelhead.show.model import Show
from levelhead.show.rooms import Area, ByOctave, Room, Surface

__all__ = [
    "area_added",
    "area_changed",
    "area_dropped",
    "area_rows",
    "room_changed",
    "room_rows",
    "surface_added",
    "surface_changed",
    "surface_dropped",
    "surface_rows",
]

Texts = dict[str, str]
_BY_OCTAVE: Final = frozenset({"reverberation", "absorption"})


def room_rows(show: Show) -> dict[str, Texts]:
    """The room as one row, also where nothing is known of it."""
    return {"room": _room(show.room or Room())}


def surface_rows(show: Show) -> dict[str, Texts]:
    """Surfaces of the room by their names."""
    return {
        name: {"area": each.area, "absorption": _octaves_text(each.absorption)}
        for name, each in (show.room or Room()).surfaces.items()
    }


def area_rows(show: Show) -> dict[str, Texts]:
    """Listening areas by their ids."""
    return {name: _area(each) for name, each in show.areas.items()}


def _room(room: Room) -> Texts:
    known = {each.name: getattr(room, each.name) for each in fields(room)}
    del known["surfaces"]
    written = {
        "where": "" if room.where == "indoors" else room.where,
        "corners": corners_text(room.corners),
        "floor": f"{room.floor:g}" if room.floor else "",
        "reverberation": _octaves_text(room.reverberation),
        "absorption": _octaves_text(room.absorption),
    }
    return {name: written.get(name, value or "") for name, value in known.items()}


def _octaves_text(given: ByOctave | None) -> str:
    """``1.4 s``, or ``125: 1.9 s, 1000: 1.2 s``."""
    if given is None or isinstance(given, str):
        return given or ""
    return ", ".join(f"{octave}: {value}" for octave, value in given.items())


def _typed_octaves(text: str, field: str) -> ByOctave:
    return dict(typed_pairs(text, field)) if ":" in text else text


def _area(area: Area) -> Texts:
    return {
        "id": area.id,
        "label": area.label,
        "corners": corners_text(area.corners),
        "at": place_text(area.at),
        "ears": area.ears or "",
        "back_ears": area.back_ears or "",
        "spacing": area.spacing or "",
        "stay": area.stay or "",
        "level": area.level or "",
        "who": "" if area.who == "audience" else area.who,
        "laeq": area.laeq or "",
        "note": area.note,
    }


# --- what is typed ---


def room_changed(show: Show, field: str, text: str) -> Iterator[Edit]:
    """A field of the room that was typed anew."""
    yield SetRoom(replace(show.room or Room(), **{field: _room_value(field, text)}))


def _room_value(field: str, text: str) -> Any:
    if field == "where" and text not in {"", "indoors", "outdoors"}:
        raise ShowError(
            f"'{text[:60]}' is no kind of place",
            where="room.where",
            expected="indoors or outdoors",
            remedy="Write outdoors where nothing comes back from walls.",
        )
    plain: dict[str, Callable[[str], Any]] = {
        "where": lambda text: text or "indoors",
        "corners": typed_corners,
        "floor": lambda text: typed_metres(text) if text else 0.0,
        "note": str,
    }
    if field in plain:
        return plain[field](text)
    return _typed_octaves(text, field) if text and field in _BY_OCTAVE else text or None


def surface_changed(show: Show, name: str, field: str, text: str) -> Iterator[Edit]:
    """A field of a surface that was typed anew."""
    room = show.room or Room()
    value: Any = _typed_octaves(text, field) if field in _BY_OCTAVE else text
    yield _with_surface(room, name, replace(room.surfaces[name], **{field: value}))


def surface_added(show: Show, name: str, area: str, absorption: str) -> Edit:
    """One more part of the walls."""
    surface = Surface(area, _typed_octaves(absorption, "absorption"))
    return _with_surface(show.room or Room(), name, surface)


def surface_dropped(show: Show, name: str) -> Iterator[Edit]:
    """A part of the walls is not told any more."""
    room = show.room or Room()
    kept = {key: each for key, each in room.surfaces.items() if key != name}
    yield SetRoom(replace(room, surfaces=kept))


def _with_surface(room: Room, name: str, surface: Surface) -> Edit:
    return SetRoom(replace(room, surfaces={**room.surfaces, name: surface}))


def area_changed(show: Show, name: str, field: str, text: str) -> Iterator[Edit]:
    """A field of an area that was typed anew; a place takes the corners' place, and the reverse."""
    area = show.areas[name]
    if field == "id":
        yield SetArea(name, None)
        yield SetArea(text, area)
        return
    empty: Mapping[str, str | None] = {"label": "", "note": "", "who": "audience"}
    changes: Mapping[str, Any] = {field: text or empty.get(field)}
    if field == "corners":
        changes = {"corners": typed_corners(text), **({"at": None} if text else {})}
    elif field == "at":
        changes = {"at": typed_place(text), "corners": ()} if text else {"at": None}
    yield SetArea(name, replace(area, **changes))


def area_added(name: str, corners: str) -> Edit:
    """One more area, by its corners, or one place by three numbers."""
    if ";" in corners or not corners:
        return SetArea(name, Area(name, corners=typed_corners(corners)))
    return SetArea(name, Area(name, at=typed_place(corners)))


def area_dropped(name: str) -> Iterator[Edit]:
    """An area that is not told any more."""
    yield SetArea(name, None)
