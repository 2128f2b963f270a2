"""Edits of sources, supplies, stock, room and title in the crew's words."""

from __future__ import annotations

from levelhead.show.edits import (
    AddSource,
    AddSupply,
    ChangeSource,
    ChangeSupply,
    RemoveSource,
    RemoveSupply,
    RenameSource,
    RenameSupply,
    Retitle,
    SetArea,
    SetMeasured,
    SetRoom,
    SetStock,
)
from levelhead.show.lengths import length_text
from levelhead.show.model import Room, Show, Source, Supply
from levelhead.show.wording.base import edit_words, label_of, metres_words, place_words

__all__: list[str] = []


@edit_words.register
def _(edit: AddSource, show: Show) -> str:
    return f"Add source {_source(edit.source, show)}"


@edit_words.register
def _(edit: RemoveSource, show: Show) -> str:
    return f"Remove source {label_of(show.sources.get(edit.source), edit.source)}"


@edit_words.register
def _(edit: ChangeSource, show: Show) -> str:
    return f"Change source {_source(edit.source, show)}"


def _source(source: Source, show: Show) -> str:
    away = "" if source.distance_m is None else f", {length_text(source.distance_m)} away"
    loud = "" if source.level is None else f", {source.level} at 1 m"
    at = place_words(source.at, show)
    return f"{label_of(source, source.id)}: {source.type} at {at}{away}{loud}"


@edit_words.register
def _(edit: RenameSource, show: Show) -> str:
    return f"Rename source {label_of(show.sources.get(edit.source), edit.source)} to {edit.new_id}"


@edit_words.register
def _(edit: AddSupply, show: Show) -> str:
    del show
    return f"Add supply {_outlet(edit.supply)}"


@edit_words.register
def _(edit: RemoveSupply, show: Show) -> str:
    return f"Remove supply {label_of(show.supplies.get(edit.supply), edit.supply)}"


@edit_words.register
def _(edit: ChangeSupply, show: Show) -> str:
    del show
    return f"Change supply {_outlet(edit.supply)}"


def _outlet(supply: Supply) -> str:
    circuit = "" if supply.circuit is None else f", circuit {supply.circuit}"
    earth = "" if supply.earth == "sound" else ", protective earth lost"
    told = (
        "" if supply.reel is None else f", reel {supply.reel}",
        "" if supply.rated is None else f", rated {supply.rated}",
        "" if supply.rated_wound is None else f", {supply.rated_wound} wound up",
        "" if supply.tails is None else f", bare ends joined by {supply.tails}",
    )
    return f"{label_of(supply, supply.id)}: outlet {supply.outlet}{circuit}{earth}{''.join(told)}"


@edit_words.register
def _(edit: RenameSupply, show: Show) -> str:
    return f"Rename supply {label_of(show.supplies.get(edit.supply), edit.supply)} to {edit.new_id}"


@edit_words.register
def _(edit: SetStock, show: Show) -> str:
    del show
    return (
        f"Strike {edit.thing} off the stock"
        if edit.count is None
        else f"Count {edit.count} of {edit.thing} in stock"
    )


@edit_words.register
def _(edit: SetRoom, show: Show) -> str:
    del show
    return "Leave the room open" if edit.room is None else f"Note the room: {_room(edit.room)}"


def _room(room: Room) -> str:
    """What is known of a room, in few words."""
    size = f"{len(room.corners)} corners" if room.corners else (room.volume or "")
    time = room.reverberation
    known = [
        "outdoors" if room.where == "outdoors" else "",
        size,
        "" if room.height is None else f"{room.height} high",
        "" if time is None else time if isinstance(time, str) else "reverberation by octaves",
    ]
    return ", ".join(each for each in known if each) or "details"


@edit_words.register
def _(edit: SetArea, show: Show) -> str:
    if edit.area is None:
        area = show.areas.get(edit.id)
        return f"Take the listening area {(area and area.label) or edit.id} away"
    place = (
        f"{len(edit.area.corners)} corners" if edit.area.at is None else metres_words(edit.area.at)
    )
    return f"Note the listening area {edit.area.label or edit.id}: {place}"


@edit_words.register
def _(edit: Retitle, show: Show) -> str:
    date = "" if edit.date is None else f", {edit.date}"
    return f"Call the show {edit.name!r}{date}, version {edit.version}" + (
        f" (it was {show.name!r}, version {show.version})"
        if (show.name, show.version) != (edit.name, edit.version)
        else ""
    )


@edit_words.register
def _(edit: SetMeasured, show: Show) -> str:
    if edit.measured is None:
        return f"Take the measured volts {edit.id} away"
    one, other = (label_of(show.items.get(each), each) for each in edit.measured.between)
    return f"Note {edit.measured.volts} measured between {one} and {other}"
