"""Edits in the crew's words, each kind once, for screens, sheets, reports and histories."""

from __future__ import annotations

from collections.abc import Mapping
from functools import singledispatch

from levelhead.show.addresses import Address, item_of
from levelhead.show.edits import (
    AddItem,
    AddSource,
    AddSupply,
    Aim,
    Annotate,
    ChangeSource,
    ChangeSupply,
    Edit,
    Lock,
    Move,
    Plug,
    Power,
    Prioritise,
    Recable,
    Relabel,
    Remove,
    RemoveSource,
    RemoveSupply,
    Rename,
    RenameSource,
    RenameSupply,
    Retitle,
    Retype,
    Set,
    SetArea,
    SetFigure,
    SetPins,
    SetRoom,
    SetStock,
    Unlock,
    Unplug,
)
from levelhead.show.lengths import cable_text, length_text
from levelhead.show.model import Cable, Item, Link, Place, Room, Show, Source, Supply

__all__ = ["sentence"]


def sentence(edit: Edit, show: Show) -> str:
    """What a person does to make an edit come true, with the labels of the show before it.

    Examples
    --------
    >>> from levelhead.show.model import Item
    >>> show = Show(
    ...     "Hall",
    ...     items={
    ...         "vox-1": Item("vox-1", "mic", "Anna's microphone"),
    ...         "desk": Item("desk", "mixer"),
    ...     },
    ... )
    >>> link = Link({"a": "vox-1.out", "b": "desk.ch1.mic"}, (Cable("cable-xlr", 10.0),))
    >>> print(sentence(Plug(link), show))
    Plug Anna's microphone (vox-1.out) into desk.ch1.mic with cable-xlr 10 m
    """
    return _words(edit, show)


@singledispatch
def _words(edit: Edit, show: Show) -> str:
    raise NotImplementedError(f"{type(edit).__name__} of {show.name} has no words")


def _place(address: Address, show: Show) -> str:
    """An address, with the label of its item if it has one."""
    item = show.items.get(item_of(address))
    return f"{item.label} ({address})" if item is not None and item.label else address


def _item(name: str, show: Show) -> str:
    return _place(name, show)


def _called(thing: Source | Supply | Item | None, name: str) -> str:
    """The label of a thing with its id behind, or the id alone."""
    return f"{thing.label} ({name})" if thing is not None and thing.label else name


def _is_pair(link: Link) -> bool:
    return set(link.ends) == {"a", "b"}


def _pair(link: Link, show: Show, joint: str) -> str:
    """Both ends of a link."""
    return f"{_place(link.ends['a'], show)} {joint} {_place(link.ends['b'], show)}"


def _named_ends(link: Link, show: Show, joint: str) -> str:
    """Every end of a link by its name."""
    ends = (f"end {end} {joint} {_place(place, show)}" for end, place in link.ends.items())
    return ", ".join(ends)


def _cables(via: tuple[Cable, ...]) -> str:
    return ", then ".join(cable_text(cable) for cable in via)


def _pins(pins: Mapping[str, str]) -> str:
    states = (
        f"pin {pin} {'open' if state == 'open' else f'on {state}'}" for pin, state in pins.items()
    )
    return ", ".join(states)


def _metres(place: Place) -> str:
    return ", ".join(f"{coordinate_m:g}" for coordinate_m in place) + " m"


def _with_note(text: str, note: str) -> str:
    return f"{text}: {note}" if note else text


@_words.register
def _(edit: Plug, show: Show) -> str:
    link, cables = edit.link, _cables(edit.link.via)
    if _is_pair(link):
        words = _pair(link, show, "into") + (f" with {cables}" if cables else "")
    else:
        words = f"{cables or 'a lead'}: {_named_ends(link, show, 'into')}"
    how = [_pins(link.pins)] if link.pins else []
    how += ["the jack at its first click only"] if link.plugged == "half" else []
    return "; ".join((f"Plug {words}", *how))


@_words.register
def _(edit: Unplug, show: Show) -> str:
    if _is_pair(edit.link):
        return f"Unplug {_pair(edit.link, show, 'from')}"
    return f"Unplug {_cables(edit.link.via) or 'the lead'}: {_named_ends(edit.link, show, 'from')}"


@_words.register
def _(edit: Recable, show: Show) -> str:
    cables = _cables(edit.via)
    return (
        f"Use {cables} at {_place(edit.end, show)}"
        if cables
        else f"Use no known cable at {_place(edit.end, show)}"
    )


@_words.register
def _(edit: SetPins, show: Show) -> str:
    pins = _pins(edit.pins) or "every pin as the cable has it"
    return f"In the link at {_place(edit.end, show)}: {pins}"


@_words.register
def _(edit: Set, show: Show) -> str:
    before = show.settings.get(edit.address)
    if edit.value is None:
        return f"Put {_place(edit.address, show)} back to its default"
    was = f" (it was {before})" if before is not None and before != edit.value else ""
    return f"Set {_place(edit.address, show)} to {edit.value}{was}"


@_words.register
def _(edit: Lock, show: Show) -> str:
    return f"Lock {_place(edit.address, show)}"


@_words.register
def _(edit: Unlock, show: Show) -> str:
    return f"Unlock {_place(edit.address, show)}"


@_words.register
def _(edit: AddItem, show: Show) -> str:
    del show
    return f"Add {_called(edit.item, edit.item.id)}: {edit.item.type}"


