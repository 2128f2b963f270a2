"""Edits of gear in the crew's words."""

from __future__ import annotations

from levelhead.show.addresses import item_of
from levelhead.show.edits import (
    AddItem,
    Aim,
    Annotate,
    Hang,
    Move,
    Power,
    Prioritise,
    Relabel,
    Remove,
    Rename,
    Retype,
    SetFigure,
    StandNear,
    SwitchOn,
)
from levelhead.show.lengths import length_text
from levelhead.show.model import Near, Show
from levelhead.show.wording.base import edit_words, label_of, metres_words, named_words, with_note

__all__: list[str] = []


@edit_words.register
def _(edit: AddItem, show: Show) -> str:
    del show
    return f"Add {label_of(edit.item, edit.item.id)}: {edit.item.type}"


@edit_words.register
def _(edit: Remove, show: Show) -> str:
    links = sum(edit.item in link.items for link in show.links)
    settings = sum(item_of(address) == edit.item for address in show.settings)
    sources = sum(item_of(source.at) == edit.item for source in show.sources.values())
    lost = [_count(links, "link"), _count(settings, "setting"), _count(sources, "source")]
    listed = ", ".join(text for text in lost if text)
    return f"Remove {named_words(edit.item, show)}" + (f" with {listed}" if listed else "")


def _count(number: int, thing: str) -> str:
    return f"{number} {thing}{'' if number == 1 else 's'}" if number else ""


@edit_words.register
def _(edit: Rename, show: Show) -> str:
    return f"Rename {named_words(edit.item, show)} to {edit.new_id}"


@edit_words.register
def _(edit: Retype, show: Show) -> str:
    return f"Change the type of {named_words(edit.item, show)} to {edit.type}"


@edit_words.register
def _(edit: Relabel, show: Show) -> str:
    return (
        f"Label {named_words(edit.item, show)} {edit.label!r}"
        if edit.label
        else f"Take the label off {named_words(edit.item, show)}"
    )


@edit_words.register
def _(edit: Annotate, show: Show) -> str:
    return (
        with_note(f"Note at {named_words(edit.item, show)}", edit.note)
        if edit.note
        else f"Clear the note at {named_words(edit.item, show)}"
    )


@edit_words.register
def _(edit: Prioritise, show: Show) -> str:
    words = {
        "must": "something the show must have",
        "nice": "something nice to have",
        None: "of no stated need",
    }
    return f"Call {named_words(edit.item, show)} {words[edit.need]}"


@edit_words.register
def _(edit: Move, show: Show) -> str:
    item = named_words(edit.item, show)
    return (
        f"Leave the place of {item} open"
        if edit.at is None
        else f"Move {item} to {metres_words(edit.at)}"
    )


@edit_words.register
def _(edit: Aim, show: Show) -> str:
    item = named_words(edit.item, show)
    return (
        f"Leave the aim of {item} open"
        if edit.aim is None
        else f"Aim {item} at {metres_words(edit.aim)}"
    )


@edit_words.register
def _(edit: Hang, show: Show) -> str:
    item = named_words(edit.item, show)
    if edit.fixings is None:
        return f"Leave open what holds {item}"
    return f"Note {_count(edit.fixings, 'fixing')} of {item}"


@edit_words.register
def _(edit: SwitchOn, show: Show) -> str:
    item = named_words(edit.item, show)
    if edit.switched is None:
        return f"Leave open when {item} is switched on"
    return f"Switch {item} on at turn {edit.switched}"


@edit_words.register
def _(edit: StandNear, show: Show) -> str:
    item = named_words(edit.item, show)
    if not edit.near:
        return f"Keep {item} away from anything with a field"
    far = ", ".join(f"{length_text(each.apart_m)} from a {_field(each)}" for each in edit.near)
    return f"Keep {item} {far}"


def _field(near: Near) -> str:
    return near.what.replace("-", " ")


@edit_words.register
def _(edit: Power, show: Show) -> str:
    item = named_words(edit.item, show)
    if edit.supply is None:
        return f"Leave the supply of {item} open"
    return f"Power {item} from {_supply(edit.supply, show)}"


def _supply(name: str, show: Show) -> str:
    supply = show.supplies.get(name)
    return (
        label_of(supply, name)
        if supply is None
        else f"{label_of(supply, name)}, outlet {supply.outlet}"
    )


@edit_words.register
def _(edit: SetFigure, show: Show) -> str:
    item = named_words(edit.item, show)
    if edit.value is None:
        return f"Take {edit.figure} of {item} from its type again"
    return f"Note {edit.figure} of {item} as {edit.value}"
