"""Edits of what is set, locked and counted, and of the title in the crew's words."""

from __future__ import annotations

from levelhead.show.edits import Lock, Retitle, Set, SetStock, Unlock
from levelhead.show.model import Show
from levelhead.show.wording.base import edit_words, place_words

__all__: list[str] = []


@edit_words.register
def _(edit: Set, show: Show) -> str:
    before = show.settings.get(edit.address)
    if edit.value is None:
        return f"Put {place_words(edit.address, show)} back to its default"
    was = f" (it was {before})" if before is not None and before != edit.value else ""
    return f"Set {place_words(edit.address, show)} to {edit.value}{was}"


@edit_words.register
def _(edit: Lock, show: Show) -> str:
    return f"Lock {place_words(edit.address, show)}"


@edit_words.register
def _(edit: Unlock, show: Show) -> str:
    return f"Unlock {place_words(edit.address, show)}"


@edit_words.register
def _(edit: SetStock, show: Show) -> str:
    del show
    return (
        f"Strike {edit.thing} off the stock"
        if edit.count is None
        else f"Count {edit.count} of {edit.thing} in stock"
    )


@edit_words.register
def _(edit: Retitle, show: Show) -> str:
    date = "" if edit.date is None else f", {edit.date}"
    return f"Call the show {edit.name!r}{date}, version {edit.version}" + (
        f" (it was {show.name!r}, version {show.version})"
        if (show.name, show.version) != (edit.name, edit.version)
        else ""
    )