@_words.register
def _(edit: Remove, show: Show) -> str:
    links = sum(edit.item in link.items for link in show.links)
    settings = sum(item_of(address) == edit.item for address in show.settings)
    sources = sum(item_of(source.at) == edit.item for source in show.sources.values())
    lost = [_count(links, "link"), _count(settings, "setting"), _count(sources, "source")]
    listed = ", ".join(text for text in lost if text)
    return f"Remove {_item(edit.item, show)}" + (f" with {listed}" if listed else "")


def _count(number: int, thing: str) -> str:
    return f"{number} {thing}{'' if number == 1 else 's'}" if number else ""


@_words.register
def _(edit: Rename, show: Show) -> str:
    return f"Rename {_item(edit.item, show)} to {edit.new_id}"


@_words.register
def _(edit: Retype, show: Show) -> str:
    return f"Change the type of {_item(edit.item, show)} to {edit.type}"


@_words.register
def _(edit: Relabel, show: Show) -> str:
    return (
        f"Label {_item(edit.item, show)} {edit.label!r}"
        if edit.label
        else f"Take the label off {_item(edit.item, show)}"
    )


@_words.register
def _(edit: Annotate, show: Show) -> str:
    return (
        _with_note(f"Note at {_item(edit.item, show)}", edit.note)
        if edit.note
        else f"Clear the note at {_item(edit.item, show)}"
    )


@_words.register
def _(edit: Prioritise, show: Show) -> str:
    words = {
        "must": "something the show must have",
        "nice": "something nice to have",
        None: "of no stated need",
    }
    return f"Call {_item(edit.item, show)} {words[edit.need]}"


@_words.register
def _(edit: Move, show: Show) -> str:
    item = _item(edit.item, show)
    return (
        f"Leave the place of {item} open"
        if edit.at is None
        else f"Move {item} to {_metres(edit.at)}"
    )


@_words.register
def _(edit: Aim, show: Show) -> str:
    item = _item(edit.item, show)
    return (
        f"Leave the aim of {item} open"
        if edit.aim is None
        else f"Aim {item} at {_metres(edit.aim)}"
    )


@_words.register
def _(edit: Power, show: Show) -> str:
    item = _item(edit.item, show)
    if edit.supply is None:
        return f"Leave the supply of {item} open"
    return f"Power {item} from {_supply(edit.supply, show)}"


def _supply(name: str, show: Show) -> str:
    supply = show.supplies.get(name)
    return (
        _called(supply, name)
        if supply is None
        else f"{_called(supply, name)}, outlet {supply.outlet}"
    )


@_words.register
def _(edit: SetFigure, show: Show) -> str:
    item = _item(edit.item, show)
    if edit.value is None:
        return f"Take {edit.figure} of {item} from its type again"
    return f"Note {edit.figure} of {item} as {edit.value}"


@_words.register
def _(edit: AddSource, show: Show) -> str:
    return f"Add source {_source(edit.source, show)}"


@_words.register
def _(edit: RemoveSource, show: Show) -> str:
    return f"Remove source {_called(show.sources.get(edit.source), edit.source)}"


@_words.register
def _(edit: ChangeSource, show: Show) -> str:
    return f"Change source {_source(edit.source, show)}"


def _source(source: Source, show: Show) -> str:
    away = "" if source.distance_m is None else f", {length_text(source.distance_m)} away"
    loud = "" if source.level is None else f", {source.level} at 1 m"
    return f"{_called(source, source.id)}: {source.type} at {_place(source.at, show)}{away}{loud}"


@_words.register
def _(edit: RenameSource, show: Show) -> str:
    return f"Rename source {_called(show.sources.get(edit.source), edit.source)} to {edit.new_id}"


@_words.register
def _(edit: AddSupply, show: Show) -> str:
    del show
    return f"Add supply {_outlet(edit.supply)}"


@_words.register
def _(edit: RemoveSupply, show: Show) -> str:
    return f"Remove supply {_called(show.supplies.get(edit.supply), edit.supply)}"


@_words.register
def _(edit: ChangeSupply, show: Show) -> str:
    del show
    return f"Change supply {_outlet(edit.supply)}"


def _outlet(supply: Supply) -> str:
    circuit = "" if supply.circuit is None else f", circuit {supply.circuit}"
    earth = "" if supply.earth == "sound" else ", protective earth lost"
    return f"{_called(supply, supply.id)}: outlet {supply.outlet}{circuit}{earth}"


@_words.register
def _(edit: RenameSupply, show: Show) -> str:
    return f"Rename supply {_called(show.supplies.get(edit.supply), edit.supply)} to {edit.new_id}"


@_words.register
def _(edit: SetStock, show: Show) -> str:
    del show
    return (
        f"Strike {edit.thing} off the stock"
        if edit.count is None
        else f"Count {edit.count} of {edit.thing} in stock"
    )


@_words.register
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


@_words.register
def _(edit: SetArea, show: Show) -> str:
    if edit.area is None:
        area = show.areas.get(edit.id)
        return f"Take the listening area {(area and area.label) or edit.id} away"
    place = f"{len(edit.area.corners)} corners" if edit.area.at is None else _metres(edit.area.at)
    return f"Note the listening area {edit.area.label or edit.id}: {place}"


@_words.register
def _(edit: Retitle, show: Show) -> str:
    date = "" if edit.date is None else f", {edit.date}"
    return f"Call the show {edit.name!r}{date}, version {edit.version}" + (
        f" (it was {show.name!r}, version {show.version})"
        if (show.name, show.version) != (edit.name, edit.version)
        else ""
    )
