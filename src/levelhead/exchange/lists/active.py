"""Of what ``active`` is said: of the instrument, or of the box behind it.

``DI (active)`` and ``active DI`` are boxes; ``bass (active)`` and ``DI, has active bass`` are
instruments with a preamp and a battery of their own.
"""

from __future__ import annotations

import re
from typing import Final

from levelhead.exchange.lists.meanings import Asking, Meaning
from levelhead.exchange.lists.phrases import words_of
from levelhead.exchange.lists.spoken import Spoken, spoken
from levelhead.exchange.lists.trade import Thing, TradeWords

__all__ = ["box_traits", "narrowed_by_power"]

_OF_BOXES: Final = frozenset({"active", "passive"})
_BOX: Final = "di"
_PARTED: Final = re.compile(r"[,;()/]")


def box_traits(meaning: Meaning, trade: TradeWords) -> frozenset[str]:
    """``active`` or ``passive`` where the words say it of the box."""
    found = {each for text in (meaning.name, meaning.gear) for each in _of_box(text)}
    if found or not _may_be_active(meaning.thing, trade):
        return frozenset(found or meaning.traits & _OF_BOXES)
    return frozenset(meaning.traits & {"passive"})


def narrowed_by_power(meaning: Meaning, asking: Asking) -> None:
    """An instrument of which the row or its remark says that it is active, by that kind."""
    thing = meaning.thing
    if thing is None or thing.active is None:
        return
    told = _told_active(meaning, thing.active, asking.trade)
    if told:
        meaning.thing = asking.trade.things[thing.active]
        why = "active is said of the instrument, not of a box"
        meaning.guess("what", meaning.thing.label, told, why)


def _told_active(meaning: Meaning, kind: str, trade: TradeWords) -> str:
    """The words that say it; empty where nothing does."""
    note = spoken(meaning.line.cell("note"), trade)
    for text in (meaning.name, meaning.gear, note):
        if any(each.meaning == kind for each in text.things):
            return text.text
    for text in (meaning.name, meaning.gear):
        if "active" in text.trait_names and "active" not in _of_box(text):
            return text.text
    return ""


def _may_be_active(thing: Thing | None, trade: TradeWords) -> bool:
    """Whether an instrument comes with and without a preamp of its own."""
    kinds = {each.active for each in trade.things.values()} - {None}
    return thing is not None and (thing.active is not None or thing.id in kinds)


def _of_box(text: Spoken) -> set[str]:
    """Traits that stand behind the word for the box, or right before it."""
    boxes = [each for each in text.traits if each.meaning == _BOX]
    said = [each for each in text.traits if each.meaning in _OF_BOXES]
    return {
        trait.meaning
        for trait in said
        if any(
            box.end <= trait.start or (trait.end == box.start and _is_one_piece(text, box.start))
            for box in boxes
        )
    }


def _is_one_piece(text: Spoken, at: int) -> bool:
    """Whether no comma or bracket stands between a word and the one before it."""
    before, word = text.words[at - 1], text.words[at]
    pieces = (words_of(piece) for piece in _PARTED.split(text.text))
    return any({before, word} <= set(piece) for piece in pieces)
